"""Currents along surfaces against the heat they carry, and a boundary-layer law of turbulent natural convection."""

from math import gamma

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity

from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.convection import inside_film
from simtent.physics.current import LEAST_HEAT, SHED, WIDTH, current_flow, going_on

from .other_laws import air_viscosity


def test_block_of_a_hall():
    # ZN3. Togari et al. 1993 (equations from memory), closed form: film 4 W/(m2 K), 2 m2, air 20, wall 5 degC: 0.03181
    # kg/s of 16.25 degC, 120 W on both sides; 1e-4.
    flow = current_flow(4.0, 2.0)
    cooled = 20.0 - SHED * (20.0 - 5.0)
    assert flow == pytest.approx(0.03181, rel=1e-4)
    assert cooled == 16.25
    assert CP_AIR * flow * (20.0 - cooled) == pytest.approx(120.0, rel=1e-12)


@given(st.floats(0.0, 12.0), st.floats(0.0, 20.0), st.floats(-60.0, 60.0))
def test_a_current_carries_what_convection_takes(film, area, difference):
    # Closed form: c_p m (T - T_d) = h A (T - T_w).
    carried = CP_AIR * current_flow(film, area) * SHED * difference
    assert carried == pytest.approx(film * area * difference, rel=1e-12, abs=1e-300)


# PL6. Memory, recomputed twice: Eckert and Jackson's turbulent boundary layer, wall 2 m high, film at 10 degC: K,
# thickness [m], flow [l/s per m of width], film [W/(m2 K)], flow by 2.75 dT^0.4 x^1.2 l/s.
WALL_CURRENT = [
    (5.0, 0.145, 12.52, 1.97, 12.03),
    (10.0, 0.135, 16.52, 2.60, 15.87),
    (20.0, 0.126, 21.80, 3.43, 20.94),
]


def boundary_layer(difference, height, temperature):
    """Thickness [m], flow per metre of width [m2/s] and local film of Eckert and Jackson's layer."""
    prandtl, conductivity = 0.71, 0.0249
    viscosity = air_viscosity(temperature) / air_density(temperature, 101325.0)
    grashof = standard_gravity * difference / temperature * height**3 / viscosity**2
    rest = 1.0 + 0.494 * prandtl ** (2.0 / 3.0)
    thickness = 0.565 * height * grashof**-0.1 * prandtl ** (-8.0 / 15.0) * rest**0.1
    speed = 1.185 * viscosity / height * (grashof / rest) ** 0.5
    profile = gamma(8.0 / 7.0) * gamma(5.0) / gamma(8.0 / 7.0 + 5.0)
    film = 0.0246 * grashof**0.4 * prandtl ** (7.0 / 15.0) * rest**-0.4 * conductivity / height
    return thickness, profile * speed * thickness, film


@pytest.mark.parametrize(("difference", "thickness", "flow", "film", "simple"), WALL_CURRENT)
def test_current_of_a_cold_wall(difference, thickness, flow, film, simple):
    # What a wall of 2 m sheds in all, against the flow at its foot: with our film 14, 8 and 4 % more than the boundary
    # layer, 19, 13 and 8 % more than the simple form. With the boundary layer's own mean film (5/6 of its foot's) it is
    # 17 % less: its air goes 0.21 of the way to the wall's temperature, ours 0.25.
    found = boundary_layer(difference, 2.0, 283.15)
    assert found == pytest.approx((thickness, flow * 1e-3, film), rel=0.02)
    assert 2.75e-3 * difference**0.4 * 2.0**1.2 == pytest.approx(simple * 1e-3, rel=0.002)
    density = air_density(283.15, 101325.0)
    ours = current_flow(inside_film(-difference, 0.0, 1.0), 2.0) / density
    assert 1.0 < ours / found[1] < 1.15
    assert 1.0 < ours / (simple * 1e-3) < 1.20
    own = current_flow(found[2] / 1.2, 2.0) / density
    assert own / found[1] == pytest.approx(0.833, rel=0.005)


def test_a_current_stops_before_warmer_air_and_passes_colder():
    assert going_on(0.0, 0.03) == 0.0
    assert going_on(-50.0, 0.03) == 0.0
    whole = CP_AIR * 0.03 * WIDTH + LEAST_HEAT
    assert going_on(whole, 0.03) == 1.0
    assert going_on(0.5 * whole, 0.03) == pytest.approx(0.5, rel=1e-12)
    assert going_on(1.0, 0.0) == 1.0
    assert going_on(0.0, 0.0) == 0.0


@given(st.floats(-100.0, 100.0), st.floats(0.0, 1.0), st.floats(1e-9, 1e-3))
def test_more_difference_takes_more_on_and_nothing_jumps(excess, flow, nudge):
    less, more = going_on(excess, flow), going_on(excess + nudge, flow)
    assert 0.0 <= less <= more + 1e-15 <= 1.0 + 1e-15
    whole = CP_AIR * flow * WIDTH + LEAST_HEAT
    assert more - less <= 1.5 * nudge / whole * (1.0 + 1e-6) + 1e-12
