"""Most likely parameters by the readings and the priors, from several starts, with Laplace's uncertainty.

In turns: parameters for given errors by nonlinear least squares, then the errors' deviation and memory for given
parameters, until neither moves.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import norm
from threadpoolctl import threadpool_limits

from simtent.errors import SolveError
from simtent.identify import memory
from simtent.identify.information import Information, information
from simtent.identify.memory import Errors
from simtent.identify.model import predicted, slopes
from simtent.identify.problem import Problem
from simtent.network.arrays import Array

TURNS = 20
SETTLED = 3e-3  # change of the logarithms of deviation and memory
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
    """

    problem: Problem
    logs: Array
    errors: tuple[Errors, ...]
    left: tuple[Array, ...]
    information: Information
    costs: tuple[float, ...]
    settled: bool

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


def fit(problem: Problem, starts: int = 4, seed: int = 0) -> Fit:
    """Fit from the parameters' own starts and from `starts` - 1 drawn around them or from their priors.

    Raises SolveError where the network cannot be solved from any start.
    """
    with threadpool_limits(limits=1, user_api="blas"):
        return _fit(problem, starts, seed)


def _fit(problem: Problem, starts: int, seed: int) -> Fit:
    sought = _Sought(problem)
    begins = _begins(problem, starts, seed)
    errors = [memory.Errors(column.noise, _short(column.times)) for column in problem.columns]
    ends = [end for begin in begins if (end := sought.least(begin, errors)) is not None]
    if not ends:
        raise SolveError("The network could not be solved from any start: look at the parameters' bounds.")
    logs = min(ends, key=lambda end: end[1])[0]
    left = sought.left(logs)
    errors = [
        memory.white(column.times, one, column.noise)
        for column, one in zip(problem.columns, left, strict=True)
    ]
    settled = False
    for _ in range(TURNS):
        end = sought.least(logs, errors)
        if end is None:
            raise SolveError("The network could not be solved near the best parameters.")
        logs, before = end[0], errors
        left, moved = sought.left(logs), slopes(problem, logs)
        errors = sought.errors(left, moved, before)
        settled = _change(before, errors) < SETTLED
        if settled:
            break
    told = information(sought.whitened(moved, errors), sought.priors)
    return Fit(problem, logs, tuple(errors), tuple(left), told, tuple(end[1] for end in ends), settled)


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


class _Sought:
    """A problem's residuals: readings in whitened deviations, and priors."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        beliefs = [one.prior for one in problem.parameters]
        self.priors = np.array([1.0 / belief.spread if belief else 0.0 for belief in beliefs])
        self.medians = np.array([np.log(belief.median) if belief else 0.0 for belief in beliefs])

    def left(self, logs: Array) -> list[Array]:
        """Readings above the prediction [K]."""
        now = predicted(self.problem, logs)
        return [column.values - one for column, one in zip(self.problem.columns, now, strict=True)]

    def whitened(self, parts: Sequence[Array], errors: Sequence[Errors]) -> Array:
        """What belongs to columns, in independent deviations, all columns in one."""
        columns = zip(self.problem.columns, parts, errors, strict=True)
        return np.concatenate([one.whitened(column.times, part) for column, part, one in columns])

    def least(self, begin: Array, errors: Sequence[Errors]) -> tuple[Array, float] | None:
        """Logarithms of least squares and half the squares; None where the network cannot be solved."""

        def residuals(logs: Array) -> Array:
            return np.append(self.whitened(self.left(logs), errors), self.priors * (logs - self.medians))

        def moved(logs: Array) -> Array:
            readings = self.whitened(slopes(self.problem, logs), errors)
            return -np.vstack((readings, -np.diag(self.priors)))

        bounds = np.log([one.bounds for one in self.problem.parameters]).T
        try:
            answer = least_squares(
                residuals,
                begin,
                moved,
                bounds=tuple(bounds),
                x_scale=1.0,
                xtol=1e-8,
                ftol=1e-10,
                max_nfev=100,
            )
        except SolveError:
            return None
        return answer.x, float(answer.cost)

    def errors(self, left: list[Array], moved: list[Array], before: list[Errors]) -> list[Errors]:
        """Deviation and memory of each column, the others as they were."""
        now = list(before)
        known = information(self.whitened(moved, before), self.priors).known()
        for k, column in enumerate(self.problem.columns):
            others = np.diag(self.priors**2)
            for j, other in enumerate(self.problem.columns):
                if j != k:
                    white = now[j].whitened(other.times, moved[j])
                    others = others + white.T @ white
            now[k] = memory.found(
                column.times, left[k], moved[k] @ known.T, known @ others @ known.T, column.noise
            )
        return now
