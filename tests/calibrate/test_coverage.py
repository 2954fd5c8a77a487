"""Intervals of a fit hold the truth as often as they say: nights made by the model itself, errors with a memory.

The binomial laws are the reference; nothing here proves the model, only what the fit makes of its own.
"""

import numpy as np
import pytest
from scipy.stats import binomtest

from tests.benchmarks.coverage import SHARE, covered

FITS = 40
POOLED, EACH = 0.01, 0.001  # chance below which the share is not believed


@pytest.mark.slow
@pytest.mark.compiled
def test_forty_planted_truths_lie_in_their_intervals_as_often_as_said() -> None:
    rows = [covered(seed) for seed in range(1000, 1000 + FITS)]
    inside = np.array([[held for _, held, _ in row] for row in rows])
    assert binomtest(int(inside.sum()), inside.size, SHARE).pvalue > POOLED
    for k, (name, *_) in enumerate(rows[0]):
        assert binomtest(int(inside[:, k].sum()), FITS, SHARE).pvalue > EACH, name
