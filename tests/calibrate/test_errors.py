"""Errors with a memory over several nights."""

import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from scipy.special import gammaln
from scipy.stats import multivariate_normal

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


def by_integral(times, left, noise):
    """The likelihood of three readings or so, both numbers summed by a library on their logarithms."""
    spacing, longest = float(np.median(np.diff(times))), min(errors.LONGEST, float(times[-1] - times[0]))
    low, high = np.log(memory.WHITE * spacing), np.log(longest)

    def at(log_deviation, log_memory):
        kept = np.exp(-np.abs(times[:, None] - times) / np.exp(log_memory))
        law = multivariate_normal(np.zeros(times.size), np.exp(2.0 * log_deviation) * kept)
        return law.pdf(left)

    return dblquad(at, low, high, np.log(noise), np.log(noise) + 12.0, epsrel=1e-6)[0] / (high - low)


def test_the_likelihood_is_summed_over_deviation_and_memory():
    """Against SciPy's quadrature of SciPy's normal distribution; only differences of the logarithm count."""
    times = np.array([0.0, 60.0, 120.0, 240.0, 300.0])
    series = np.array(
        [[0.5, 0.4, 0.1, -0.3, -0.2], [0.5, -0.4, 0.6, 0.3, -0.7], [0.02, 0.01, 0.03, 0.0, 0.01]]
    )
    found = np.array([errors.likelihood([times], [one], 0.1) for one in series])
    wanted = np.log([by_integral(times, one, 0.1) for one in series])
    assert np.diff(found) == pytest.approx(np.diff(wanted), abs=0.01)


def test_nights_of_a_sensor_share_their_errors():
    """Two nights of one deviation are likelier than two of deviations ten times apart, of equal geometric mean."""
    (t, left), (u, more) = night(1), night(2)
    alike = errors.likelihood([t, u], [left, more], 0.01)
    apart = errors.likelihood([t, u], [left * 10.0**0.5, more / 10.0**0.5], 0.01)
    assert alike > apart + 100.0


@pytest.mark.parametrize("x", [3.0, 30.0, 120.0])
def test_a_share_too_small_for_floating_point_has_a_logarithm(x):
    """By SciPy's quadrature of the distribution's own integral, scaled to its upper end."""
    rest = quad(lambda t: np.exp(-x * (t - 1.0) + 499.0 * np.log(t)), 0.0, 1.0, points=[0.99])[0]
    wanted = 500.0 * np.log(x) - x - gammaln(500.0) + np.log(rest)
    assert errors._log_share(500.0, x) == pytest.approx(wanted, abs=1e-3)
