"""Errors with a memory over several nights: of one sensor, deviation and memory are the same in each of them."""

from collections.abc import Sequence

import numpy as np
from scipy.optimize import minimize

from simtent.identify.memory import FIRST_MEMORIES, WHITE, Errors
from simtent.network.arrays import Array

LARGEST = 1e4  # times the noise
LONGEST = (
    3.0 * 3600.0
)  # s; an error that lasts longer is an offset or a wrong parameter, and is to be found as one


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
    longest = min(LONGEST, max(float(t[-1] - t[0]) for t in times))

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
