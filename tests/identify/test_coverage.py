"""Ninety per cent intervals hold the truth ninety times in a hundred: forty planted nights whose errors remember."""

import numpy as np
import pytest
from scipy.stats import binomtest

from simtent.identify import fit

from .rooms import TRUTH, problem, with_errors

NAMES = ("loss", "wall", "film", "lag")
SERIES = 40


@pytest.mark.slow
def test_intervals_hold_the_truth_as_often_as_they_say():
    exactly = problem(NAMES, step=60.0, off=1.1)
    inside = np.zeros((SERIES, len(NAMES)), bool)
    far = np.zeros((SERIES, len(NAMES)))
    for seed in range(SERIES):
        found = fit(with_errors(exactly, 0.3, 240.0, seed), starts=1)
        intervals = found.intervals(0.9)
        inside[seed] = [intervals[n][0] <= TRUTH[n] <= intervals[n][1] for n in NAMES]
        far[seed] = [np.log(found.values[n] / TRUTH[n]) / found.deviations()[n] for n in NAMES]
    assert binomtest(int(inside.sum()), inside.size, 0.9).pvalue > 0.01, inside.mean(axis=0)
    for k in range(len(NAMES)):
        assert binomtest(int(inside[:, k].sum()), SERIES, 0.9).pvalue > 0.001, NAMES[k]
    assert np.abs(far).max() < 4.5
