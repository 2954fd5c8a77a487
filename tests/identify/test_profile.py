"""Ends of profile likelihoods against closed forms; ends that are missing are told."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import chi2

from simtent.identify.profile import RISE, profile

from .curves import BEND, COVARIANCE, THIN

WIDE = (-50.0, 50.0)


def alone(cost):
    """The least cost of a single parameter, and how often it was asked for."""
    calls = []

    def least(index, value, begin):
        assert begin[index] == value
        calls.append(value)
        return cost(value), np.array([value])

    return least, calls


def test_the_rise_is_half_a_quantile_of_chi_square():
    assert pytest.approx(0.5 * chi2.ppf(0.9, 1), rel=1e-4) == RISE


@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_bell_curve_takes_one_call_an_end(index):
    """The conditional mean of the others is linear in the one that is held: Laplace's interval."""
    calls = []

    def least(k, value, begin):
        calls.append(value)
        point = COVARIANCE[:, k] / COVARIANCE[k, k] * value
        assert begin == pytest.approx(point, abs=1e-9)
        return 7.0 + 0.5 * value**2 / COVARIANCE[k, k], point

    found = profile(least, index, np.zeros(3), 7.0, COVARIANCE, WIDE)
    far = 1.6449 * math.sqrt(COVARIANCE[index, index])
    assert found.interval() == pytest.approx((-far, far), rel=1e-4)
    assert found.closed and found.words("it") == () and len(calls) == 2


def bent(index, value, begin):
    """Least cost of the bent ridge with y held: x is 0 or lies on the ridge's flank."""
    square = max((value - THIN**2 / (2.0 * BEND)) / BEND, 0.0)
    x = math.sqrt(square)
    return 0.5 * (square + ((value - BEND * square) / THIN) ** 2), np.array([x, value])


def test_a_bent_ridge_has_uneven_ends():
    best, covariance = np.zeros(2), np.diag([1.0, THIN**2])
    found = profile(bent, 1, best, 0.0, covariance, WIDE)
    high = brentq(lambda y: bent(1, y, None)[0] - RISE, 0.0, 50.0)
    assert found.high.value == pytest.approx(high, rel=5e-3)
    assert found.low.value == pytest.approx(-math.sqrt(2.0 * RISE) * THIN, rel=5e-3)
    assert high > 4.0 * -found.low.value
    assert len(found.values) <= 10 and np.all(np.diff(found.values) > 0.0)


@pytest.mark.parametrize("count", [1, 4, 30])
def test_a_counted_rate(count):
    """Poisson: the cost of a rate m is m - count ln m; Laplace's deviation is the root of the count."""

    def cost(rate):
        return rate - count * math.log(rate)

    least, calls = alone(cost)
    found = profile(
        least, 0, np.array([float(count)]), cost(count), np.array([[float(count)]]), (1e-3, 200.0)
    )
    risen = lambda m: cost(m) - cost(count) - RISE  # noqa: E731
    expected = brentq(risen, 1e-3, count), brentq(risen, count, 200.0)
    assert found.interval() == pytest.approx(expected, rel=0.01)
    assert len(calls) <= (12 if count == 1 else 7)


def test_no_end_within_the_bounds_is_told():
    least, calls = alone(lambda x: 0.5 * x**2 if x < 0.0 else 0.5 * math.tanh(x))
    found = profile(least, 0, np.zeros(1), 0.0, np.eye(1), (-5.0, 30.0))
    assert found.high.value is None and not found.closed
    assert found.interval() == pytest.approx((-1.645, 30.0), rel=0.01)
    assert found.words("loss") == (
        "loss: no upper end within the bounds; the readings bear every value up to there.",
    )
    assert len(calls) <= 10


def test_nothing_known_near_the_best_point_walks_to_the_bound_first():
    least, calls = alone(lambda x: 0.0)
    found = profile(least, 0, np.zeros(1), 0.0, np.full((1, 1), np.inf), (-2.0, 3.0))
    assert (found.low.why, found.high.why, len(calls)) == ("bound", "bound", 2)


def test_an_end_at_the_best_point_itself():
    least, _ = alone(lambda x: 0.5 * x**2)
    assert profile(least, 0, np.zeros(1), 0.0, np.eye(1), (0.0, 9.0)).low.why == "bound"


def test_where_nothing_can_be_solved_the_end_is_lost():
    least, _ = alone(lambda x: 0.5 * x**2 if x < 1.0 else math.inf)
    found = profile(least, 0, np.zeros(1), 0.0, np.eye(1), WIDE)
    assert found.high.why == "lost"
    assert "could not be followed" in found.words("lag")[0]


def test_a_better_fit_on_the_way_is_told():
    least, _ = alone(lambda x: 0.5 * x**2 if x < 1.0 else 0.5 * (x - 2.0) ** 2 - 1.0)
    found = profile(least, 0, np.zeros(1), 0.0, np.eye(1), WIDE)
    assert found.lower is not None and found.lower[0] > 1.0
    assert "fit again" in found.words("wall")[-1]


def test_an_end_that_another_bound_makes_is_told():
    """Only x + y is known; x goes as far as y's bound lets it, and a little."""

    def least(index, value, begin):
        y = min(max(-value, -3.0), 9.0)
        return 0.5 * (value + y) ** 2, np.array([value, y])

    spread = np.array([[10.0, -9.0], [-9.0, 10.0]])
    bounds = (np.array([-20.0, -3.0]), np.array([20.0, 9.0]))
    found = profile(least, 0, np.zeros(2), 0.0, spread, (-20.0, 20.0), bounds)
    assert found.interval() == pytest.approx((-9.0 - 1.645, 3.0 + 1.645), rel=0.01)
    assert not found.closed
    assert found.words("x")[1] == "x: the upper end is there only since another parameter met its bound."


def test_a_cliff_is_found_by_halving():
    least, calls = alone(lambda x: 0.0 if x < 7.0 else 1e12)
    found = profile(least, 0, np.zeros(1), 0.0, np.full((1, 1), np.inf), (-2.0, 40.0))
    assert found.high.value == pytest.approx(7.0, rel=0.01) and len(calls) <= 14
