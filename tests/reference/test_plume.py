"""Plumes against closed forms, printed coefficients and the full equations of a plume in layered air."""

from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity
from scipy.integrate import solve_ivp

from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.plume import (
    CORNER,
    ENTRAINMENT,
    FACTOR,
    FREE,
    WALL,
    buoyancy_flux,
    plume_growth,
    virtual_distance,
)

SEA_LEVEL = 101325.0


def volume_flow(watts, height):
    """Volume flow of a free plume from a point in air of one temperature [m3/s]."""
    return (plume_growth(buoyancy_flux(watts, SEA_LEVEL)) * height) ** (5.0 / 3.0)


@pytest.mark.parametrize("pressure", [SEA_LEVEL, 6e4])
@pytest.mark.parametrize("temperature", [233.15, 293.15, 330.0])
def test_buoyancy_flux_is_its_definition(temperature, pressure):
    # Closed form, g Q / (rho c_p T), whatever the temperature.
    expected = standard_gravity * 750.0 / (air_density(temperature, pressure) * CP_AIR * temperature)
    assert buoyancy_flux(750.0, pressure) == pytest.approx(expected, rel=1e-12)
    assert buoyancy_flux(-750.0, pressure) == -buoyancy_flux(750.0, pressure)


def test_height_at_which_a_plume_has_grown_to_a_flow():
    # PL1. Published: US DOE Engineering Reference, three-node displacement room, h = 24.55 F^0.6 / Q^0.2, 1 %.
    flow, watts = 0.06, 1000.0
    height = flow**0.6 / plume_growth(buoyancy_flux(watts, SEA_LEVEL))
    assert height * watts**0.2 / flow**0.6 == pytest.approx(24.55, rel=0.01)


# PL2, PL3: watts, m3/s at 1.0 and 1.5 m for entrainment 0.127 and 0.1 (closed form), of the guide form (memory).
FLOWS = [
    (500.0, (0.0381, 0.0748), (0.0277, 0.0544), (0.0397, 0.0780)),
    (1000.0, (0.0480, 0.0943), (0.0349, 0.0685), (0.0500, 0.0983)),
    (2000.0, (0.0604, 0.1188), (0.0439, 0.0863), (0.0630, 0.1238)),
]


@pytest.mark.parametrize(("watts", "expected", "less_drawn_in", "guide"), FLOWS)
def test_flow_table(watts, expected, less_drawn_in, guide):
    # Within 1 %; the guide form (5 l/s times Q^(1/3) z^(5/3), memory) gives 4.1 to 4.3 % more.
    flows = [volume_flow(watts, height) for height in (1.0, 1.5)]
    assert flows == pytest.approx(expected, rel=0.01)
    assert [flow * (0.1 / ENTRAINMENT) ** (4.0 / 3.0) for flow in flows] == pytest.approx(
        less_drawn_in, rel=0.01
    )
    assert flows == pytest.approx(guide, rel=0.045)


def test_factor_of_the_plume():
    # Closed form, C = (6 a/5) (9 a/10)^(1/3) pi^(2/3) of top-hat plumes: 0.15865 for 0.127, C^1.5 0.06319.
    assert pytest.approx((0.15865, 0.06319), rel=1e-4) == (FACTOR, FACTOR**1.5)


def test_mean_excess():
    # PL4. Closed form: 1 kW at 1 m, density 1.2: 17.3 K, 1 %.
    assert 1000.0 / (1.2 * CP_AIR * volume_flow(1000.0, 1.0)) == pytest.approx(17.3, rel=0.01)


def test_beside_a_wall_and_in_a_corner():
    # Published: CFAST Technical Reference Guide (NIST), 0.630 and 0.397 of the free plume. Closed form of the mirror
    # images: half of a plume of twice the heat, a quarter of one of four times.
    assert FREE == 1.0
    assert pytest.approx(0.630, abs=5e-4) == WALL
    assert pytest.approx(0.397, abs=5e-4) == CORNER
    free = volume_flow(800.0, 1.2)
    assert volume_flow(1600.0, 1.2) / 2.0 / free == pytest.approx(WALL, rel=1e-5)
    assert volume_flow(3200.0, 1.2) / 4.0 / free == pytest.approx(CORNER, rel=1e-5)


# PL5. Closed form of Heskestad's published equations (CFAST Technical Reference Guide, NIST), density 1.2, c_p 1 kJ,
# 293 K: kW, height and diameter [m], virtual distance [m], plume flow [kg/s].
HESKESTAD = [
    (1.0, 1.0, 0.3, 0.2210, 0.10144),
    (1.0, 1.5, 0.3, 0.2210, 0.17825),
    (2.0, 1.0, 0.3, 0.1939, 0.12463),
    (100.0, 4.0, 1.0, 0.4837, 4.2309),
]


@pytest.mark.parametrize(("kilowatts", "height", "diameter", "distance", "flow"), HESKESTAD)
def test_virtual_distance(kilowatts, height, diameter, distance, flow):
    assert virtual_distance(1e3 * kilowatts, diameter, SEA_LEVEL) == pytest.approx(distance, rel=0.01)


@pytest.mark.parametrize(("kilowatts", "height", "diameter", "distance", "flow"), HESKESTAD)
def test_flow_beside_the_law_of_fires(kilowatts, height, diameter, distance, flow):
    # Heskestad's plume of a fire carries more than ours: 0.196 for 0.1587 over weak sources (closed form), and his term
    # for hot gas low above it another 2 to 8 %. Ours is 19 to 25 % below.
    found = 1.2 * volume_flow(1e3 * kilowatts, height + distance)
    assert 0.75 < found / flow < 0.81
    reach = kilowatts**0.4 / (height + distance)  # kW^(2/5)/m
    hot = 2.9 * (reach**2.5 / (sqrt(9.81) * 1.2 * 293.0)) ** (2.0 / 3.0)
    assert found / flow * (1.0 + hot) == pytest.approx(FACTOR / 0.196, rel=0.01)


def buoyancy_left(z, state):
    """What ends the rise: the buoyancy flux, the last of the three states."""
    return state[2]


buoyancy_left.terminal = True


def layered_plume(watts, gradient, top):
    """Morton, Taylor and Turner's equations up to `top` [m], or to where the buoyancy ends: heights and flows.

    gradient in K/m of potential temperature, air of 283 K; top-hat profiles, started on the point source's closed form.
    """
    squared = standard_gravity * gradient / 283.0  # square of the buoyancy frequency [1/s2]

    def grow(z, state):
        flow, momentum, flux = state
        return [2.0 * ENTRAINMENT * sqrt(pi * momentum), flux * flow / momentum, -squared * flow]

    start, flux = 0.02, buoyancy_flux(watts, SEA_LEVEL)
    flow = FACTOR * flux ** (1.0 / 3.0) * start ** (5.0 / 3.0)
    momentum = (flow / (2.0 * ENTRAINMENT * sqrt(pi)) * (5.0 / 3.0) / start) ** 2
    solved = solve_ivp(
        grow, (start, top), [flow, momentum, flux], events=buoyancy_left, rtol=1e-9, atol=1e-12
    )
    return solved.t, solved.y[0]


def marched_plume(watts, gradient, top, steps=4000):
    """The same by the growth with the buoyancy left at each height."""
    squared = standard_gravity * gradient / 283.0
    flux, power, step = buoyancy_flux(watts, SEA_LEVEL), 0.0, top / steps
    heights, flows = [0.0], [0.0]
    while flux > 0.0 and len(heights) <= steps:
        power += plume_growth(flux) * step
        flux -= squared * power ** (5.0 / 3.0) * step
        heights.append(heights[-1] + step)
        flows.append(power ** (5.0 / 3.0))
    return heights, flows


@pytest.mark.parametrize(("watts", "gradient"), [(300.0, 5.0), (1000.0, 5.0), (1000.0, 15.0), (3000.0, 10.0)])
def test_in_layered_air(watts, gradient):
    # Their three equations keep the speed apart from the buoyancy, ours follows the buoyancy alone, which ends 1.2 %
    # higher; the flow half way up is 0.7 % less, at the end 6.9 %. By scaling the same for every plume.
    heights, flows = layered_plume(watts, gradient, 20.0)
    ours, found = marched_plume(watts, gradient, 4.0 * heights[-1])
    assert 1.005 < ours[-1] / heights[-1] < 1.02
    assert 0.92 < found[-1] / flows[-1] < 0.94
    middle = 0.5 * heights[-1]
    half = layered_plume(watts, gradient, middle)[1][-1]
    assert np.interp(middle, ours, found) == pytest.approx(half, rel=0.01)


def test_in_air_of_one_temperature_the_equations_agree():
    # The closed form solves the same three equations.
    flows = layered_plume(1000.0, 0.0, 1.5)[1]
    assert flows[-1] == pytest.approx(volume_flow(1000.0, 1.5), rel=1e-4)


def test_no_plume_without_heat():
    assert plume_growth(0.0) == 0.0
    assert plume_growth(-0.02) == 0.0
    for diameter in (0.1, 0.5):
        for watts in (0.0, -200.0):
            assert virtual_distance(watts, diameter, SEA_LEVEL) == pytest.approx(1.02 * diameter, rel=2e-4)


@given(st.floats(-0.1, 0.2), st.floats(1e-9, 1e-3))
def test_growth_rises_with_the_flux_and_has_no_step(flux, nudge):
    less, more = plume_growth(flux), plume_growth(flux + nudge)
    assert 0.0 <= less <= more
    assert more - less <= 5e3 * nudge


@given(st.floats(-5e3, 5e4), st.floats(0.1, 1.0), st.floats(1e-6, 10.0))
def test_the_virtual_origin_nears_its_source_with_more_heat(watts, diameter, nudge):
    less, more = (virtual_distance(w, diameter, SEA_LEVEL) for w in (watts, watts + nudge))
    assert 0.1 * diameter < more <= less * (1.0 + 1e-12) < 1.03 * diameter
    assert less - more <= 0.05 * nudge


def test_growth_is_short_only_below_a_watt_or_so():
    # Against the law without its onset: 0.12 % short at 10 W, 1e-5 at 100 W.
    for watts, short in ((10.0, 1.2e-3), (100.0, 1.2e-5)):
        flux = buoyancy_flux(watts, SEA_LEVEL)
        plain = FACTOR**0.6 * flux**0.2
        assert 0.0 < 1.0 - plume_growth(flux) / plain < short


def test_the_onset_has_no_kink():
    # Slopes from both sides of no heat meet, and change no faster than the onset is wide.
    slopes = np.diff([plume_growth(flux) for flux in np.linspace(-1e-5, 3e-5, 4001)]) / 1e-8
    assert abs(np.diff(slopes)).max() < 0.01 * slopes.max()
