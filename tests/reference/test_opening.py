"""Flow through openings against a network solver's tables, closed forms and a published law of tall openings."""

from math import isfinite, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity
from scipy.optimize import brentq

from simtent.physics.air import air_density
from simtent.physics.opening import (
    DISCHARGE,
    LEAK_EXPONENT,
    ORIFICE_EXPONENT,
    STILL,
    leak_strength,
    opening_flow,
    orifice_strength,
    wind_pressure,
)

SEA_LEVEL = 101325.0
ROOM = 1.2041  # kg/m3, air at 20 degC
EXPONENTS = st.one_of(st.just(ORIFICE_EXPONENT), st.just(LEAK_EXPONENT), st.floats(0.5, 1.0))
DRIVES = st.floats(-200.0, 200.0)
ROOTS = st.floats(0.3, 1.3)  # of densities from those of a fire's gas to those of an arctic night


def through(drop, strength, exponent=ORIFICE_EXPONENT, density=ROOM):
    """Mass flow between two rooms of the same density."""
    return opening_flow(drop, strength, exponent, sqrt(density), sqrt(density))[0]


@pytest.mark.parametrize(
    ("drop", "expected"), [(1.0, 0.00931), (5.0, 0.0208), (10.0, 0.0294), (25.0, 0.0466), (50.0, 0.0658)]
)
def test_orifice(drop, expected):
    # AF1. Published: results of a multizone airflow program listed in the Modelica Buildings Library (LBNL), 1 %.
    assert through(drop, orifice_strength(0.01, DISCHARGE)) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("drop", "expected"), [(1.0, 0.0120), (10.0, 0.0381), (50.0, 0.0851)])
def test_power_law(drop, expected):
    # AF2. Published (same list): volume flow 0.01 dp^0.5, 1 %.
    assert through(drop, 0.01 * sqrt(ROOM)) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("drop", "expected"), [(1.0, 0.00659), (10.0, 0.0294), (50.0, 0.0838)])
def test_leakage_area_at_another_pressure(drop, expected):
    # AF3. Published (same list): 0.01 m2 at 10 Pa, C_d 0.6, n 0.65 (n from memory, fits); 1 %. At 4 Pa the area of the
    # same leak is smaller by (4/10)^0.15 (closed form).
    at_four = 0.6 * 0.01 * 0.4 ** (LEAK_EXPONENT - 0.5)
    assert through(drop, leak_strength(at_four), LEAK_EXPONENT) == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("drop", "expected"), [(1.0, 37.8), (4.0, 93.0), (10.0, 168.6), (50.0, 480.0)])
def test_leakage_area(drop, expected):
    # IV3: 100 cm2, density 1.2. Closed form of the ASHRAE law (1997, p. 25.18, second-hand), m3/h, 0.5 %.
    flow = through(drop, leak_strength(0.01), LEAK_EXPONENT, 1.2)
    assert flow / 1.2 * 3600.0 == pytest.approx(expected, rel=0.005)


def test_leakage_area_of_a_measured_curve():
    # AF10: V = 0.05 dp^0.65 at density 1.2 leaks as 476.8 cm2 at 4 Pa; 40 K drive 2.4623 times what 10 K do.
    # Closed form, 0.1 %.
    strength = leak_strength(0.04768)
    assert through(4.0, strength, LEAK_EXPONENT, 1.2) / 1.2 == pytest.approx(0.05 * 4.0**0.65, rel=1e-3)
    ratio = through(12.0, strength, LEAK_EXPONENT) / through(3.0, strength, LEAK_EXPONENT)
    assert ratio == pytest.approx(2.4623, rel=1e-3)


def test_pressure_that_drives_a_given_flow():
    # AF4. Published: CFAST verification suite, Leakage_1: 0.01 m3/s through 0.01 m2, C 0.7, density 1.2: 1.2245 Pa.
    strength = orifice_strength(0.01, 0.7)
    drop = brentq(lambda p: through(p, strength, density=1.2) - 0.012, 0.0, 50.0, xtol=1e-9)
    assert drop == pytest.approx(1.2245, rel=1e-3)


def test_large_pressure_with_the_density_upstream():
    # AF5. Published: CFAST verification suite, ventilation_1: 0.01 m3/s of the air outside blown into a room, out again
    # through 1 cm2, C 0.7: 11022 Pa, 0.3 %; the density outside would give 12245 Pa.
    outside, strength = SEA_LEVEL / (289.14 * 293.15), orifice_strength(1e-4, 0.7)

    def left(pressure):
        inside = outside * (SEA_LEVEL + pressure) / SEA_LEVEL
        return opening_flow(-pressure, strength, ORIFICE_EXPONENT, sqrt(outside), sqrt(inside))[0]

    pressure = brentq(lambda p: left(p) + 0.01 * outside, 1.0, 5e4)
    assert pressure == pytest.approx(11022.0, rel=0.003)


HEAVY, LIGHT, RISE = air_density(263.15, SEA_LEVEL), air_density(288.15, SEA_LEVEL), 1.8


def stack(low, high, discharge=DISCHARGE):
    """Mass flow in, and neutral height, of a warm room with an opening at the floor and one at 1.8 m."""
    fall, roots = (HEAVY - LIGHT) * standard_gravity, (sqrt(HEAVY), sqrt(LIGHT))
    areas = [(0.0, low), (RISE, high)]

    def flows(pressure):
        return [
            opening_flow(-pressure - fall * z, orifice_strength(a, discharge), ORIFICE_EXPONENT, *roots)[0]
            for z, a in areas
        ]

    pressure = brentq(lambda p: sum(flows(p)), -fall * RISE, 0.0, xtol=1e-14)
    return flows(pressure)[0], -pressure / fall


@pytest.mark.parametrize(
    ("low", "high", "flow", "neutral"),
    [(0.01, 0.01, 0.00973, 0.8592), (0.02, 0.01, 0.01215, 0.3346), (0.01, 0.02, 0.01248, 1.4131)],
)
def test_stack_of_two_openings(low, high, flow, neutral):
    # AF6: 15 degC inside, -10 degC outside, 1.8 m. Closed form, 0.1 %: h_n = H / (1 + (a_lo/a_up)^2 rho_o/rho_i),
    # m = C_d a_lo sqrt(2 rho_o (rho_o - rho_i) g h_n); 2.0543 Pa in all.
    assert (HEAVY - LIGHT) * standard_gravity * RISE == pytest.approx(2.0543, rel=1e-3)
    found, height = stack(low, high)
    closed = RISE / (1.0 + (low / high) ** 2 * HEAVY / LIGHT)
    assert height == pytest.approx(neutral, rel=1e-3) == pytest.approx(closed, rel=1e-3)
    assert found == pytest.approx(flow, rel=1e-3)
    exact = DISCHARGE * low * sqrt(2.0 * HEAVY * (HEAVY - LIGHT) * standard_gravity * closed)
    assert found == pytest.approx(exact, rel=1e-3)


def test_the_smaller_of_two_openings_rules():
    # IV1: openings in series, the peak's four times the base's. Doubling the peak's helps by less than 3 %, the
    # base's by more than 80 %. Closed form, A_eff = (A_base^-2 + A_peak^-2)^-1/2; that inflow at the base controls is
    # published (Defence Research Establishment Ottawa TN 77-23, abstract).
    usual = stack(0.005, 0.02)[0]
    assert 1.02 < stack(0.005, 0.04)[0] / usual < 1.03
    assert 1.80 < stack(0.010, 0.02)[0] / usual < 1.86


def tall(bottom, top, width, density, discharge):
    """Flow through a tall opening of one direction, the pressures at its ends given [Pa], per metre of height."""
    first, last = abs(bottom), abs(top)
    mean = (last + sqrt(last * first) + first) / (sqrt(last) + sqrt(first))
    return 2.0 / 3.0 * discharge * sqrt(2.0 * density) * width * mean


@pytest.mark.parametrize("slices", [4, 8, 16, 64])
def test_slices_of_a_door(slices):
    # Published: the law of tall openings of the CFAST Technical Reference Guide (NIST), a door 1.2 m high with the
    # neutral height in its middle. Slices at their middles come near it as slices^-3/2: 0.3 % too
    # much at 16.
    height, width, fall = 1.2, 0.6, 3.0
    exact = 0.5 * height * tall(0.0, 0.5 * fall * height, width, HEAVY, DISCHARGE)
    area = height * width / slices
    entering = 0.0
    for k in range(slices):
        drive = fall * (0.5 * height - (k + 0.5) * height / slices)
        strength = orifice_strength(area, DISCHARGE)
        entering += max(opening_flow(drive, strength, ORIFICE_EXPONENT, sqrt(HEAVY), sqrt(LIGHT))[0], 0.0)
    assert 0.0 < entering / exact - 1.0 < 0.23 * slices**-1.5


def test_wind_pressure_of_the_standard():
    # EN 1991-1-4 (from memory): density 1.25, velocity pressure v^2 / 1.6 Pa: 390.6 Pa at 25 m/s.
    assert wind_pressure(1.0, 1.25, 25.0) == pytest.approx(390.6, rel=1e-3)
    assert wind_pressure(-0.4, 1.25, 25.0) == -0.4 * wind_pressure(1.0, 1.25, 25.0)


def test_wind_blows_through_at_no_net_flow():
    # Two equal leaks, the same pressure above and below the room's: in equals out, and neither is nothing. Closed form.
    gust = wind_pressure(0.5, HEAVY, 4.0)
    entering = opening_flow(gust, leak_strength(0.01), LEAK_EXPONENT, sqrt(HEAVY), sqrt(HEAVY))[0]
    leaving = opening_flow(-gust, leak_strength(0.01), LEAK_EXPONENT, sqrt(HEAVY), sqrt(HEAVY))[0]
    assert entering == -leaving
    assert entering == pytest.approx(0.01 * sqrt(8.0 * HEAVY) * (gust / 4.0) ** 0.65, rel=1e-4)


@given(DRIVES, EXPONENTS, ROOTS, ROOTS, st.floats(1e-9, 1.0))
def test_a_higher_pressure_drives_more_in(drive, exponent, root_out, root_in, nudge):
    less, slope = opening_flow(drive, 0.01, exponent, root_out, root_in)
    more, _ = opening_flow(drive + nudge, 0.01, exponent, root_out, root_in)
    assert isfinite(less) and isfinite(slope) and slope > 0.0
    assert more >= less
    assert more > less or nudge < 1e-6
    assert less > 0.0 if drive > 0.0 else less <= 0.0


@given(DRIVES, EXPONENTS, ROOTS, ROOTS)
def test_the_slope_is_the_derivative(drive, exponent, root_out, root_in):
    step = 1e-6
    below, above = (opening_flow(drive + s, 0.01, exponent, root_out, root_in)[0] for s in (-step, step))
    slope = opening_flow(drive, 0.01, exponent, root_out, root_in)[1]
    assert (above - below) / (2.0 * step) == pytest.approx(slope, rel=1e-5)


@given(st.floats(1.0, 200.0), EXPONENTS, ROOTS, ROOTS)
def test_the_density_is_that_of_where_the_air_comes_from(drive, exponent, root_out, root_in):
    entering = opening_flow(drive, 0.01, exponent, root_out, root_in)[0]
    leaving = opening_flow(-drive, 0.01, exponent, root_out, root_in)[0]
    assert entering == pytest.approx(0.01 * root_out * drive**exponent, rel=3e-4)
    assert leaving == pytest.approx(-0.01 * root_in * drive**exponent, rel=3e-4)


@given(DRIVES, ROOTS, ROOTS)
def test_the_short_way_for_a_root_is_the_long_one(drive, root_out, root_in):
    short = opening_flow(drive, 0.01, ORIFICE_EXPONENT, root_out, root_in)
    long = opening_flow(drive, 0.01, ORIFICE_EXPONENT + 1e-15, root_out, root_in)
    assert short == pytest.approx(long, rel=1e-12, abs=1e-300)


def test_no_flow_without_a_drive_and_a_bounded_slope():
    for exponent in (ORIFICE_EXPONENT, LEAK_EXPONENT, 1.0):
        flow, slope = opening_flow(0.0, 0.01, exponent, 1.2, 1.1)
        assert flow == 0.0
        assert slope == pytest.approx(0.01 * 1.15 * STILL ** (exponent - 1.0), rel=1e-12)
