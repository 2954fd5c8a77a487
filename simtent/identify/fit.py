"""Most likely parameters by the readings and the priors, from several starts, with Laplace's uncertainty.

In turns: parameters for given errors by nonlinear least squares, then the errors' deviation and memory for given
parameters, until neither moves.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import norm
from threadpoolctl import threadpool_limits

from simtent.errors import SolveError
from simtent.identify import memory
from simtent.identify.information import Information, information
from simtent.identify.memory import Errors
from simtent.identify.model import slopes
from simtent.identify.problem import Problem
from simtent.identify.sought import Progress, Sought
from simtent.network.arrays import Array

TURNS = 20
SETTLED = 3e-3  # change of the logarithms of deviation and memory
TIE = 1e-3  # of the cost: no reading tells two such fits apart
SPREAD_OF_STARTS = 1.0  # of a logarithm, where no prior says less


@dataclass(frozen=True)
class Fit:
    """What was found.

    logs          [p], natural logarithms of the parameters
    errors        deviation and memory of each column's errors
    left          what each column's readings are above the prediction [K]
    information   of the readings and the priors
    costs         half the squared misfit that each start ended with, of independent errors; the given start first
    settled       whether errors and parameters had stopped to move
    stopped       whether the search was interrupted: the best so far
    """

    problem: Problem
    logs: Array
    errors: tuple[Errors, ...]
    left: tuple[Array, ...]
    information: Information
    costs: tuple[float, ...]
    settled: bool
    stopped: bool = False

    def words(self) -> tuple[str, ...]:
        """Say why its numbers are not final; nothing if they are."""
        if self.stopped:
            return (
                "The fit was interrupted: these are the best values so far, and their intervals mean little.",
            )
        if not self.settled:
            return (
                f"The fit did not settle: after {TURNS} turns the errors' deviation or memory still moved. "
                "The values may serve; do not trust the intervals.",
            )
        return ()

    @property
    def values(self) -> dict[str, float]:
        """Most likely values by name."""
        return self.problem.named(self.logs)

    @property
    def rmse(self) -> dict[str, float]:
        """Root of the mean squared difference of each column [K]."""
        columns = zip(self.problem.columns, self.left, strict=True)
        return {column.name: float(np.sqrt(np.mean(left**2))) for column, left in columns}

    def deviations(self) -> dict[str, float]:
        """Standard deviation of the logarithm of each parameter; infinite where nothing is known."""
        found = np.sqrt(np.diag(self.information.covariance()))
        return {one.name: float(d) for one, d in zip(self.problem.parameters, found, strict=True)}

    def intervals(self, share: float = 0.9) -> dict[str, tuple[float, float]]:
        """Central intervals that should hold the truth that often; the bounds are never passed."""
        far, out = norm.ppf(0.5 + 0.5 * share), {}
        for one, x, d in zip(self.problem.parameters, self.logs, self.deviations().values(), strict=True):
            low, high = np.log(one.bounds)
            out[one.name] = tuple(np.exp(np.clip([x - far * d, x + far * d], low, high)).tolist())
        return out

    def product(self, **powers: float) -> tuple[float, float]:
        """Value of a product of powers of parameters, and the deviation of its logarithm from the readings alone.

        `product(R1=1, C=1)` can be sharp where R1 and C are not; infinite where the readings do not know it.
        """
        names = [one.name for one in self.problem.parameters]
        if unknown := set(powers) - set(names):
            raise ValueError(f"no such parameters: {', '.join(sorted(unknown))}")
        exponents = np.array([powers.get(name, 0.0) for name in names])
        alone = Information(self.information.data, np.zeros(len(names)))
        known = alone.known()
        inside = known @ exponents
        if not np.allclose(known.T @ inside, exponents, atol=1e-4 * float(np.linalg.norm(exponents))):
            return float(np.exp(exponents @ self.logs)), np.inf
        variance = inside @ np.linalg.solve(known @ alone.matrix() @ known.T, inside)
        return float(np.exp(exponents @ self.logs)), float(np.sqrt(variance))


def fit(problem: Problem, starts: int = 4, seed: int = 0, progress: Progress | None = None) -> Fit:
    """Fit from the parameters' own starts and from `starts` - 1 drawn around them or from their priors.

    `progress` is told the stage ("start 2 of 4", "turn 3") and the lowest cost of it so far. Ctrl-C ends the search and
    keeps the best so far. Raises SolveError where the network cannot be solved from any start.
    """
    with threadpool_limits(limits=1, user_api="blas"):
        search = _Search(problem, progress)
        try:
            search.start(_begins(problem, starts, seed))
            search.turn()
        except KeyboardInterrupt:
            search.stop()
        return search.found()


class _Search:
    """Starts, then turns; what was found so far can be taken at any time."""

    def __init__(self, problem: Problem, progress: Progress | None) -> None:
        self.sought = Sought(problem, progress)
        self.errors = [memory.Errors(column.noise, _short(column.times)) for column in problem.columns]
        self.costs: tuple[float, ...] = ()
        self.settled = self.stopped = False

    def start(self, begins: Sequence[Array]) -> None:
        """From each start, with independent errors; then their size from what the best one leaves."""
        ends = []
        for k, begin in enumerate(begins):
            self.sought.stage = f"start {k + 1} of {len(begins)}"
            end = self.sought.least(begin, self.errors)
            if end is not None:
                ends.append(end)
        if not ends:
            raise SolveError(
                "The network could not be solved from any start: look at the parameters' bounds."
            )
        self.costs = tuple(end[1] for end in ends)
        lowest = min(self.costs)
        self._at(
            next(end[0] for end in ends if end[1] <= lowest + TIE)
        )  # the given start's, if none fits better
        self._independent()

    def turn(self) -> None:
        """Parameters for given errors, errors for given parameters, until neither moves."""
        for k in range(TURNS):
            self.sought.stage = f"turn {k + 1}"
            end = self.sought.least(self.logs, self.errors)
            if end is None:
                raise SolveError("The network could not be solved near the best parameters.")
            before = self.errors
            self._at(end[0])
            self.errors = self.sought.errors(self.left, slopes(self.sought.problem, self.logs), before)
            self.settled = _change(before, self.errors) < SETTLED
            if self.settled:
                break

    def stop(self) -> None:
        """Take the best so far; nothing is there before the first look."""
        if self.sought.best is None:
            raise KeyboardInterrupt
        self._at(self.sought.best[1])
        self.settled, self.stopped = False, True
        if not self.costs:
            self.costs = (self.sought.best[0],)
            self._independent()

    def found(self) -> Fit:
        """Gather it, with what readings and priors know there."""
        problem, errors = self.sought.problem, self.errors
        told = information(self.sought.whitened(slopes(problem, self.logs), errors), self.sought.priors)
        return Fit(
            problem, self.logs, tuple(errors), tuple(self.left), told, self.costs, self.settled, self.stopped
        )

    def _at(self, logs: Array) -> None:
        self.logs, self.left = logs, self.sought.left(logs)

    def _independent(self) -> None:
        columns = zip(self.sought.problem.columns, self.left, strict=True)
        self.errors = [memory.white(column.times, left, column.noise) for column, left in columns]


def _short(times: Array) -> float:
    """A memory [s] so short that errors are independent."""
    return memory.WHITE * float(np.min(np.diff(times)))


def _begins(problem: Problem, starts: int, seed: int) -> list[Array]:
    """Logarithms to start from, within the bounds."""
    chance = np.random.default_rng(seed)
    first = np.log([one.start for one in problem.parameters])
    low, high = np.log([one.bounds for one in problem.parameters]).T
    middle = np.array(
        [
            np.log(one.prior.median) if one.prior else x
            for one, x in zip(problem.parameters, first, strict=True)
        ]
    )
    spread = np.array(
        [
            min(one.prior.spread, SPREAD_OF_STARTS) if one.prior else SPREAD_OF_STARTS
            for one in problem.parameters
        ]
    )
    drawn = [middle + spread * chance.standard_normal(first.size) for _ in range(starts - 1)]
    inside = 1e-3 * (high - low)
    return [first, *(np.clip(one, low + inside, high - inside) for one in drawn)]


def _change(before: Sequence[Errors], after: Sequence[Errors]) -> float:
    pairs = zip(before, after, strict=True)
    moved = [np.log([b.deviation / a.deviation, b.memory / a.memory]) for b, a in pairs]
    return float(np.abs(moved).max())
