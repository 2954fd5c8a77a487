"""What sensors show: a first-order lag by its closed forms and by integration, glow, contact, offset."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from simtent.calibrate import sensors
from simtent.calibrate.sensors import Traits, lagged, shown

STEP = 120.0
TIMES = STEP * np.arange(60)
LAGS = st.floats(1.0, 3600.0)


@given(LAGS, st.floats(-0.02, 0.02))
def test_behind_a_ramp_it_stays_by_lag_times_slope(lag, slope):
    """T' = (u - T) / lag with u = slope t and T(0) = 0: T = slope (t - lag (1 - exp(-t / lag)))."""
    wanted = slope * (TIMES - lag * -np.expm1(-TIMES / lag))
    assert lagged(slope * TIMES, STEP, lag) == pytest.approx(wanted, abs=1e-9)


@given(LAGS)
def test_after_a_step_it_comes_nearer_by_the_exponential(lag):
    """The step itself takes one interval, a ramp; from then on what is missing falls by exp(-t / lag)."""
    told = lagged(np.where(TIMES > 0.0, 1.0, 0.0), STEP, lag)
    missing = (lag / STEP) * -np.expm1(-STEP / lag)
    assert 1.0 - told[1:] == pytest.approx(missing * np.exp(-(TIMES[1:] - STEP) / lag), abs=1e-9)


@pytest.mark.parametrize("lag", [5.0, 120.0, 1800.0])
def test_it_is_what_integration_gives(lag):
    air = 280.0 + 8.0 * np.sin(TIMES / 900.0) + np.random.default_rng(3).normal(0.0, 1.0, TIMES.size)
    answer = solve_ivp(
        lambda t, y: (np.interp(t, TIMES, air) - y) / lag,
        (0.0, TIMES[-1]), [air[0]], method="LSODA", t_eval=TIMES, rtol=1e-9, atol=1e-9, max_step=10.0,
    )  # fmt: skip
    assert lagged(air, STEP, lag) == pytest.approx(answer.y[0], abs=2e-5)


def test_no_lag_changes_nothing_and_columns_go_alike():
    air = np.random.default_rng(0).normal(280.0, 5.0, (60, 3))
    assert lagged(air, STEP, 0.0) is air
    alone = [lagged(air[:, k], STEP, 400.0) for k in range(3)]
    assert lagged(air, STEP, 400.0) == pytest.approx(np.column_stack(alone), abs=1e-12)


def test_a_level_sees_the_stove_and_metal_is_touched_badly():
    """By hand: 300 K of air beside a stove of 700 K at 2 %: 308 K. Metal of 700 K in air of 300 K at 90 %: 660 K."""
    at, stove, air = (np.full(9, value) for value in (300.0, 700.0, 300.0))
    assert shown("head", at, stove, air, STEP, Traits(60.0, 0.5, 0.02)) == pytest.approx(308.5)
    assert shown("stove", stove, stove, air, STEP, Traits(60.0, 0.0, 0.9)) == pytest.approx(660.0)
    assert shown("pipe", stove, stove, air, STEP, sensors.traits("pipe", {})) == pytest.approx(700.0)
    assert shown("cot", at, stove, air, STEP, sensors.traits("cot", {})) == pytest.approx(300.0)


def test_each_place_has_the_numbers_that_a_sensor_there_has():
    names = {place: [one.name for one in sensors.sought_of(place)] for place in ("cot", "head", "stove")}
    assert names["cot"] == ["lag of cot", "offset of cot"]
    assert names["head"] == ["lag of head", "offset of head", "glow at head"]
    assert names["stove"] == ["lag of stove", "contact of stove"]
    for place in names:
        for one in sensors.sought_of(place):
            assert one.sensor == place and not one.keys and one.source
            low, high = one.ends
            assert low < -2.0 and high > 1.5  # no belief stands at its own bound
