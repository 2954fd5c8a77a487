"""Between what temperatures a column's readings should lie, by what is known of the parameters and of the errors."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import norm

from simtent.identify.fit import Fit
from simtent.identify.model import predicted, slopes
from simtent.identify.problem import Problem
from simtent.network.arrays import Array

OPEN = 0.1  # of the errors' deviation: how much a factor of 2.7 in what the fit did not find may change a reading


@dataclass(frozen=True)
class Band:
    """A column's readings as they are expected, at the column's own times.

    times        [m] s
    middle       [m] K, of the most likely parameters, or the mean of draws
    parameters   [m] K, deviation that the parameters' uncertainty gives; infinite where the readings of the fit did not
                 tell what this prediction hangs on
    errors       K, deviation of the errors
    """

    times: Array
    middle: Array
    parameters: Array
    errors: float

    def edges(self, share: float = 0.9) -> tuple[Array, Array]:
        """Lowest and highest temperatures [K] between which that share of readings should lie."""
        far = norm.ppf(0.5 + 0.5 * share) * np.sqrt(self.parameters**2 + self.errors**2)
        return self.middle - far, self.middle + far

    def inside(self, values: Array, share: float = 0.9) -> float:
        """Share of readings [K] that lie in the band."""
        low, high = self.edges(share)
        return float(np.mean((values >= low) & (values <= high)))


def band(found: Fit, name: str, problem: Problem | None = None, points: Array | None = None) -> Band:
    """Predict a column of the fit's own problem, or of another one with the same parameters.

    By the slopes at the most likely values; or, where a number is so loosely known that slopes mislead, by draws of the
    parameters' logarithms [n, p], each of which is predicted (`draws(found, 200).draws(60)`).

    Another problem is another run, such as a night that was held out: its network, its times. The errors are those that
    the fit found for the column of that name, at all times alike: what is known from a reading just before is not used.
    """
    names = [one.name for one in found.problem.parameters]
    problem = found.problem if problem is None else problem
    if [one.name for one in problem.parameters] != names:
        raise ValueError(f"the same parameters in the same order are needed: {', '.join(names)}")
    erring = {c.name: e for c, e in zip(found.problem.columns, found.errors, strict=True)}
    here = [column.name for column in problem.columns]
    if name not in erring or name not in here:
        raise ValueError(f"no column {name!r} in both; the fit has {', '.join(erring)}")
    k = here.index(name)
    times, error = problem.columns[k].times, erring[name].deviation
    if points is not None:
        each = np.array([predicted(problem, point)[k] for point in points])
        return Band(times, each.mean(axis=0), each.std(axis=0, ddof=1), error)
    spread = _deviation(found, slopes(problem, found.logs)[k], error)
    return Band(times, predicted(problem, found.logs)[k], spread, error)


def _deviation(found: Fit, moved: Array, error: float) -> Array:
    """Deviation [K] by the parameters of readings with given slopes [m, p]."""
    known = found.information.known()
    inside = moved @ known.T
    covariance = np.linalg.inv(known @ found.information.matrix() @ known.T)
    out = np.sqrt(np.einsum("mq,qr,mr->m", inside, covariance, inside))
    out[np.linalg.norm(moved - inside @ known, axis=1) > OPEN * error] = np.inf
    return np.asarray(out)
