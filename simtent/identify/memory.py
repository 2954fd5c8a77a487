"""Errors with a memory: neighbouring readings err alike, so a thousand of them tell less than a thousand alone would.

The error of a reading has deviation s and forgets with a time constant m (first-order autoregression, for any
spacing): between readings d apart it keeps r = exp(-d / m) of itself. Both are found from what a fit leaves over,
by the restricted likelihood, which counts what the parameters have swallowed.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from simtent.network.arrays import Array

WHITE = 0.05  # of the spacing: errors that forget so fast are as good as independent
FIRST_MEMORIES = (0.3, 3.0, 30.0)  # of the spacing, where the search begins
LARGEST = 1e4  # times the noise given


@dataclass(frozen=True)
class Errors:
    """How one column errs: standard deviation [K] and memory [s]."""

    deviation: float
    memory: float

    def kept(self, times: Array) -> Array:
        """Part of an error that is left at the next reading, shape [m - 1]."""
        return np.asarray(np.exp(-np.diff(times) / self.memory))

    def whitened(self, times: Array, errors: Array) -> Array:
        """Errors, or their slopes, in independent standard deviations; shape [m] or [m, p] as given."""
        kept = self.kept(times).reshape(-1, *[1] * (errors.ndim - 1))
        fresh = (errors[1:] - kept * errors[:-1]) / np.sqrt(1.0 - kept**2)
        return np.concatenate((errors[:1], fresh)) / self.deviation


def white(times: Array, errors: Array, noise: float) -> Errors:
    """Independent errors of the size that was left over [K], at least the noise."""
    rms = float(np.sqrt(np.mean(errors**2)))
    return Errors(max(noise, rms), WHITE * float(np.median(np.diff(times))))


def found(times: Array, errors: Array, slopes: Array, others: Array, noise: float) -> Errors:
    """Most likely deviation and memory of a column's errors.

    times, errors   [m] s and K
    slopes          [m, q] K, of the directions of the parameters that are found
    others          [q, q], what other columns and priors know of these directions
    noise           K, least deviation
    """
    spacing, span = float(np.median(np.diff(times))), float(times[-1] - times[0])
    begin = white(times, errors, noise)

    def unlikely(logs: Array) -> float:
        """Negative restricted log-likelihood."""
        one = Errors(float(np.exp(logs[0])), float(np.exp(logs[1])))
        left, moved = one.whitened(times, errors), one.whitened(times, slopes)
        size = times.size * logs[0] + 0.5 * float(np.sum(np.log(1.0 - one.kept(times) ** 2)))
        known = float(np.linalg.slogdet(others + moved.T @ moved)[1])
        return float(0.5 * (left @ left) + size + 0.5 * known)

    low, high = np.log(noise), np.log(max(noise * LARGEST, begin.deviation * 10.0))
    bounds = [(low, high), (np.log(WHITE * spacing), np.log(span))]
    answers = [
        minimize(unlikely, np.log([begin.deviation, min(factor * spacing, span)]), bounds=bounds)
        for factor in FIRST_MEMORIES
    ]
    best = min(answers, key=lambda answer: float(answer.fun))
    return Errors(float(np.exp(best.x[0])), float(np.exp(best.x[1])))
