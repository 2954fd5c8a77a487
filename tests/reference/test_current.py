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


STEPS = st.floats(-60.0, 60.0)  # K, of the next layer beyond this one
FLOWS = st.floats(0.0, 1.0)  # kg/s
LIKE = 0.5**0.5 * WIDTH  # K, stands for the step to a layer of the same temperature: 0.14 K


@given(STEPS, FLOWS)
def test_a_current_goes_on_where_it_lies_beyond_the_next_layer(step, flow):
    # Togari et al. 1993 (from memory): it is delivered whole where the next block lies beyond it, and goes on whole
    # where it lies beyond the next. Ours does so from 0.14 K beyond, and from as much beyond its own layer.
    beyond = CP_AIR * flow * (max(step, 0.0) + LIKE) * (1.0 + 1e-12) + LEAST_HEAT
    assert going_on(beyond, flow, step) == 1.0
    assert going_on(0.0, flow, step) == going_on(-50.0, flow, step) == 0.0
    if step > 0.0:
        assert going_on(CP_AIR * flow * step, flow, step) < 1.0


@pytest.mark.parametrize("flow", [0.003, 0.03, 0.3])
@pytest.mark.parametrize("step", [2.0, 10.0, 40.0])
def test_half_way_to_the_next_layer_half_goes_on(step, flow):
    # As a straight profile between the centres of two layers has it at a quarter, at half and at three quarters of the
    # step: 0.16, 0.5 and 0.84 by the cubic, a little less where the heat that keeps small currents smooth counts.
    lost = LEAST_HEAT / (CP_AIR * flow * step) + (WIDTH / step) ** 2
    for way, share in ((0.25, 0.15625), (0.5, 0.5), (0.75, 0.84375)):
        found = going_on(way * CP_AIR * flow * step, flow, step)
        assert share * (1.0 - 2.0 * lost) < found < share


def test_a_layer_alike_or_behind_still_stands_in_the_way():
    # Half of a current of 0.03 kg/s goes on at 0.07 K beyond its own layer, at 0.05 K where the next is far behind.
    for step, stands in ((0.0, LIKE), (-40.0, WIDTH / 2.0), (-1e6, WIDTH / 2.0)):
        half = 0.5 * (CP_AIR * 0.03 * stands + LEAST_HEAT)
        assert going_on(half, 0.03, step) == pytest.approx(0.5, abs=1e-4)
    assert going_on(LEAST_HEAT, 0.0, 5.0) == 1.0  # a current of nothing


@given(st.floats(-100.0, 2000.0), FLOWS, STEPS, st.floats(1e-9, 1e-3))
def test_more_heat_takes_more_on_and_a_further_layer_less(excess, flow, step, nudge):
    here = going_on(excess, flow, step)
    assert 0.0 <= here <= 1.0
    assert here <= going_on(excess + nudge, flow, step) + 1e-15
    assert here >= going_on(excess, flow, step + nudge) - 1e-12
    assert here >= going_on(excess, flow + nudge, step) - 1e-12


@given(st.floats(-5.0, 400.0), FLOWS, STEPS, st.floats(1e-9, 1e-3))
def test_nothing_jumps(excess, flow, step, nudge):
    # A cubic step is at most 1.5 times as steep as a straight one, and with what stretches it goes back by at most 8/9.
    # What stands for the step is never under half of the width, however far behind the next layer is.
    narrowest = CP_AIR * flow * WIDTH / 2.0 + LEAST_HEAT
    here = going_on(excess, flow, step)
    assert abs(going_on(excess + nudge, flow, step) - here) <= 1.501 * nudge / narrowest + 1e-12
    stretched = CP_AIR * flow * nudge / narrowest
    assert abs(going_on(excess, flow, step + nudge) - here) <= 0.89 * stretched + 1e-12
    widened = CP_AIR * (max(step, 0.0) + LIKE) * nudge / narrowest
    assert abs(going_on(excess, flow + nudge, step) - here) <= 0.89 * widened + 1e-12


@pytest.mark.parametrize("step", [-1e4, -40.0, -1.0, -0.2, 0.0, 0.2, 5.0])
@pytest.mark.parametrize("flow", [0.0, 1e-6, 0.03, 1.0])
def test_slopes_do_not_jump(step, flow):
    # Where the current begins to go on, where all of it does, and where the next layer passes this one: the slope to
    # one side and to the other, by differences over a millionth of the way.
    whole, least = CP_AIR * flow * (max(step, 0.0) + LIKE) + LEAST_HEAT, 0.0
    while whole - least > 1e-9 * whole:
        middle = (least + whole) / 2.0
        least, whole = (middle, whole) if going_on(middle, flow, step) < 1.0 else (least, middle)
    for place in (0.0, whole):
        tiny = 1e-6 * whole
        here = going_on(place, flow, step)
        left, right = here - going_on(place - tiny, flow, step), going_on(place + tiny, flow, step) - here
        assert left * 1e6 == pytest.approx(right * 1e6, abs=1e-4)
    part = 0.4 * whole
    here = going_on(part, flow, step)
    left, right = here - going_on(part, flow, step - 1e-5), going_on(part, flow, step + 1e-5) - here
    assert left * 1e5 == pytest.approx(right * 1e5, abs=1e-2)
