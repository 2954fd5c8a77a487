"""What one more night would tell: its own times and masses are unknown again, by the whole joint normal."""

import numpy as np
import pytest

from simtent.calibrate.helpful import _without


def information(seed, size):
    rows = np.random.default_rng(seed).normal(size=(30, size))
    return rows.T @ rows


def test_what_a_night_tells_with_its_own_numbers_unknown_again():
    """Numbers 0 and 1 are common, 2 is the last night's own, 3 a new sensor's; the joint of all five by one inverse."""
    before, night = information(1, 3) + np.eye(3), information(2, 4)
    joint = np.eye(5)  # 0, 1, the last night's own, the new night's own, the sensor's
    joint[:3, :3] = before
    new = [0, 1, 3, 4]
    joint[np.ix_(new, new)] += night
    wanted = np.linalg.inv(joint)[:3, :3]
    found = np.linalg.inv(before + _without(night, [2], 3))
    assert found == pytest.approx(wanted)


def test_a_night_that_tells_only_of_itself_tells_nothing_else():
    """Were the last night's own number counted once more, it would become known; so it stays as it was."""
    night = np.zeros((3, 3))
    night[2, 2] = 1e6
    assert _without(night, [2], 3) == pytest.approx(np.zeros((3, 3)))
