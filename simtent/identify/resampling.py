"""Importance resampling: draws of a bell curve or of one with heavy tails, weighed by what they should have been.

The largest weights are smoothed by a generalized Pareto distribution fitted to them, whose shape says whether the
draws can be trusted: Vehtari, Simpson, Gelman, Yao and Gabry 2024, Journal of Machine Learning Research 25(72); the fit
by Zhang and Stephens 2009, Technometrics 51(3). The density may be dear: it is asked once, for all draws together.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import eigh
from scipy.special import logsumexp

from simtent.network.arrays import Array

LEAST_DRAWS = 100  # fewer leave no tail to judge
LEAST_TAIL = 5
LARGEST_GROWTH = 2.0  # of a variance; ours: the shape alone does not see tails that no draw has reached
LEAST_PER_NUMBER = 3.0  # effective draws that a covariance is taken from
LARGEST_SHAPE = 0.7
PRIOR_DRAWS, PRIOR_SHAPE = (
    10.0,
    0.5,
)  # what the fit believes of the shape before it sees a tail, and as how many draws
GRID = 30  # values over which the fit takes its mean, beside the root of their number
EVEN = 1e-9  # weights that differ less, as parts of the largest, have no tail
MOST_TRIES = 1000  # draws for one within the bounds

Densities = Callable[[Array], Array]


class UntrustedError(ValueError):
    """Draws that do not stand for the density were asked for; the text says why they do not."""


@dataclass(frozen=True)
class Resampled:
    """Weighed draws, and whether they can be trusted.

    points      [n, p]
    weights     [n], smoothed, of sum 1
    shape       of the largest weights' tail: below 0.5 their variance is finite, from 1 on not even their mean
    limit       the largest shape at which so many draws still serve
    effective   as how many independent draws they count
    wanted      how many were asked for
    failed      draws without a density (-inf), such as nights that could not be solved
    grown       how many times the variance that they found is the one they were drawn with, where that is most
    """

    points: Array
    weights: Array
    shape: float
    limit: float
    effective: float
    wanted: float
    failed: int
    grown: float = 1.0

    @property
    def trusted(self) -> bool:
        """Whether they stand for the density, and are enough."""
        return self.shape <= self.limit and self.grown <= LARGEST_GROWTH and self.effective >= self.wanted

    def words(self) -> tuple[str, ...]:
        """Say how good they are, or why they cannot be trusted."""
        n, said = len(self.points), []
        if not self.shape <= self.limit:
            said.append(
                f"The draws cannot be trusted: a few of them outweigh all others (tail shape {self.shape:.2f}; for "
                f"{n} draws {self.limit:.2f} is the most). A bell curve does not cover what the readings leave open: "
                "sample with chains, or give priors to what is not found."
            )
        if self.grown > LARGEST_GROWTH:
            said.append(
                f"The draws cannot be trusted: they find the readings to leave {self.grown:.1f} times the variance "
                "that they were drawn with, so that more may lie where none were drawn."
            )
        if self.effective < self.wanted:
            said.append(
                f"The draws cannot be trusted: {n} of them count as {self.effective:.0f} independent ones, "
                f"{self.wanted:.0f} were asked for. Draw more."
            )
        if not said:
            tail = (
                "they weigh alike"
                if self.shape == -math.inf
                else f"tail shape {self.shape:.2f} of at most {self.limit:.2f}"
            )
            said.append(f"{n} draws count as {self.effective:.0f} independent ones ({tail}).")
        if self.failed:
            said.append(f"{self.failed} of {n} draws had no density and count nothing.")
        return tuple(said)

    def quantiles(self, k: int, shares: Sequence[float]) -> list[float]:
        """Values of the k-th number below which it lies so often, straight between draws.

        So few draws are not the whole: one more would fall below the i-th of n with i / (n + 1), which is what counts
        here (order statistics), with n the effective number.
        """
        n = self.effective
        order = np.argsort(self.points[:, k], kind="stable")
        weights = self.weights[order]
        below = (n * (np.cumsum(weights) - 0.5 * weights) + 0.5) / (n + 1.0)
        return [float(it) for it in np.interp(shares, below, self.points[order, k])]

    def draws(self, n: int, seed: int = 0) -> Array:
        """Draw n points that all count alike, shape [n, p]; by evenly spaced steps through the weights.

        Raises UntrustedError where the draws cannot be trusted.
        """
        if not self.trusted:
            raise UntrustedError(" ".join(self.words()))
        chance = np.random.default_rng(seed)
        steps = (np.arange(n) + chance.uniform()) / n
        which = np.minimum(np.searchsorted(np.cumsum(self.weights), steps), len(self.points) - 1)
        return np.asarray(chance.permutation(self.points[which]))


def resampled(
    densities: Densities,
    centre: Array,
    covariance: Array,
    bounds: tuple[Array, Array],
    n: int,
    *,
    wanted: float = 0.0,
    most: int = 0,
    rounds: int = 1,
    freedom: float = math.inf,
    seed: int = 0,
) -> Resampled:
    """Draw n points about a centre, and weigh them by the densities; as many again while they are good but too few.

    In further rounds what cannot be trusted is drawn anew, about the weighed draws' own mean and with their covariance
    (adaptive importance sampling). Draws of earlier rounds are left out: the last ones are judged by themselves.

    densities   natural logarithms of the density [n] at points [n, p], up to a constant; -inf where there is none
    centre, covariance, bounds   [p]; [p, p], finite; lowest and highest [p]
    wanted      effective number below which the draws are not trusted
    most        draws of a round; no more than n if 0
    rounds      of drawing, at most
    freedom     degrees of freedom of a multivariate t; infinite for a normal distribution. Heavy tails (5, say) cover
                more, for some of the effective number
    Raises ValueError where the bell curve lies outside the bounds, or a density is no number.
    """
    if n < LEAST_DRAWS:
        raise ValueError(f"{n} draws are too few to judge them: take {LEAST_DRAWS} or more")
    for k in range(rounds):
        found = _round(densities, centre, covariance, bounds, n, wanted, most, freedom, (seed, k))
        mean, spread = moments(found)
        found = replace(found, grown=growth(spread, covariance, freedom))
        if found.trusted or found.effective < LEAST_PER_NUMBER * centre.size:
            break
        centre, covariance = mean, spread
    return found


def moments(found: Resampled) -> tuple[Array, Array]:
    """Mean [p] and covariance [p, p] of weighed draws."""
    mean = found.weights @ found.points
    away = found.points - mean
    return np.asarray(mean), np.asarray((found.weights[:, None] * away).T @ away)


def growth(spread: Array, covariance: Array, freedom: float) -> float:
    """Largest variance of draws, in the variance that they were drawn with (bounds apart), over all directions."""
    drawn_with = covariance * (freedom / (freedom - 2.0) if 2.0 < freedom < math.inf else 1.0)
    return float(eigh(spread, drawn_with, eigvals_only=True)[-1])


def _round(
    densities: Densities,
    centre: Array,
    covariance: Array,
    bounds: tuple[Array, Array],
    n: int,
    wanted: float,
    most: int,
    freedom: float,
    seed: tuple[int, int],
) -> Resampled:
    points, logs = np.zeros((0, centre.size)), np.zeros(0)
    while True:
        more, proposed = drawn(centre, covariance, bounds, n, freedom=freedom, seed=(*seed, len(points)))
        points = np.concatenate((points, more))
        logs = np.concatenate((logs, asked(densities, more) - proposed))
        found = weighed(points, logs, wanted)
        if found.shape > found.limit or found.effective >= wanted or len(points) + n > most:
            return found


def asked(densities: Densities, points: Array) -> Array:
    """The densities at points; ValueError where one is no number."""
    found = np.asarray(densities(points), float)
    if found.shape != (len(points),) or np.any(np.isnan(found)) or np.any(found == np.inf):
        raise ValueError(
            f"{len(points)} densities are needed, each a number or -inf, got an array of shape {found.shape}"
        )
    return found


def weighed(points: Array, logs: Array, wanted: float = 0.0) -> Resampled:
    """Smooth and judge weights given by their logarithms [n], of points [n, p]."""
    n, failed = len(points), int(np.sum(logs == -np.inf))
    limit = min(1.0 - 1.0 / math.log10(n), LARGEST_SHAPE)
    if failed == n:
        return Resampled(points, np.full(n, 1.0 / n), math.inf, limit, 0.0, wanted, failed)
    smooth, shape = smoothed(logs)
    weights = np.exp(smooth - logsumexp(smooth))
    return Resampled(points, weights, shape, limit, float(1.0 / np.sum(weights**2)), wanted, failed)


def drawn(
    centre: Array,
    covariance: Array,
    bounds: tuple[Array, Array],
    n: int,
    *,
    freedom: float = math.inf,
    seed: int | tuple[int, ...] = 0,
) -> tuple[Array, Array]:
    """Draw n points within bounds [n, p], and the logarithms of their density [n] up to a constant."""
    chance, p = np.random.default_rng(seed), centre.size
    sizes, axes = np.linalg.eigh(covariance)
    if not np.all(sizes > 0.0):
        raise ValueError("the covariance must be finite and positive")
    found: list[Array] = []
    have = tries = 0
    while have < n:
        if tries > MOST_TRIES * max(n, have):
            raise ValueError("hardly any draw lies within the bounds: the bell curve does not belong to them")
        unit = chance.standard_normal((n, p))
        if freedom < math.inf:
            unit /= np.sqrt(chance.chisquare(freedom, n) / freedom)[:, None]
        moved = centre + (unit * np.sqrt(sizes)) @ axes.T
        inside = moved[np.all((moved >= bounds[0]) & (moved <= bounds[1]), axis=1)]
        found.append(inside)
        have, tries = have + len(inside), tries + n
    points = np.concatenate(found)[:n]
    far = np.sum(((points - centre) @ axes) ** 2 / sizes, axis=1)
    if freedom < math.inf:
        return points, np.asarray(-0.5 * (freedom + p) * np.log1p(far / freedom))
    return points, np.asarray(-0.5 * far)


def smoothed(logs: Array) -> tuple[Array, float]:
    """Logarithms of weights [n] with their tail smoothed, and the tail's shape.

    The tail is the largest fifth, or 3 sqrt(n) if that is less; smoothed weights are quantiles of what was fitted to
    it, never above the largest raw one. Shape -inf: the weights are even, without a tail; inf: too few for one.
    """
    logs = logs - logs.max()
    order = np.argsort(logs, kind="stable")
    tail = order[-math.ceil(min(0.2 * logs.size, 3.0 * math.sqrt(logs.size))) :]
    threshold = math.exp(logs[order[-tail.size - 1]])
    over = np.exp(logs[tail]) - threshold
    if over[-1] <= EVEN:
        return logs, -math.inf
    if tail.size < LEAST_TAIL or threshold == 0.0:
        return logs, math.inf
    shape, scale = pareto(np.maximum(over, EVEN * over[-1]))
    middles = (np.arange(tail.size) + 0.5) / tail.size
    exceed = -np.log1p(-middles)
    quantiles = scale * (np.expm1(shape * exceed) / shape if shape != 0.0 else exceed)
    out = logs.copy()
    out[tail] = np.minimum(np.log(threshold + quantiles), 0.0)
    return out, shape


def pareto(over: Array) -> tuple[float, float]:
    """Shape and scale of a generalized Pareto distribution, of what lies over its threshold, [m] rising.

    F(x) = 1 - (1 + shape x / scale)^(-1 / shape). Zhang and Stephens's mean over the profile likelihood of
    b = -shape / scale, then drawn towards 0.5 as the paper on smoothing does, with the weight of ten draws.
    """
    m = over.size
    grid = GRID + int(math.sqrt(m))
    quartile = over[int(m / 4.0 + 0.5) - 1]
    b = 1.0 / over[-1] + (1.0 - np.sqrt(grid / (np.arange(grid) + 0.5))) / (3.0 * quartile)
    shapes = np.mean(np.log1p(-b[:, None] * over), axis=1)
    likely = m * (np.log(-b / shapes) - shapes - 1.0)
    weights = np.exp(likely - logsumexp(likely))
    mean = float(weights @ b)
    shape = float(np.mean(np.log1p(-mean * over)))
    scale = -shape / mean
    return (m * shape + PRIOR_DRAWS * PRIOR_SHAPE) / (m + PRIOR_DRAWS), scale
