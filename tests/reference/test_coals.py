"""Coals: the air limit in closed form, and the odds of a relight against the rule they stand for."""

from math import isfinite, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from simtent.physics.coals import coal_rate, relight_chance

MASSES = st.floats(0.0, 3.0)
AIRS = st.floats(0.0, 0.05)


def coal_hours(coals, air, rate):
    """Hours until 2 % of the coals are left."""

    def gone(t, state):
        return state[0] - 0.02 * coals

    gone.terminal = True
    found = solve_ivp(
        lambda t, state: [-coal_rate(max(state[0], 0.0), air, rate)],
        (0.0, 1e6),
        [coals],
        events=gone,
        rtol=1e-8,
        atol=1e-10,
    )
    return float(found.t_events[0][0]) / 3600.0


# Closed form: .35 kg of char, 11 kg of air per kg at an air ratio of 2, leaking .3 and 1.0 g/s: 7.1 and 2.1 h.
@pytest.mark.parametrize(("air", "hours"), [(0.3e-3, 7.1), (1.0e-3, 2.1)])
def test_air_limit(air, hours):
    assert coal_hours(0.35, air, 10.0) == pytest.approx(0.98 * hours, rel=0.02)


def test_in_plenty_of_air():
    # Closed form: a first-order pool is down to 2 % after ln(50) / k.
    assert coal_hours(0.35, 1.0, 3e-4) == pytest.approx(3.912 / 3e-4 / 3600.0, rel=1e-3)


@given(MASSES, AIRS, st.floats(3e-5, 3e-3))
def test_least_of_two_limits(coals, air, rate):
    least = min(rate * coals, air / 22.0)
    burning = coal_rate(coals, air, rate)
    assert 0.0 <= burning <= least * (1.0 + 1e-9) + 1e-300
    if least > 1e-9:
        assert burning >= least * 0.5**0.25 * (1.0 - 1e-6)  # where the two are equal


@given(MASSES, MASSES, AIRS, AIRS)
def test_more_coals_and_more_air_burn_faster(coals, more, air, wider):
    low, high = sorted((coals, more))
    shut, wide = sorted((air, wider))
    assert coal_rate(low, shut, 3e-4) <= coal_rate(high, wide, 3e-4) * (1.0 + 1e-9) + 1e-300


# The rule, common practice, no source: coals light a load without a match from 3 to 5 % of the last dry load on, and
# from about 50 g on.
@pytest.mark.parametrize("load", [2.0, 3.0, 5.0])
def test_large_loads_need_a_share(load):
    assert relight_chance(0.025 * load, load) < 0.25
    assert relight_chance(0.04 * load, load) == pytest.approx(0.5, abs=0.08)
    assert relight_chance(0.06 * load, load) == pytest.approx(0.9, abs=0.03)
    assert relight_chance(0.10 * load, load) > 0.99


@pytest.mark.parametrize("load", [0.0, 0.1, 0.3])
def test_small_loads_need_fifty_grams(load):
    assert relight_chance(0.050, load) == pytest.approx(0.5, abs=0.02)
    assert relight_chance(0.075, load) == pytest.approx(0.9, abs=0.01)
    assert relight_chance(0.020, load) < 0.02


def test_where_both_needs_are_equal():
    # Closed form: rounded by fourth powers, 2^(1/4) x 50 g.
    assert relight_chance(0.05 * sqrt(sqrt(2.0)), 1.25) == pytest.approx(0.5, abs=1e-12)


@given(MASSES, MASSES, st.floats(0.0, 6.0), st.floats(0.0, 6.0))
def test_chance_grows_with_coals_and_falls_with_the_load(coals, more, load, heavier):
    few, many = sorted((coals, more))
    light, heavy = sorted((load, heavier))
    assert 0.0 <= relight_chance(few, heavy) <= relight_chance(many, light) <= 1.0


@pytest.mark.parametrize("coals", [0.0, 5e-324, 1e-9, 1e-6, 1e-3, 10.0])
def test_finite_and_without_a_step(coals):
    values = [relight_chance(coals, load) for load in (0.0, 2.0)]
    values += [coal_rate(coals, air, 3e-4) for air in (0.0, 5e-324, 1e-9, 1e-2)]
    assert all(isfinite(value) for value in values)
    assert abs(relight_chance(coals + 1e-9, 2.0) - relight_chance(coals, 2.0)) < 1e-6
