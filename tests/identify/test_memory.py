"""The deviation of errors counts what the parameters have swallowed."""

import numpy as np
import pytest

from simtent.identify import memory


def test_twenty_numbers_for_sixty_readings_do_not_shrink_the_deviation():
    chance, times, found = np.random.default_rng(0), np.arange(60.0), []
    for _ in range(30):
        slopes, errors = chance.standard_normal((60, 20)), chance.standard_normal(60)
        left = errors - slopes @ np.linalg.lstsq(slopes, errors)[0]
        found.append(memory.found(times, left, slopes, np.zeros((20, 20)), 0.01).deviation)
    assert np.mean(np.square(found)) == pytest.approx(1.0, abs=0.15)  # two thirds where they are not counted
