"""Walkers against closed forms; chains that are short, stuck or at odds are refused."""

import math
import sys

import numpy as np
import pytest

from simtent.identify.chains import (
    UnsampledError,
    autocorrelation_time,
    judged,
    sampled,
    split_ratio,
)
from simtent.identify.resampling import drawn

from .curves import BEND, COVARIANCE, THIN, banana, bell, two_hills, wide


def begins(p, walkers=16, seed=1):
    return np.random.default_rng(seed).standard_normal((walkers, p))


def remembering(kept, length, walkers, seed=0):
    """First-order autoregressions of variance 1, shape [length, walkers]."""
    chance = np.random.default_rng(seed)
    out = np.empty((length, walkers))
    out[0] = chance.standard_normal(walkers)
    for k in range(1, length):
        out[k] = kept * out[k - 1] + math.sqrt(1.0 - kept**2) * chance.standard_normal(walkers)
    return out


@pytest.mark.parametrize("kept", [0.0, 0.5, 0.9])
def test_the_autocorrelation_time_of_an_autoregression(kept):
    walks = remembering(kept, 20000, 8)
    assert autocorrelation_time(walks) == pytest.approx((1.0 + kept) / (1.0 - kept), rel=0.05)


def test_the_autocorrelation_time_as_the_sampler_has_it():
    from emcee.autocorr import integrated_time  # noqa: PLC0415

    walks = remembering(0.8, 4000, 12, seed=2)
    assert autocorrelation_time(walks) == pytest.approx(
        float(integrated_time(walks[:, :, None])[0]), rel=0.05
    )


def test_the_ratio_of_walkers_that_agree_and_of_those_apart():
    walks = remembering(0.0, 1000, 16)
    assert split_ratio(walks) == pytest.approx(1.0, abs=1e-3)
    apart = walks + np.repeat([0.0, 0.0, 0.0, 1.0], 4)  # means of parts have a variance of 3/14
    assert split_ratio(apart) == pytest.approx(math.sqrt(1.0 + 3.0 / 14.0), rel=0.01)
    drift = walks + np.linspace(0.0, 3.0, 1000)[:, None]
    assert split_ratio(drift) > 1.1


def test_a_bell_curve():
    found = sampled(bell, drawn(np.zeros(3), COVARIANCE, wide(3), 16)[0], wide(3), wanted=400, seed=3)
    assert found.trusted, found.words()
    points = found.draws(20000)
    assert np.mean(points, axis=0) == pytest.approx(np.zeros(3), abs=0.25)
    assert np.cov(points.T) == pytest.approx(COVARIANCE, abs=0.6)
    assert "independent draws" in found.words()[0]


@pytest.mark.slow
def test_a_banana():
    found = sampled(banana, begins(2, 32) * 0.5, wide(2), wanted=1500, most=40000, seed=1)
    assert found.trusted, found.words()
    x, y = found.draws(50000).T
    assert (np.mean(x), np.var(x)) == (pytest.approx(0.0, abs=0.12), pytest.approx(1.0, rel=0.12))
    assert (np.mean(y), np.var(y)) == (
        pytest.approx(BEND, rel=0.12),
        pytest.approx(2.0 * BEND**2 + THIN**2, rel=0.25),
    )


def test_bounds_are_kept_and_the_density_is_not_asked_beyond():
    def asked(points):
        assert np.all(points >= 0.0)
        return -0.5 * np.sum(points**2, axis=1)

    found = sampled(asked, np.abs(begins(1)), (np.zeros(1), np.full(1, 9.0)), wanted=800, seed=2)
    assert found.trusted and found.steps.min() >= 0.0
    assert np.mean(found.steps) == pytest.approx(math.sqrt(2.0 / math.pi), abs=0.06)


def test_short_chains_are_refused():
    found = sampled(bell, begins(3), wide(3), wanted=10, most=200)
    assert not found.trusted and "50 are needed" in found.words()[0]
    with pytest.raises(UnsampledError, match="refused"):
        found.draws(5)


def test_fewer_draws_than_asked_for_are_refused():
    found = judged(remembering(0.0, 1000, 8)[:, :, None], wanted=1e5)
    assert found.words()[0].startswith("The chains are refused: they hold")


def test_walkers_that_stay_on_two_hills_are_refused():
    sides = np.where(np.random.default_rng(0).uniform(size=(24, 1)) < 0.5, -8.0, 8.0)
    found = sampled(two_hills, sides + begins(3, 24), wide(3), most=3000)
    assert not found.trusted


def test_walkers_that_do_not_move_are_refused():
    still = np.broadcast_to(begins(1).T[:, :, None], (500, 16, 1)).copy()
    assert not judged(still, 1.0).trusted
    assert not judged(np.zeros((500, 16, 1)), 1.0).trusted


def test_an_interrupted_walk_keeps_its_steps_and_says_so():
    def stop(done, most):
        if done == 60:
            raise KeyboardInterrupt

    found = sampled(bell, begins(3), wide(3), progress=stop)
    assert found.stopped and len(found.steps) == 45  # a quarter is forgotten
    assert found.words()[0].endswith("They were interrupted.")


def test_progress_is_told():
    told = []
    sampled(bell, begins(3), wide(3), most=20, progress=lambda done, most: told.append((done, most)))
    assert told == [(k, 20) for k in range(1, 21)]


def test_too_few_walkers_are_refused():
    with pytest.raises(ValueError, match="even number"):
        sampled(bell, begins(3, 10), wide(3))


def test_a_missing_sampler_is_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "emcee", None)
    with pytest.raises(UnsampledError, match=r"simtent\[posterior\]"):
        sampled(bell, begins(3), wide(3))
