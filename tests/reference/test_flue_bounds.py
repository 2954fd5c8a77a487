"""Flue: bounds of its laws, what more flow and roughness must do, no kink.

What others say about single numbers stands in test_flue.py and test_pipe_heat.py.
"""

from math import isfinite, radians, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.physics.flue import bend_loss, damper_loss, flue_resistance, friction_factor, signed_root
from simtent.physics.pipe_heat import pipe_film, segment_end

from .pipe import BENDS, DIAMETER, DIOXIDE, LENGTH, PRESSURE, ROUGHNESS


@given(st.floats(20.0, 1e5), st.floats(0.0, 0.05), st.floats(1.0001, 1.5))
def test_friction_falls_with_flow_and_rises_with_roughness(number, relative, factor):
    here = friction_factor(number, relative)
    assert friction_factor(number * factor, relative) <= here * (1.0 + 1e-9)
    assert friction_factor(number, relative + 0.001) >= here
    assert here >= 64.0 / number


@pytest.mark.parametrize(("degrees", "expected"), [(0.0, 0.0), *BENDS.items()])
def test_no_step_at_the_angles_of_the_table(degrees, expected):
    for nudge in (-1e-9, 0.0, 1e-9):
        assert bend_loss(max(radians(degrees) + nudge, 0.0)) == pytest.approx(expected, abs=1e-8)


@given(st.floats(0.0, 2.0), st.floats(1e-6, 0.5))
def test_sharper_bend_loses_more(angle, sharper):
    here, there = bend_loss(angle), bend_loss(angle + sharper)
    assert 0.0 < there - here <= 1.8 * sharper


@given(st.floats(0.0, 0.999), st.floats(1e-6, 0.5))
def test_open_damper_loses_less(share, wider):
    assert damper_loss(min(share + wider, 1.0)) < damper_loss(share)


@given(st.floats(-0.03, 0.03))
def test_resistance_is_bounded_and_even(flow):
    def pipe(flow):
        return flue_resistance(flow, 500.0, DIAMETER, LENGTH, 0.0, ROUGHNESS, DIOXIDE, PRESSURE, 1.0)

    assert 0.0 < pipe(flow) == pipe(-flow) <= pipe(0.0)
    assert isfinite(pipe(0.0))


@given(st.floats(-100.0, 100.0))
def test_signed_root(x):
    # Closed form: odd, rising, the square root itself far from 0.
    root = signed_root(x, 0.01)
    assert signed_root(-x, 0.01) == -root
    assert signed_root(x + 1e-3, 0.01) > root
    if abs(x) > 1.0:
        assert root * abs(root) == pytest.approx(x, rel=1e-4)
    if abs(x) < 1e-4:
        assert root == pytest.approx(x / sqrt(0.01), rel=1e-3, abs=1e-300)


@given(st.floats(0.0, 0.03), st.floats(1e-6, 0.005), st.floats(250.0, 1300.0))
def test_film_rises_with_flow_either_way(flow, more, kelvin):
    here = pipe_film(flow, kelvin, DIAMETER, LENGTH, ROUGHNESS)
    assert pipe_film(-flow, kelvin, DIAMETER, LENGTH, ROUGHNESS) == here
    assert pipe_film(flow + more, kelvin, DIAMETER, LENGTH, ROUGHNESS) > here


def test_film_has_no_kink():
    # Slopes on both sides of every flow agree: at none, where the laws meet, and in between.
    step = 1e-7
    flows = [0.0, *(k * 1e-4 for k in range(1, 80))]
    scale = pipe_film(0.004, 500.0, DIAMETER, LENGTH, ROUGHNESS) / 0.004
    for flow in flows:
        below, here, above = (
            pipe_film(flow + nudge, 500.0, DIAMETER, LENGTH, ROUGHNESS) for nudge in (-step, 0.0, step)
        )
        assert abs(above - 2.0 * here + below) / step < 0.05 * scale


def test_still_gas_takes_the_temperature_of_the_wall():
    for flow in (0.0, 5e-324, 1e-12, -1e-12):
        assert segment_end(700.0, 400.0, 2.0, flow) == 400.0


@given(st.floats(250.0, 1300.0), st.floats(250.0, 900.0), st.floats(1e-3, 50.0), st.floats(-20.0, 20.0))
def test_segment_end_lies_between(gas, wall, conductance, capacity_flow):
    end = segment_end(gas, wall, conductance, capacity_flow)
    assert min(gas, wall) - 1e-9 <= end <= max(gas, wall) + 1e-9
