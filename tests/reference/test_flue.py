"""Stove pipe: friction, heat transfer, draught and flow against printed examples, tables and libraries."""

from itertools import pairwise
from math import exp, isfinite, log, pi, radians, sin, sqrt

import ht
import pytest
from fluids.friction import Colebrook, friction_laminar
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from simtent.physics.air import air_density
from simtent.physics.flue import (
    bend_loss,
    damper_loss,
    draught,
    flue_resistance,
    friction_factor,
    inlet_resistance,
    signed_root,
)
from simtent.physics.flue_gas import (
    flue_gas_conductivity,
    flue_gas_constant,
    flue_gas_heat_capacity,
    flue_gas_viscosity,
)
from simtent.physics.pipe_heat import pipe_film, segment_end

PRESSURE = 101325.0
DIAMETER, LENGTH, ROUGHNESS, DIOXIDE = 0.076, 2.5, 0.001, 8.0


def gas_density(kelvin):
    return PRESSURE / (flue_gas_constant(DIOXIDE) * kelvin)


def reynolds(flow, kelvin):
    return 4.0 * flow / (pi * DIAMETER * flue_gas_viscosity(kelvin))


def along_the_pipe(flow, entry, ambient, outside=8.0):
    """Film, coefficient, K, mean and exit temperature of the whole pipe; the mean by iteration as in EN 13384-1."""
    mean = 0.5 * (entry + ambient)
    for _ in range(50):
        film = pipe_film(flow, mean, DIAMETER, LENGTH, ROUGHNESS)
        through = 1.0 / (1.0 / film + 1.0 / outside)
        cooling = pi * DIAMETER * LENGTH * through / (flow * flue_gas_heat_capacity(mean, DIOXIDE))
        mean = ambient + (entry - ambient) * (1.0 - exp(-cooling)) / cooling
    return film, through, cooling, mean, ambient + (entry - ambient) * exp(-cooling)


class TestWorkedExample:
    """DR1, DR2: 3.6 g/s at 300 degC, 2.5 m of 76 mm pipe, 0 degC; closed form of EN 13384-1 (second-hand), 1 %."""

    FLOW = 0.0036

    def test_heat(self):
        film, through, cooling, mean, end = along_the_pipe(self.FLOW, 573.15, 273.15)
        assert film == pytest.approx(4.76, rel=0.01)
        assert through == pytest.approx(2.98, rel=0.01)
        assert cooling == pytest.approx(0.4528, rel=0.01)
        assert mean - 273.15 == pytest.approx(241.3, rel=0.01)
        assert end - 273.15 == pytest.approx(190.8, rel=0.01)
        lost = self.FLOW * flue_gas_heat_capacity(mean, DIOXIDE) * (573.15 - end)
        assert lost == pytest.approx(430.0, rel=0.01)

    def test_flow(self):
        mean = 241.3 + 273.15
        assert gas_density(mean) == pytest.approx(0.6844, rel=0.01)
        assert self.FLOW / (gas_density(mean) * pi / 4.0 * DIAMETER**2) == pytest.approx(1.160, rel=0.01)
        assert reynolds(self.FLOW, mean) == pytest.approx(2396.0, rel=0.01)
        assert friction_factor(2396.0, ROUGHNESS / DIAMETER) == pytest.approx(0.0567, rel=0.01)
        resistance = flue_resistance(
            self.FLOW, mean, DIAMETER, LENGTH, 1.0, ROUGHNESS, DIOXIDE, PRESSURE, 1.0
        )
        assert resistance * self.FLOW**2 == pytest.approx(1.32, rel=0.01)

    def test_draught(self):
        outdoors = air_density(263.15, PRESSURE)
        assert outdoors == pytest.approx(1.3414, rel=0.001)
        assert draught(2.5, outdoors, gas_density(241.3 + 273.15)) == pytest.approx(16.11, rel=0.005)


# Draught [Pa] of a mean flue of 60 100 150 200 250 300 400 degC; closed form, to 0.1. Height [m], outdoors [degC].
FLUE_CELSIUS = (60.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0)
DRAUGHTS = [
    (1.5, -10.0, (4.2, 5.9, 7.5, 8.8, 9.8, 10.7, 12.0)),
    (2.0, -10.0, (5.6, 7.8, 10.0, 11.7, 13.1, 14.3, 16.1)),
    (2.5, -10.0, (7.0, 9.8, 12.5, 14.6, 16.4, 17.8, 20.1)),
    (3.0, -10.0, (8.4, 11.7, 15.0, 17.6, 19.7, 21.4, 24.1)),
    (2.5, 10.0, (4.7, 7.4, 10.2, 12.3, 14.1, 15.5)),
]


@pytest.mark.parametrize(("height", "outdoors", "expected"), DRAUGHTS)
def test_draught_table(height, outdoors, expected):
    air = air_density(outdoors + 273.15, PRESSURE)
    ours = [draught(height, air, gas_density(flue + 273.15)) for flue in FLUE_CELSIUS[: len(expected)]]
    assert ours == pytest.approx(expected, abs=0.06)


def test_draught_in_the_cold():
    # Same table, 2.5 m, outdoors -30 degC, flue 60, 150, 250 degC.
    air = air_density(243.15, PRESSURE)
    ours = [draught(2.5, air, gas_density(flue + 273.15)) for flue in (60.0, 150.0, 250.0)]
    assert ours == pytest.approx([9.7, 15.2, 19.1], abs=0.06)


def test_draught_by_the_handbook_form():
    # ASHRAE (from memory, SI form), .0342 p H (1/T_o - 1/T_m): 2.5 m, -10 and 250 degC.
    handbook = 0.0342 * PRESSURE * 2.5 * (1.0 / 263.15 - 1.0 / 523.15)
    ours = draught(2.5, air_density(263.15, PRESSURE), gas_density(523.15))
    assert handbook == pytest.approx(16.36, abs=0.05)
    assert ours == pytest.approx(handbook, rel=0.005)


def test_no_draught_without_warmth():
    # DR3. Closed form: only the gas constants differ.
    assert abs(draught(2.5, air_density(263.15, PRESSURE), gas_density(263.15))) < 0.1


def test_inlet():
    # DR4. Closed form: 12 Pa and 10 cm2 let 12.4 kg/h in, Cd .62, 1.29 kg/m3; 1 %.
    flow = sqrt(12.0 / inlet_resistance(1e-3, 1.29, 0.62))
    assert flow * 3600.0 == pytest.approx(12.4, rel=0.01)


# Same law, kg/h per cm2 at 5, 10, 12, 15 Pa; rounding 0.005.
@pytest.mark.parametrize(("pascal", "expected"), [(5.0, 0.80), (10.0, 1.13), (12.0, 1.24), (15.0, 1.39)])
def test_inlet_per_area(pascal, expected):
    flow = signed_root(pascal / inlet_resistance(1e-4, 1.29, 0.62), 1e-12)
    assert flow * 3600.0 == pytest.approx(expected, abs=0.0061)


# Operating point: 76 mm, 2.5 m, gas enters at 350 degC, room 10, outdoors -10 degC around the pipe, losses 2 besides
# friction, Cd .62, allowance 1; closed form of EN 13384-1 (second-hand). Inlet [cm2], flow [g/s].
OPERATING = [(10.0, 3.79), (15.0, 5.33), (20.0, 6.57), (30.0, 8.25)]
SMALL_INLETS = [(2.0, 0.68), (5.0, 1.91)]


def operating_flow(inlet):
    outdoors, room = air_density(263.15, PRESSURE), air_density(283.15, PRESSURE)

    def surplus(flow):
        mean = along_the_pipe(flow, 623.15, 263.15)[3]
        pipe = flue_resistance(flow, mean, DIAMETER, LENGTH, 2.0, ROUGHNESS, DIOXIDE, PRESSURE, 1.0)
        losses = (pipe + inlet_resistance(inlet * 1e-4, room, 0.62)) * flow**2
        return draught(2.5, outdoors, gas_density(mean)) - losses

    return brentq(surplus, 1e-5, 0.05) * 1e3


@pytest.mark.parametrize(("inlet", "expected"), OPERATING)
def test_operating_point(inlet, expected):
    assert operating_flow(inlet) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("inlet", "expected"), SMALL_INLETS)
def test_operating_point_of_small_inlets_roughly(inlet, expected):
    assert operating_flow(inlet) == pytest.approx(expected, rel=0.11)


@pytest.mark.xfail(
    reason="2 and 5 cm2: 10 and 3 % above the table, whose pipe film stays as at Re 2300 where ours turns laminar"
)
@pytest.mark.parametrize(("inlet", "expected"), SMALL_INLETS)
def test_operating_point_of_small_inlets(inlet, expected):
    assert operating_flow(inlet) == pytest.approx(expected, rel=0.01)


# Library: fluids 1.3.1, Colebrook by Lambert's function; the two substitutions are within 0.1 %.
@pytest.mark.parametrize("relative", [0.0, 1e-4, 1e-3, 0.0132, 0.05])
@pytest.mark.parametrize("number", [4e3, 1e4, 1e5, 1e6])
def test_rough_pipe(number, relative):
    assert friction_factor(number, relative) == pytest.approx(Colebrook(number, relative), rel=1e-3)


@pytest.mark.parametrize("number", [20.0, 100.0, 300.0])
def test_laminar_pipe(number):
    # Library: fluids 1.3.1, 64 / Re.
    assert friction_factor(number, 0.0132) == pytest.approx(friction_laminar(number), rel=1e-3)


@given(st.floats(20.0, 1e5), st.floats(0.0, 0.05), st.floats(1.0001, 1.5))
def test_friction_falls_with_flow_and_rises_with_roughness(number, relative, factor):
    here = friction_factor(number, relative)
    assert friction_factor(number * factor, relative) <= here * (1.0 + 1e-9)
    assert friction_factor(number, relative + 0.001) >= here
    assert here >= 64.0 / number


def nusselt(flow, kelvin, length, roughness=0.0):
    film = pipe_film(flow, kelvin, DIAMETER, length, roughness)
    return film * DIAMETER / flue_gas_conductivity(kelvin)


def prandtl(kelvin):
    return flue_gas_viscosity(kelvin) * flue_gas_heat_capacity(kelvin, 8.0) / flue_gas_conductivity(kelvin)


@pytest.mark.parametrize("number", [100.0, 300.0, 600.0])
def test_laminar_film(number):
    # Library: ht 1.2.0, Hausen's law of the entry length; the same law within 1 % (the turbulent one is blended in).
    flow = number * pi * DIAMETER * flue_gas_viscosity(450.0) / 4.0
    oracle = ht.conv_internal.laminar_entry_thermal_Hausen(number, prandtl(450.0), LENGTH, DIAMETER)
    assert nusselt(flow, 450.0, LENGTH) == pytest.approx(oracle, rel=0.01)


@pytest.mark.parametrize("number", [5e3, 1e4, 5e4])
def test_turbulent_film(number):
    # Library: ht 1.2.0, Gnielinski with the smooth pipe's friction, a long pipe; within 6 %.
    flow = number * pi * DIAMETER * flue_gas_viscosity(450.0) / 4.0
    oracle = ht.conv_internal.turbulent_Gnielinski(number, prandtl(450.0), Colebrook(number, 0.0))
    assert nusselt(flow, 450.0, 100.0) == pytest.approx(oracle, rel=0.06)


def test_film_without_flow():
    # Closed form: pure conduction in a long pipe, Nu 3.66, a little more for the flow that counts as none.
    assert nusselt(0.0, 450.0, LENGTH) == pytest.approx(3.66, rel=0.01)


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


# EN 13384-1 table B.8 (second-hand), 2 to 30 diameters of pipe behind the bend: degrees, loss.
@pytest.mark.parametrize(
    ("degrees", "expected"), [(0.0, 0.0), (10.0, 0.1), (30.0, 0.3), (45.0, 0.4), (60.0, 0.7), (90.0, 1.6)]
)
def test_bends(degrees, expected):
    for nudge in (-1e-9, 0.0, 1e-9):
        assert bend_loss(max(radians(degrees) + nudge, 0.0)) == pytest.approx(expected, abs=1e-8)


@given(st.floats(0.0, 2.0), st.floats(1e-6, 0.5))
def test_sharper_bend_loses_more(angle, sharper):
    here, there = bend_loss(angle), bend_loss(angle + sharper)
    assert 0.0 < there - here <= 1.8 * sharper


# Idelchik's handbook, butterfly valve (from memory): angle [degrees], loss. The fitted form is within 7 %.
DAMPERS = [(0.0, 0.3), (20.0, 1.5), (40.0, 11.0), (60.0, 118.0), (70.0, 750.0)]


@pytest.mark.parametrize(("degrees", "expected"), DAMPERS)
def test_damper(degrees, expected):
    assert damper_loss(1.0 - sin(radians(degrees))) == pytest.approx(expected, rel=0.07)


def test_damper_between_the_table():
    # Halfway in angle the table's logarithms lie on a straight line within 25 %.
    for (low, first), (high, second) in pairwise(DAMPERS):
        share = 1.0 - sin(radians(0.5 * (low + high)))
        assert log(damper_loss(share)) == pytest.approx(0.5 * (log(first) + log(second)), abs=0.25)


def test_shut_damper_is_bounded():
    # A gap of 2 % of the section: a sharp-edged opening (contraction .6 to .65, handbook) loses 5,900 to 6,900.
    assert 5e3 < damper_loss(0.0) < 1.5e4


@given(st.floats(0.0, 0.999), st.floats(1e-6, 0.5))
def test_open_damper_loses_less(share, wider):
    assert damper_loss(min(share + wider, 1.0)) < damper_loss(share)


def test_resistance_by_its_parts():
    # Closed form: losses add up, allowance multiplies, half the pressure is twice the resistance.
    def pipe(length, losses, pressure=PRESSURE, allowance=1.0):
        return flue_resistance(
            0.003, 500.0, DIAMETER, length, losses, ROUGHNESS, DIOXIDE, pressure, allowance
        )

    assert pipe(2.5, 3.0) == pytest.approx(pipe(1.5, 1.0) + pipe(1.0, 2.0), rel=1e-12)
    assert pipe(2.5, 3.0, allowance=1.5) == pytest.approx(1.5 * pipe(2.5, 3.0), rel=1e-12)
    assert pipe(2.5, 3.0, pressure=PRESSURE / 2.0) == pytest.approx(2.0 * pipe(2.5, 3.0), rel=1e-12)
    area = pi / 4.0 * DIAMETER**2
    assert pipe(0.0, 1.0) == pytest.approx(inlet_resistance(area, gas_density(500.0), 1.0), rel=1e-12)


def test_laminar_pressure_loss():
    # Closed form of Hagen and Poiseuille: 128 mu L m / (pi rho D^4).
    flow = 100.0 * pi * DIAMETER * flue_gas_viscosity(500.0) / 4.0
    ours = flue_resistance(flow, 500.0, DIAMETER, 1.0, 0.0, 0.0, DIOXIDE, PRESSURE, 1.0) * flow**2
    viscous = 128.0 * flue_gas_viscosity(500.0) * flow / (pi * gas_density(500.0) * DIAMETER**4)
    assert ours == pytest.approx(viscous, rel=0.03)


@given(st.floats(-0.03, 0.03))
def test_resistance_is_bounded_and_even(flow):
    def pipe(flow):
        return flue_resistance(flow, 500.0, DIAMETER, LENGTH, 0.0, ROUGHNESS, DIOXIDE, PRESSURE, 1.0)

    assert 0.0 < pipe(flow) == pipe(-flow) <= pipe(0.0)
    assert isfinite(pipe(0.0))


@pytest.mark.parametrize("capacity_flow", [0.5, 3.0, 20.0])
def test_gas_cools_along_a_wall(capacity_flow):
    # The differential equation itself, m c dT/dx = -k (T - T_w) over 0..1.
    run = solve_ivp(
        lambda x, gas: -2.0 * (gas - 400.0) / capacity_flow, (0.0, 1.0), [700.0], rtol=1e-10, atol=1e-10
    )
    assert segment_end(700.0, 400.0, 2.0, capacity_flow) == pytest.approx(run.y[0, -1], rel=1e-7)


def test_segments_in_a_row_are_one():
    # Closed form: ten pieces with one wall temperature act as the whole.
    gas = 700.0
    for _ in range(10):
        gas = segment_end(gas, 400.0, 0.3, 3.0)
    assert gas == pytest.approx(segment_end(700.0, 400.0, 3.0, 3.0), rel=1e-12)


def test_still_gas_takes_the_temperature_of_the_wall():
    for flow in (0.0, 5e-324, 1e-12, -1e-12):
        assert segment_end(700.0, 400.0, 2.0, flow) == 400.0


@given(st.floats(250.0, 1300.0), st.floats(250.0, 900.0), st.floats(1e-3, 50.0), st.floats(-20.0, 20.0))
def test_segment_end_lies_between(gas, wall, conductance, capacity_flow):
    end = segment_end(gas, wall, conductance, capacity_flow)
    assert min(gas, wall) - 1e-9 <= end <= max(gas, wall) + 1e-9


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
