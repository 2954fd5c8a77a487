"""Air that runs down cold fabric: the heat it carries, and a boundary-layer law beside it.

simtent takes the block model of large halls: the air of the current goes a quarter of the way to the surface's
temperature, and its flow follows from the heat that convection takes. The quarter is remembered, the original was not
seen, and no current in a small shelter was found measured. A turbulent boundary layer (from memory, too) has 0.21 of
the way, and weaker films: what a wall of 2 m sheds by simtent is 4 to 14 % more than that layer carries at its foot.
"""

from math import gamma

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity
from scipy.interpolate import CubicHermiteSpline

from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.convection import inside_film
from simtent.physics.current import LEAST_HEAT, SHED, WIDTH, current_flow, going_on

from .claims import CLOSED_FORM, MEMORY, at_most, between, case, claims, off, percent
from .other_laws import air_viscosity
from .sources import ECKERT_JACKSON, MATHEMATICS, TOGARI

SUBJECT = "Currents along cold fabric"


@claims(
    "Block of a hall: film 4 W/(m2 K), 2 m2 of wall at 5 degC, air at 20 degC",
    TOGARI,
    MEMORY,
    allowed=percent(0.01),
    laws=[current_flow],
    cases=[
        case("current, kg/s", 0.03181, "flow"),
        case("its temperature, degC", 16.25, "temperature"),
    ],
)
def test_block_of_a_hall(asked):
    return current_flow(4.0, 2.0) if asked == "flow" else 20.0 - SHED * (20.0 - 5.0)


@claims(
    "Heat that the current lacks over what convection took, c_p m (T - T_d) / (h A (T - T_w)), whatever the model",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(1e-12),
    laws=[current_flow],
    cases=[
        case("film 4 W/(m2 K), 2 m2", 1.0, 4.0, 2.0),
        case("film 0.3 W/(m2 K), 12 m2", 1.0, 0.3, 12.0),
    ],
)
def test_a_current_carries_what_was_taken(film, area):
    return CP_AIR * current_flow(film, area) * SHED / (film * area)


@given(st.floats(0.0, 12.0), st.floats(0.0, 20.0), st.floats(-60.0, 60.0))
def test_a_current_carries_what_convection_takes(film, area, difference):
    # Closed form: c_p m (T - T_d) = h A (T - T_w).
    carried = CP_AIR * current_flow(film, area) * SHED * difference
    assert carried == pytest.approx(film * area * difference, rel=1e-12, abs=1e-300)


# Wall 2 m high, air of the layer at 10 degC: K, thickness [m], flow [l/s per m of width], film [W/(m2 K)], flow by the
# simple form 2.75 dT^0.4 x^1.2 l/s.
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


def shed(film):
    """What a wall of 2 m sheds in all, per metre of its width [l/s]."""
    return 1e3 * current_flow(film, 2.0) / air_density(283.15, 101325.0)


beside = [current_flow, inside_film]


@claims(
    "What a wall of 2 m sheds in all, with simtent's own film, beside a turbulent boundary layer at its foot, per "
    "metre of width",
    ECKERT_JACKSON,
    MEMORY,
    unit="l/s",
    allowed=percent(5.0),
    laws=beside,
    cases=[
        case(f"wall {row[0]:g} K colder", row[2], row[0], missed=more)
        for row, more in zip(WALL_CURRENT, ("14 % more", "9 % more", None), strict=True)
    ],
)
def test_current_of_a_cold_wall(difference):
    return shed(inside_film(-difference, 0.0, 1.0))


@claims(
    "The same beside the simple form 2.75 dT^0.4 x^1.2 l/s, which lies 4 % below the boundary layer",
    ECKERT_JACKSON,
    MEMORY,
    unit="l/s",
    allowed=percent(5.0),
    laws=beside,
    cases=[
        case(f"wall {row[0]:g} K colder", row[4], row[0], missed=more)
        for row, more in zip(WALL_CURRENT, ("19 % more", "13 % more", "8 % more"), strict=True)
    ],
)
def test_current_of_a_cold_wall_by_a_simple_form(difference):
    return shed(inside_film(-difference, 0.0, 1.0))


@claims(
    "The same with the boundary layer's own film, 5/6 of that at its foot, over the boundary layer: its air goes "
    "0.21 of the way to the wall's temperature, ours 0.25",
    ECKERT_JACKSON,
    MEMORY,
    allowed=between(0.829, 0.838),
    laws=[current_flow],
    cases=[case(f"wall {row[0]:g} K colder", None, row[0]) for row in WALL_CURRENT],
)
def test_current_by_the_boundary_layers_own_film(difference):
    _, flow, film = boundary_layer(difference, 2.0, 283.15)
    return shed(film / 1.2) / (1e3 * flow)


@pytest.mark.parametrize(("difference", "thickness", "flow", "film", "simple"), WALL_CURRENT)
def test_the_boundary_layer_as_remembered(difference, thickness, flow, film, simple):
    """The numbers above, evaluated again; and how far ours lies above them, as found: 14 % at 5 K, 4 % at 20 K."""
    found = boundary_layer(difference, 2.0, 283.15)
    assert found == pytest.approx((thickness, flow * 1e-3, film), rel=0.02)
    assert 2.75 * difference**0.4 * 2.0**1.2 == pytest.approx(simple, rel=0.002)
    ours = shed(inside_film(-difference, 0.0, 1.0))
    assert 1.0 < ours / (1e3 * found[1]) < 1.15
    assert 1.0 < ours / simple < 1.20


STEPS = st.floats(-60.0, 60.0)  # K, of the next layer beyond this one
FLOWS = st.floats(0.0, 1.0)  # kg/s
LIKE = 0.5**0.5 * WIDTH  # K, stands for the step to a layer of the same temperature: 0.14 K


@claims(
    "Share of a current of 0.03 kg/s that goes on, the next layer 10 K beyond this one: whole blocks take all or "
    "nothing",
    TOGARI,
    MEMORY,
    allowed=off(1e-6),
    laws=[going_on],
    cases=[
        case("current like its own layer", 0.0, 0.0),
        case("current 0.2 K beyond the next", 1.0, 1.02),
    ],
)
def test_share_that_goes_on(way):
    return going_on(way * CP_AIR * 0.03 * 10.0, 0.03, 10.0)


@claims(
    "Between those two simtent's own choice, held to what it says of itself: a cubic, level at both ends; the "
    "share off at worst, 0.03 kg/s, 10 K",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=at_most(5e-4),
    laws=[going_on],
    digits=1,
    cases=[case("101 places between the layers", None)],
)
def test_between_nothing_and_all_a_cubic():
    ways = np.linspace(0.0, 1.0, 101)
    cubic = CubicHermiteSpline([0.0, 1.0], [0.0, 1.0], [0.0, 0.0])(ways)
    return max(abs(going_on(w * CP_AIR * 0.3, 0.03, 10.0) - c) for w, c in zip(ways, cubic, strict=True))


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
