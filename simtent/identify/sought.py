"""A problem as a sum of squares: readings in independent deviations, and priors."""

from collections.abc import Callable, Sequence

import numpy as np
from scipy.optimize import least_squares

from simtent.errors import SolveError
from simtent.identify import memory
from simtent.identify.information import information
from simtent.identify.memory import Errors
from simtent.identify.model import predicted, slopes
from simtent.identify.problem import Problem
from simtent.network.arrays import Array

Progress = Callable[[str, float], None]


class Sought:
    """A problem's residuals: readings in whitened deviations, and priors."""

    def __init__(self, problem: Problem, progress: Progress | None = None) -> None:
        self.problem, self.progress, self.stage = problem, progress, ""
        beliefs = [one.prior for one in problem.parameters]
        self.priors = np.array([1.0 / belief.spread if belief else 0.0 for belief in beliefs])
        self.medians = np.array([np.log(belief.median) if belief else 0.0 for belief in beliefs])
        self.low, self.high = np.log([one.bounds for one in problem.parameters]).T
        self.best: tuple[float, Array] | None = None  # cost and logarithms, with the errors asked for last
        self._errors: Sequence[Errors] = ()

    def left(self, logs: Array) -> list[Array]:
        """Readings above the prediction [K]."""
        now = predicted(self.problem, logs)
        return [column.values - one for column, one in zip(self.problem.columns, now, strict=True)]

    def whitened(self, parts: Sequence[Array], errors: Sequence[Errors]) -> Array:
        """What belongs to columns, in independent deviations, all columns in one."""
        columns = zip(self.problem.columns, parts, errors, strict=True)
        return np.concatenate([one.whitened(column.times, part) for column, part, one in columns])

    def residuals(self, logs: Array, errors: Sequence[Errors]) -> Array:
        """Readings and priors, each in its own deviations."""
        out = np.append(self.whitened(self.left(logs), errors), self.priors * (logs - self.medians))
        self._noted(logs, errors, 0.5 * float(out @ out))
        return out

    def moved(self, logs: Array, errors: Sequence[Errors]) -> Array:
        """Slopes of the residuals by the logarithms."""
        readings = self.whitened(slopes(self.problem, logs), errors)
        return -np.vstack((readings, -np.diag(self.priors)))

    def least(
        self, begin: Array, errors: Sequence[Errors], held: int | None = None
    ) -> tuple[Array, float] | None:
        """Logarithms of least squares and half the squares; None where the network cannot be solved.

        One parameter may be held where it begins.
        """
        free = np.arange(begin.size) != held
        whole = np.clip(begin, self.low, self.high)

        def at(part: Array) -> Array:
            out = whole.copy()
            out[free] = part
            return out

        try:
            if not free.any():
                return whole, 0.5 * float(np.sum(self.residuals(whole, errors) ** 2))
            answer = least_squares(
                lambda part: self.residuals(at(part), errors),
                whole[free],
                lambda part: self.moved(at(part), errors)[:, free],
                bounds=(self.low[free], self.high[free]),
                x_scale=1.0,
                xtol=1e-8,
                ftol=1e-10,
                max_nfev=100,
            )
        except SolveError:
            return None
        return at(answer.x), float(answer.cost)

    def _noted(self, logs: Array, errors: Sequence[Errors], cost: float) -> None:
        """Keep the best so far, and tell of it."""
        if errors is not self._errors:
            self.best, self._errors = None, errors
        if self.best is None or cost < self.best[0]:
            self.best = cost, logs.copy()
        if self.progress is not None:
            self.progress(self.stage, self.best[0])

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
