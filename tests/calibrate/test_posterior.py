"""Laplace's normal against closed forms of a linear model, its axes, intervals and draws."""

import numpy as np
import pytest
from scipy.stats import norm

from simtent.calibrate.posterior import laplace
from simtent.calibrate.sought import Sought

NAMES = ("model.walls", "model.leak_area", "offset of cot")
SOUGHT = (
    Sought("model.walls", "1", 1.0, 0.2, 0.3, 3.0, "own choice", keys=("model.walls",)),
    Sought("model.leak_area", "cm2", 150.0, 0.7, 1.0, 3000.0, "own choice", keys=("model.leak_area",)),
    Sought("offset of cot", "K", 0.0, 0.5, -5.0, 5.0, "own choice", factor=False, sensor="cot"),
)
SLOPES = np.random.default_rng(8).normal(size=(40, 3)) * [2.0, 0.3, 0.001]
Z = np.array([0.5, -1.0, 0.2])


@pytest.fixture(scope="module")
def known():
    return laplace(SOUGHT, Z, SLOPES)


def test_it_is_the_posterior_of_a_linear_model(known):
    """Readings A z with unit errors, a belief of deviation 1: covariance (1 + A' A)^-1, sequentially as well."""
    assert known.covariance == pytest.approx(np.linalg.inv(np.eye(3) + SLOPES.T @ SLOPES))
    covariance = np.eye(3)
    for row in SLOPES:  # one reading after the other, by the gain of a Kalman filter
        gain = covariance @ row / (1.0 + row @ covariance @ row)
        covariance = covariance - np.outer(gain, row @ covariance)
    assert known.covariance == pytest.approx(covariance)


def test_what_readings_say_nothing_of_stays_as_believed(known):
    assert known.deviations[2] == pytest.approx(1.0, abs=1e-4)
    assert known.narrowed("model.walls") and not known.narrowed("offset of cot")
    low, high = known.interval("offset of cot")
    reach = norm.ppf(0.95) * 0.5
    assert (low, high) == pytest.approx((0.1 - reach, 0.1 + reach), rel=1e-3)
    nothing = laplace(SOUGHT, Z, np.zeros((5, 3)))
    assert nothing.covariance == pytest.approx(np.eye(3))


def test_intervals_are_central_and_stay_within_bounds(known):
    low, high = known.interval("model.walls", 0.99)
    middle = known.value("model.walls")
    assert high / middle == pytest.approx(middle / low)
    assert np.log(high / middle) == pytest.approx(norm.ppf(0.995) * 0.2 * known.deviations[0])
    far = laplace(SOUGHT, np.array([0.0, 4.2, 0.0]), np.zeros((1, 3)))
    assert far.interval("model.leak_area")[1] == 3000.0


def test_axes_are_independent_directions_that_make_up_the_covariance(known):
    where = [0, 1]
    axes = known.axes(NAMES[:2])
    assert axes.T @ axes == pytest.approx(known.covariance[np.ix_(where, where)])
    assert axes[0] @ axes[1] == pytest.approx(0.0, abs=1e-12)
    assert np.linalg.norm(axes[0]) >= np.linalg.norm(axes[1])


def test_draws_have_its_mean_and_covariance(known):
    drawn = known.draws(40_000, seed=2)
    assert drawn.mean(axis=0) == pytest.approx(Z, abs=0.02)
    assert np.cov(drawn.T) == pytest.approx(known.covariance, abs=0.02)
    assert np.array_equal(known.draws(5, seed=3), known.draws(5, seed=3))
    wide = laplace(SOUGHT, np.array([5.0, 0.0, 9.9]), np.zeros((1, 3))).draws(2000)
    low, high = np.array([one.ends for one in SOUGHT]).T
    assert np.all((wide >= low) & (wide <= high))
