"""Errors with a memory over several nights."""

import numpy as np
import pytest

from simtent.calibrate import errors
from simtent.identify import memory
from tests.calibrate.drawn import autoregression

NONE = np.eye(1)
DEVIATION, MEMORY = 0.8, 900.0


def night(seed, step=60.0, number=800):
    times = step * np.arange(number) + 3e4 * seed
    return times, autoregression(times, DEVIATION, MEMORY, seed)


def flat(times):
    return np.zeros((times.size, 1))


def test_deviation_and_memory_are_those_of_both_nights():
    times, left = zip(*(night(seed, number=3000) for seed in (1, 2)), strict=True)
    one = errors.found(times, left, [flat(t) for t in times], NONE, 0.1)
    assert one.deviation == pytest.approx(DEVIATION, rel=0.15)
    assert one.memory == pytest.approx(MEMORY, rel=0.3)


def test_of_one_night_it_is_what_identify_finds():
    times, left = night(4)
    slopes = np.column_stack((np.ones(times.size), times / times[-1]))
    one = errors.found([times], [left], [slopes], np.eye(2), 0.1)
    other = memory.found(times, left, slopes, np.eye(2), 0.1)
    assert (one.deviation, one.memory) == pytest.approx((other.deviation, other.memory), rel=1e-3)


def test_nights_are_independent_of_each_other():
    """A jump from one night's last error to the next night's first says nothing of the memory."""
    (t, left), (u, more) = night(1), night(2)
    more = more - more[0] + left[-1] + 5.0 * DEVIATION
    apart = errors.found([t, u], [left, more], [flat(t), flat(u)], NONE, 0.1)
    moved = errors.found([t, u + 1e6], [left, more], [flat(t), flat(u)], NONE, 0.1)
    assert (apart.deviation, apart.memory) == (moved.deviation, moved.memory)


def test_a_gap_is_no_fresh_start_and_no_neighbour():
    """Half the readings gone at random: the same error is found, since it forgets by time and not by reading."""
    times, left = night(7, number=4000)
    kept = np.random.default_rng(1).random(times.size) < 0.5
    whole = errors.found([times], [left], [flat(times)], NONE, 0.1)
    holes = errors.found([times[kept]], [left[kept]], [flat(times[kept])], NONE, 0.1)
    assert holes.memory == pytest.approx(whole.memory, rel=0.15)
    assert holes.deviation == pytest.approx(whole.deviation, rel=0.1)


def test_what_a_number_swallows_is_counted():
    """Of five readings and one number, the deviation divides by four: the restricted likelihood, as in textbooks."""
    chance = np.random.default_rng(5)
    found, plain = [], []
    for _ in range(60):
        times = [3600.0 * np.arange(5.0)]
        raw = chance.normal(0.0, 1.0, 5)
        left = [raw - raw.mean()]
        white = errors.found(times, left, [np.ones((5, 1))], np.zeros((1, 1)), 1e-3)
        found.append(white.deviation**2)
        plain.append(float(left[0] @ left[0]) / 5.0)
    assert np.mean(found) > 1.15 * np.mean(plain)


def test_noise_is_a_floor_and_hours_are_a_ceiling():
    times, left = night(1)
    calm = errors.found([times], [1e-4 * left], [flat(times)], NONE, 0.2)
    assert calm.deviation == pytest.approx(0.2)
    drift = errors.found([times], [np.linspace(-3.0, 3.0, times.size)], [flat(times)], NONE, 0.2)
    assert drift.memory <= errors.LONGEST * (1.0 + 1e-9)
