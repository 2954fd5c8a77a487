"""Draws in rounds against closed forms: what a first bell curve misses, later rounds find, and none is thrown away."""

import math

import numpy as np
import pytest

from simtent.identify.adapted import adapted
from simtent.identify.resampling import Resampled, UntrustedError

from .curves import COVARIANCE, banana, bell, wide

ROUNDS = {"rounds": 8, "freedom": 7.0}


def moments(found):
    mean = found.weights @ found.points
    away = found.points - mean
    return mean, (found.weights[:, None] * away).T @ away


def test_a_bell_curve_that_lies_elsewhere_and_is_wider():
    """The first round is far off and a quarter as wide: its own draws alone are refused."""
    begin = np.sqrt(np.diag(COVARIANCE)) * 2.0
    first = adapted(bell, begin, COVARIANCE / 4.0, wide(3), 400, wanted=1500.0, rounds=1, freedom=7.0)
    assert not first.trusted
    found = adapted(bell, begin, COVARIANCE / 4.0, wide(3), 400, wanted=1500.0, **ROUNDS)
    assert found.trusted and len(found.points) % 400 == 0
    mean, spread = moments(found)
    far = np.sqrt(np.diag(COVARIANCE))
    assert mean / far == pytest.approx(np.zeros(3), abs=0.1)
    assert np.diag(spread) == pytest.approx(np.diag(COVARIANCE), rel=0.15)


def test_draws_of_all_rounds_count_together():
    """A bell curve that is drawn by itself every round: the mixture is that curve, n draws count nearly as n."""
    found = adapted(bell, np.zeros(3), COVARIANCE, wide(3), 1000, wanted=2500.0, rounds=4, freedom=200.0)
    assert found.trusted and len(found.points) == 3000
    assert found.effective > 0.85 * 3000


def test_weights_hold_the_normalizing_constant():
    """The mean weight before it is divided out is the density's integral: the same for any first round."""
    shares = []
    for scale in (1.0, 2.0):
        found = adapted(
            banana, np.array([0.0, 1.5]), scale * np.diag([2.0, 20.0]), wide(2), 4000, wanted=1e9, **ROUNDS
        )
        inside = np.abs(found.points[:, 0]) < 0.6744897501960817
        shares.append(float(found.weights[inside].sum()))
    assert shares == pytest.approx([0.5, 0.5], abs=0.03)  # quartiles of a standard normal


def test_it_ends_as_soon_as_enough_draws_count():
    asked = []

    def counted(points):
        asked.append(len(points))
        return bell(points)

    found = adapted(counted, np.zeros(3), COVARIANCE, wide(3), 500, wanted=200.0, **ROUNDS)
    assert found.trusted and asked == [500]


def test_a_density_that_is_nowhere_is_refused():
    found = adapted(
        lambda x: np.full(len(x), -np.inf), np.zeros(3), COVARIANCE, wide(3), 200, wanted=50.0, **ROUNDS
    )
    assert not found.trusted and found.failed == 200 and math.isinf(found.shape)
    with pytest.raises(UntrustedError, match="cannot be trusted"):
        found.draws(10)


def test_the_same_seed_gives_the_same_draws():
    one, two = (
        adapted(bell, np.ones(3), COVARIANCE, wide(3), 200, wanted=500.0, seed=3, **ROUNDS) for _ in range(2)
    )
    assert np.array_equal(one.points, two.points) and np.array_equal(one.weights, two.weights)
    assert one.quantiles(0, (0.05, 0.95)) == two.quantiles(0, (0.05, 0.95))


def test_quantiles_of_weighed_draws():
    """Of a standard normal: -1.645 and 1.645; straight between draws, so that one draw decides nothing."""
    found = adapted(
        lambda x: -0.5 * np.sum(x**2, axis=1), np.zeros(2), 4.0 * np.eye(2), wide(2), 20000, wanted=1e9,
        rounds=1, freedom=7.0,
    )  # fmt: skip
    assert found.quantiles(1, (0.05, 0.5, 0.95)) == pytest.approx([-1.645, 0.0, 1.645], abs=0.04)


def test_few_draws_say_that_they_are_few():
    """Intervals of nine in ten by 30 draws hold nine in ten further draws; without the correction 87 in a hundred."""
    chance = np.random.default_rng(4)
    held = []
    for _ in range(4000):
        points = chance.standard_normal((30, 1))
        one = Resampled(points, np.full(30, 1.0 / 30.0), -math.inf, 0.7, 30.0, 30.0, 0)
        low, high = one.quantiles(0, (0.05, 0.95))
        held.append(low < chance.standard_normal() < high)
    assert np.mean(held) == pytest.approx(0.9, abs=0.012)
