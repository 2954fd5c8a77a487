"""Intervals of a fit hold the truth as often as they say: nights made by the model itself, errors with a memory.

The binomial laws are the reference; nothing here proves the model, only what the fit makes of its own.
"""

from functools import cache

import numpy as np
import pytest
from scipy.stats import binomtest

from tests.benchmarks.held_truths import SHARE, covered

FITS = 40
POOLED, EACH = 0.01, 0.001  # chance below which the share is not believed


@cache
def rows() -> tuple[tuple[tuple[str, bool, float], ...], ...]:
    return tuple(tuple(covered(seed)) for seed in range(1000, 1000 + FITS))


def held() -> np.ndarray:
    return np.array([[inside for _, inside, _ in row] for row in rows()])


@pytest.mark.slow
@pytest.mark.compiled
def test_errors_of_forty_planted_truths_are_as_large_as_said() -> None:
    """In their own deviations errors are standard: the median size of a normal law is 0.67."""
    errors = np.array([[error for *_, error in row] for row in rows()])
    assert 0.5 < float(np.median(np.abs(errors))) < 0.85
    assert float(np.abs(errors.mean(axis=0)).max()) < 4.0 / np.sqrt(FITS)


@pytest.mark.slow
@pytest.mark.compiled
def test_forty_planted_truths_lie_in_their_intervals_as_often_as_said() -> None:
    inside = held()
    assert binomtest(int(inside.sum()), inside.size, SHARE).pvalue > POOLED
    for k, (name, *_) in enumerate(rows()[0]):
        assert binomtest(int(inside[:, k].sum()), FITS, SHARE).pvalue > EACH, name
