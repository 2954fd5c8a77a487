"""The two baselines against closed forms, another integrator, and planted numbers."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from simtent.calibrate.baselines import Night, OneResistor, one_resistor, persistence

MINUTES = np.arange(0.0, 12 * 3600.0, 60.0)
LOADS = np.array([1800.0, 7200.0, 16200.0, 27000.0])
HEATS = np.array([25e6, 40e6, 60e6, 35e6])
COLD = np.full(MINUTES.size, 263.0)


def night(kelvin, seconds=MINUTES, outdoors=COLD, loads=LOADS, heats=HEATS):
    return Night(seconds, np.asarray(kelvin), outdoors, loads, heats)


def drifting(seed):
    """Outdoor air that wanders."""
    steps = np.random.default_rng(seed).normal(0.0, 0.05, MINUTES.size)
    return 266.0 + np.cumsum(steps)


def test_a_long_load_answers_as_a_step_does():
    one = OneResistor(tau=1800.0, g=0.01, b=1e9)
    got = one.predict(MINUTES, COLD, np.array([0.0]), np.array([1e9 * 2000.0]))
    assert got == pytest.approx(263.0 + 20.0 * (1.0 - np.exp(-MINUTES / 1800.0)), abs=1e-9)


def test_a_ramp_outdoors_is_followed_one_time_constant_behind():
    ramp = 270.0 - MINUTES / 3600.0
    got = OneResistor(900.0, 0.0, 3600.0).predict(MINUTES, ramp, LOADS, HEATS)
    lag = 900.0 / 3600.0
    assert got == pytest.approx(ramp + lag * (1.0 - np.exp(-MINUTES / 900.0)), abs=1e-9)


def test_heat_is_neither_lost_nor_made():
    """In the long run the area under the warmth is g times the joules, whatever tau and b."""
    seconds = np.arange(0.0, 60 * 3600.0, 30.0)
    one = OneResistor(2400.0, 0.008, 5000.0)
    warmth = one.predict(seconds, np.full(seconds.size, 260.0), LOADS, HEATS) - 260.0
    assert np.trapezoid(warmth, seconds) == pytest.approx(0.008 * HEATS.sum(), rel=1e-5)


@pytest.mark.parametrize("first", [0.0, 2520.0, 9000.0], ids=["before", "amid a burn", "after a load"])
def test_it_is_the_equation_as_another_integrator_solves_it(first):
    outdoors, one = drifting(3), OneResistor(2700.0, 0.009, 4000.0)
    there = first <= MINUTES
    seconds = MINUTES[there]

    def slope(t, kelvin):
        power = np.sum(HEATS[(t >= LOADS) & (t < LOADS + one.b)]) / one.b
        return (np.interp(t, MINUTES, outdoors) + one.g * power - kelvin) / one.tau

    begin = [np.interp(first, MINUTES, outdoors)]
    found = solve_ivp(slope, seconds[[0, -1]], begin, t_eval=seconds, rtol=1e-8, atol=1e-8, max_step=60.0)
    got = one.predict(seconds, outdoors[there], LOADS, HEATS)
    assert got == pytest.approx(found.y[0], abs=2e-3)


@pytest.mark.parametrize("noise", [0.0, 0.3])
def test_planted_numbers_are_found_again(noise):
    planted, rng = OneResistor(3300.0, 0.0075, 6100.0), np.random.default_rng(5)
    nights = []
    for seed in (1, 2):
        outdoors, loads = drifting(seed), LOADS + 600.0 * seed
        true = planted.predict(MINUTES, outdoors, loads, HEATS)
        nights.append(night(true + noise * rng.standard_normal(MINUTES.size), outdoors=outdoors, loads=loads))
    found = one_resistor(nights)
    allowed = 0.03 if noise else 1e-3
    assert (found.tau, found.g, found.b) == pytest.approx((planted.tau, planted.g, planted.b), rel=allowed)
    assert found.miss == pytest.approx(noise, abs=0.02 if noise else 1e-3)


def test_no_other_numbers_fit_better():
    rng = np.random.default_rng(8)
    one = night(COLD + 12.0 + 3.0 * np.sin(MINUTES / 5000.0) + rng.normal(0.0, 0.2, MINUTES.size))
    found = one_resistor([one])
    for tau, g, b in [(1.1, 1.0, 1.0), (1.0, 1.05, 1.0), (1.0, 1.0, 1.1), (0.9, 1.0, 0.95), (3.0, 1.1, 2.0)]:
        other = OneResistor(found.tau * tau, found.g * g, found.b * b)
        left = one.kelvin - other.predict(MINUTES, COLD, LOADS, HEATS)
        assert np.sqrt(np.mean(left**2)) >= found.miss


def test_uneven_readings_with_a_gap_tell_the_same():
    planted = OneResistor(3300.0, 0.0075, 6100.0)
    there = np.random.default_rng(4).random(MINUTES.size) < 0.4
    there[200:260] = False
    there[0] = True
    whole = planted.predict(MINUTES, COLD, LOADS, HEATS)
    found = one_resistor([night(whole[there], MINUTES[there], COLD[there])])
    assert (found.tau, found.g, found.b) == pytest.approx((planted.tau, planted.g, planted.b), rel=1e-3)


def test_persistence_is_the_mean_rise_at_the_same_time_since_the_first_load():
    clock = MINUTES - LOADS[0]
    first = night(COLD + 10.0 + clock / 3600.0)
    later = night(drifting(6) + 14.0 + clock / 3600.0, MINUTES + 5400.0, drifting(6), LOADS + 5400.0)
    asked = np.array([3600.0, 9000.0, 20000.0])
    got = persistence([first, later], asked + 100.0, np.array([250.0, 251.0, 252.0]), 100.0)
    assert got == pytest.approx(np.array([250.0, 251.0, 252.0]) + 12.0 + asked / 3600.0, abs=1e-9)


def test_where_only_one_night_has_readings_it_counts_alone_and_ends_hold():
    short = night((COLD + 6.0)[:300], MINUTES[:300], COLD[:300])
    long = night(COLD + 10.0)
    asked = np.array([-1e5, 1000.0, 30000.0, 1e6])
    got = persistence([short, long], asked, np.full(4, 260.0), 0.0)
    assert got == pytest.approx([268.0, 268.0, 270.0, 270.0])


def test_what_is_no_night_is_refused():
    with pytest.raises(ValueError, match="same length"):
        night(COLD[:-1])
    with pytest.raises(ValueError, match="one or more"):
        night(COLD, loads=np.array([]), heats=np.array([]))
    with pytest.raises(ValueError, match="rise"):
        night(COLD, MINUTES[::-1])
    with pytest.raises(ValueError, match="needs a night"):
        one_resistor([])
    with pytest.raises(ValueError, match="needs a night"):
        persistence([], MINUTES, COLD, 0.0)
