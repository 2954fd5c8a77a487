"""Weighed draws in rounds, each drawn about what the rounds before it have found; no draw is thrown away.

Every draw is weighed by the density over the mixture of all distributions that draws came from, as if each could have
come from any of them: Cornuet, Marin, Mira and Robert 2012, Scandinavian Journal of Statistics 39(4), adaptive multiple
importance sampling.
"""

import math
from dataclasses import replace

import numpy as np
from scipy.special import logsumexp
from scipy.stats import multivariate_t

from simtent.identify.resampling import Densities, Resampled, asked, drawn, growth, moments, weighed
from simtent.network.arrays import Array

PER_NUMBER = 5.0  # effective draws that the next round's mean and covariance rest on
MILDER = 0.9  # factor on the power of weights, step by step


def adapted(
    densities: Densities,
    centre: Array,
    covariance: Array,
    bounds: tuple[Array, Array],
    n: int,
    *,
    wanted: float,
    rounds: int,
    freedom: float,
    seed: int = 0,
) -> Resampled:
    """Draw n points a round, until all draws together can be trusted and count as many as wanted.

    densities   natural logarithms of the density [n] at points [n, p], up to a constant; -inf where there is none
    centre, covariance, bounds   of the first round, [p]; [p, p], finite; lowest and highest [p]
    freedom     degrees of freedom, above 2 and finite, of the multivariate t that draws come from
    Raises ValueError where the first bell curve lies outside the bounds, or a density is no number.
    """
    points, logs = np.zeros((0, centre.size)), np.zeros(0)
    used: list[tuple[Array, Array]] = []
    for k in range(rounds):
        more, _ = drawn(centre, covariance, bounds, n, freedom=freedom, seed=(seed, k))
        points, logs = np.concatenate((points, more)), np.concatenate((logs, asked(densities, more)))
        used.append((centre, covariance))
        weights = logs - _mixture(points, used, freedom)
        found = weighed(points, weights, wanted)
        found = replace(found, grown=growth(moments(found)[1], _widest(used), freedom))
        if found.trusted or found.failed == len(points):
            break
        centre, covariance = _next(points, weights)
    return found


def _mixture(points: Array, used: list[tuple[Array, Array]], freedom: float) -> Array:
    """Logarithm of the mean density of the distributions that were drawn from, shape (n,)."""
    each = [multivariate_t.logpdf(points, centre, shape, df=freedom) for centre, shape in used]
    return np.asarray(logsumexp(each, axis=0) - math.log(len(used)))


def _widest(used: list[tuple[Array, Array]]) -> Array:
    """Covariance of the mixture of all rounds, t's tails apart."""
    middle = np.mean([centre for centre, _ in used], axis=0)
    parts = [shape + np.outer(centre - middle, centre - middle) for centre, shape in used]
    return np.asarray(np.mean(parts, axis=0))


def _next(points: Array, logs: Array) -> tuple[Array, Array]:
    """Mean and covariance that the next round is drawn about.

    Where few draws outweigh the others, their weights are raised to a power below 1 until enough count: too wide a
    curve costs some draws, one around a few points would never see the rest.
    """
    enough = min(PER_NUMBER * points.shape[1], 0.5 * np.count_nonzero(np.isfinite(logs)))
    power = 1.0
    while _effective(power * logs) < enough:
        power *= MILDER
    weights = np.exp(power * logs - logsumexp(power * logs))
    mean = weights @ points
    away = points - mean
    return np.asarray(mean), np.asarray((weights[:, None] * away).T @ away)


def _effective(logs: Array) -> float:
    """As how many independent draws weights count that are given by their logarithms."""
    return float(np.exp(2.0 * logsumexp(logs) - logsumexp(2.0 * logs)))
