"""Errors with a memory over several nights: of one sensor, deviation and memory are the same in each of them."""

from collections.abc import Sequence

import numpy as np
from scipy.optimize import minimize
from scipy.special import gammainc, gammaln, logsumexp

from simtent.identify.memory import FIRST_MEMORIES, WHITE, Errors
from simtent.network.arrays import Array

LARGEST = 1e4  # times the noise
LONGEST = (
    3.0 * 3600.0
)  # s; an error that lasts longer is an offset or a wrong parameter, and is to be found as one

MEMORIES = 40  # of a grid that memories are summed over
TINIEST = 1e-290  # share of the gamma distribution below which its series is taken


def likelihood(times: Sequence[Array], left: Sequence[Array], noise: float) -> float:
    """Logarithm of the likelihood of what is left of a sensor's readings, whatever its deviation and memory are.

    Both are summed over, believed evenly spread in their logarithms: the memory on a grid within its bounds, the
    deviation, above the noise, in closed form (a gamma distribution of its inverse square).

    times, left   of each night, [m] s and K
    noise         K, least deviation
    """
    half = 0.5 * sum(t.size for t in times)
    squares, sizes = _of_memories(times, left, _memories(times))
    shares = [_log_share(half, 0.5 * square / noise**2) for square in squares]
    parts = np.full(MEMORIES, 1.0 / (MEMORIES - 1))
    parts[[0, -1]] *= 0.5  # the trapezoidal rule
    return float(logsumexp(gammaln(half) - half * np.log(0.5 * squares) - sizes + shares, b=parts))


def _memories(times: Sequence[Array]) -> Array:
    """Memories evenly apart in their logarithms [s]."""
    spacing = float(np.median(np.concatenate([np.diff(t) for t in times])))
    return np.geomspace(WHITE * spacing, _longest(times), MEMORIES)


def _longest(times: Sequence[Array]) -> float:
    return min(LONGEST, max(float(t[-1] - t[0]) for t in times))


def _of_memories(times: Sequence[Array], left: Sequence[Array], memories: Array) -> tuple[Array, Array]:
    """Sum of the squares of whitened errors at unit deviation, and the logarithm of their size, for each memory."""
    squares, sizes = np.zeros(memories.size), np.zeros(memories.size)
    for t, rest in zip(times, left, strict=True):
        kept = np.exp(-np.diff(t) / memories[:, None])
        fresh = 1.0 - kept**2
        squares += rest[0] ** 2 + np.sum((rest[1:] - kept * rest[:-1]) ** 2 / fresh, axis=1)
        sizes += 0.5 * np.sum(np.log(fresh), axis=1)
    return squares, sizes


def _log_share(shape: float, x: float) -> float:
    """Logarithm of the gamma distribution's share below x, also where the share itself is 0 in floating point."""
    share = float(gammainc(shape, x))
    if share > TINIEST:
        return float(np.log(share))
    return float(shape * np.log(x) - x - gammaln(shape + 1.0) - np.log1p(-x / (shape + 1.0)))


def found(
    times: Sequence[Array], left: Sequence[Array], slopes: Sequence[Array], others: Array, noise: float
) -> Errors:
    """Most likely deviation [K] and memory [s] of a sensor's errors, by the restricted likelihood.

    times, left   of each night, [m] s and K
    slopes        of each night, [m, p] K per deviation of each parameter
    others        [p, p], what other sensors and beliefs know of the parameters
    noise         K, least deviation
    """
    spacing = float(np.median(np.concatenate([np.diff(t) for t in times])))
    size = sum(t.size for t in times)
    rms = max(noise, float(np.sqrt(sum(float(one @ one) for one in left) / size)))
    longest = _longest(times)

    def unlikely(logs: Array) -> float:
        one = Errors(float(np.exp(logs[0])), float(np.exp(logs[1])))
        total, known = size * logs[0], others
        for t, rest, moved in zip(times, left, slopes, strict=True):
            white, parts = one.whitened(t, rest), one.whitened(t, moved)
            total += 0.5 * float(white @ white) + 0.5 * float(np.sum(np.log(1.0 - one.kept(t) ** 2)))
            known = known + parts.T @ parts
        return float(total + 0.5 * np.linalg.slogdet(known)[1])

    bounds = [
        (np.log(noise), np.log(max(noise * LARGEST, rms * 10.0))),
        (np.log(WHITE * spacing), np.log(longest)),
    ]
    begins = [np.log([rms, min(max(f * spacing, WHITE * spacing), longest)]) for f in FIRST_MEMORIES]
    answers = [minimize(unlikely, begin, bounds=bounds) for begin in begins]
    best = min(answers, key=lambda answer: float(answer.fun))
    return Errors(float(np.exp(best.x[0])), float(np.exp(best.x[1])))
