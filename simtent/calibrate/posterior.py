"""What readings and beliefs leave open around the most likely numbers: Laplace's normal, or weighed draws."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.stats import norm

from simtent.calibrate.sought import Sought
from simtent.identify.information import Information
from simtent.identify.resampling import Resampled, moments
from simtent.network.arrays import Array

NARROWED = 0.9  # of a belief's deviation; above it a number stays at what was believed


@dataclass(frozen=True)
class Posterior:
    """Numbers around their most likely point, in deviations of what was believed.

    z            shape (p,)
    covariance   shape (p, p)
    information  of the readings, and of the beliefs
    drawn        draws weighed by the nights they make; without them the normal is all that is known
    """

    sought: tuple[Sought, ...]
    z: Array
    covariance: Array
    information: Information
    drawn: Resampled | None = None

    @property
    def mean(self) -> Array:
        """Mean of each number in deviations of its belief; the most likely point where nothing was drawn."""
        return self.z if self.drawn is None else np.asarray(self.drawn.weights @ self.drawn.points)

    @property
    def deviations(self) -> Array:
        """One standard deviation of each number, in those of its belief."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))

    def index(self, name: str) -> int:
        """Where a number stands."""
        return [one.name for one in self.sought].index(name)

    def value(self, name: str) -> float:
        """Its most likely value."""
        k = self.index(name)
        return self.sought[k].value(float(self.z[k]))

    def interval(self, name: str, share: float = 0.9) -> tuple[float, float]:
        """Central interval that should hold the number that often, within its bounds."""
        k, far = self.index(name), float(norm.ppf(0.5 + 0.5 * share))
        if self.drawn:
            low, high = self.drawn.quantiles(k, (0.5 - 0.5 * share, 0.5 + 0.5 * share))
            return self.sought[k].value(low), self.sought[k].value(high)
        middle, reach = float(self.z[k]), far * float(self.deviations[k])
        return self.sought[k].value(middle - reach), self.sought[k].value(middle + reach)

    def narrowed(self, name: str) -> bool:
        """Whether the readings say more of a number than was believed."""
        return bool(self.deviations[self.index(name)] < NARROWED)

    def draws(self, number: int, seed: int = 0) -> Array:
        """Points that count alike, within the bounds, shape (number, p): of the weighed draws, or from the normal."""
        if self.drawn:
            return self.drawn.draws(number, seed)
        chance = np.random.default_rng(seed)
        low, high = np.array([one.ends for one in self.sought]).T
        drawn = chance.multivariate_normal(self.z, self.covariance, number, method="eigh")
        return np.asarray(np.clip(drawn, low, high))

    def axes(self, names: tuple[str, ...]) -> Array:
        """Independent directions of some of the numbers, each one deviation long, shape (axes, names)."""
        where = [self.index(name) for name in names]
        sizes, directions = np.linalg.eigh(self.covariance[np.ix_(where, where)])
        return np.asarray((np.sqrt(np.maximum(sizes, 0.0)) * directions).T[::-1])

    def weighed(self, drawn: Resampled) -> "Posterior":
        """The same, known by weighed draws."""
        _, spread = moments(drawn)
        return replace(self, covariance=spread, drawn=drawn)


def laplace(sought: tuple[Sought, ...], z: Array, slopes: Array) -> Posterior:
    """Laplace's normal from whitened slopes of the readings, shape (m, p); every belief has deviation 1."""
    _, sizes, directions = np.linalg.svd(slopes, full_matrices=False)
    data = sizes[:, None] * directions
    told = Information(data, np.ones(len(sought)))
    return Posterior(sought, z, np.linalg.inv(np.eye(len(sought)) + data.T @ data), told)
