"""Where the air of a warm room turns from coming in to going out: pressures and flows as simtent solves them.

Openings at several heights and one unknown, the pressure inside. Two openings have a closed form; many, in air whose
temperature changes with height, are calculated a second time by quadrature and bisection.
"""

from functools import lru_cache, partial
from itertools import pairwise
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity
from scipy.constants import gas_constant
from scipy.integrate import quad
from scipy.optimize import brentq

from simtent.assembly.pressure import inside_pressure, stack_pressures
from simtent.assembly.shape import edges_growing_upward
from simtent.physics.opening import orifice_strength

from .claims import CLOSED_FORM, case, claims, off, percent
from .filling_box import SEA_LEVEL, openings, throughflow, upright
from .sources import MATHEMATICS

SUBJECT = "Neutral plane"
GAS = gas_constant / 0.0289652  # J/(kg K), dry air (molar mass: CIPM-2007)
DISCHARGE = 0.6


def density(temperature):
    return SEA_LEVEL / (GAS * temperature)


def room(height, areas, layers=20):
    """A room cut as the package cuts it, and orifices of areas [m2] at heights [m]."""
    column = upright(edges_growing_upward(height, layers), 6.0, 1.0)
    return column, openings(column, [(at, orifice_strength(area, DISCHARGE)) for at, area in areas])


solved = partial(
    claims,
    source=MATHEMATICS,
    provenance=CLOSED_FORM,
    allowed=percent(0.1),
    laws=[inside_pressure, stack_pressures],
)
# Lower and upper area [m2], flow [kg/s], height of the neutral plane above the lower one [m].
STACK = [(0.01, 0.01, 0.00973, 0.8592), (0.02, 0.01, 0.01215, 0.3346), (0.01, 0.02, 0.01248, 1.4131)]
PLACED = [(foot, row) for row in STACK for foot in (0.0, 0.37)]
TWO = "two openings 1.8 m apart in a room of 2.3 m and 20 layers, 15 degC inside, -10 degC outdoors, discharge 0.6"


@lru_cache
def two(lower, upper, foot):
    """Inside pressure [Pa], flows [kg/s] and the stack's pressure over the height of the room [Pa]."""
    column, holes = room(2.3, [(foot, lower), (foot + 1.8, upper)])
    temps = np.full(20, 288.15)
    inside, flows = throughflow(column, holes, 263.15, SEA_LEVEL, temps)
    return inside, flows, stack_pressures(column, 263.15, SEA_LEVEL, temps)[-1]


def places(at):
    """Cases for all openings, wherever they lie in their layers; `at` picks what is expected."""
    return [
        case(f"{row[0]:g} and {row[1]:g} m2, the lower at {foot:g} m", at(row), row[0], row[1], foot)
        for foot, row in PLACED
    ]


@solved(f"Flow in below and out above, {TWO}", unit="kg/s", cases=places(lambda row: (row[2], -row[2])))
def test_two_openings(lower, upper, foot):
    return two(lower, upper, foot)[1]


@solved(
    "Neutral plane above the lower opening of the same, H / (1 + (a_lo/a_up)^2 rho_o/rho_i)",
    unit="m",
    cases=places(lambda row: row[3]),
)
def test_neutral_plane(lower, upper, foot):
    fall = (density(263.15) - density(288.15)) * standard_gravity
    return -two(lower, upper, foot)[0] / fall - foot


@solved("Stack of the whole room, 2.0543 Pa over 1.8 m", unit="Pa", cases=[case("2.3 m", 2.0543 * 2.3 / 1.8)])
def test_stack():
    return two(0.01, 0.01, 0.0)[2]


@solved(
    "Colder inside it goes the other way: -10 degC inside, 15 degC outdoors, openings of 0.01 m2 at 0.2 and 2 m",
    unit="kg/s",
    cases=[case("in above, out below", (-0.00973, 0.00973))],
)
def test_colder_inside_the_other_way():
    column, holes = room(2.3, [(0.2, 0.01), (2.0, 0.01)])
    return throughflow(column, holes, 288.15, SEA_LEVEL, np.full(20, 263.15))[1]


@solved(
    "More air, in percent, by twice the area of one of two openings 2.5 m apart, 14 degC inside, 10 degC outdoors, "
    "the upper four times the lower at first: openings in series",
    unit="points",
    digits=3,
    allowed=off(0.2),
    cases=[case("twice the upper", 2.3, 2.0, 1.0), case("twice the lower", 84.4, 1.0, 2.0)],
)
def test_what_one_of_two_openings_governs(peak, base):
    area = 0.005

    def through(low, high):
        column, holes = room(2.5, [(0.0, low), (2.5, high)])
        return throughflow(column, holes, 283.15, SEA_LEVEL, np.full(20, 287.15))[1][0]

    gained = 100.0 * (through(base * area, peak * 4.0 * area) / through(area, 4.0 * area) - 1.0)
    assert gained < 3.0 if base == 1.0 else gained > 80.0
    return gained


def expected_pressure(drawn):
    """Of one opening of 40 cm2 at 0.3 m through which a fire draws [kg/s]: closed form [Pa]."""
    source = density(263.15) if drawn > 0.0 else density(283.15)
    drop = np.sign(drawn) * (drawn / (DISCHARGE * 0.004)) ** 2 / (2.0 * source)
    lift = (density(263.15) - density(283.15)) * standard_gravity * 0.3
    return float(-drop - lift)


class Layered:
    """A room of layered air with openings, and the pressure inside calculated a second time.

    The drop over height by quadrature of the layers' density, the root by bisection.
    """

    def __init__(self, areas, coolest, rise, drawn, outdoors=258.15):
        self.column, self.holes = room(2.3, areas)
        centres = (self.column.edges[1:] + self.column.edges[:-1]) / 2.0
        self.temps, self.outdoors = coolest + rise * centres / 2.3, outdoors
        self.areas, self.drawn = areas, drawn

    def solved(self):
        return throughflow(self.column, self.holes, self.outdoors, SEA_LEVEL, self.temps, drawn=self.drawn)

    def at(self, height):
        return self.temps[min(max(int(np.searchsorted(self.column.edges, height)) - 1, 0), 19)]

    def lifted(self, height):
        edges = [z for z in self.column.edges if z < height] + [height]
        parts = [
            quad(lambda z: density(self.outdoors) - density(self.at(z)), low, high)[0]
            for low, high in pairwise(edges)
        ]
        return standard_gravity * sum(parts)

    def flow(self, pressure, lift, height, area):
        drop = -pressure - lift
        source = density(self.outdoors) if drop > 0.0 else density(self.at(height))
        return DISCHARGE * area * sqrt(2.0 * source * abs(drop)) * np.sign(drop)

    def calculated(self):
        lifts = [self.lifted(height) for height, _ in self.areas]

        def total(pressure):
            flows = (self.flow(pressure, lift, *hole) for lift, hole in zip(lifts, self.areas, strict=True))
            return sum(flows) - self.drawn

        return brentq(total, -1e5, 1e5, xtol=1e-12)


MANY = ((0.1, 0.01), (0.9, 0.004), (1.4, 0.02), (2.2, 0.006))  # m, m2


@solved(
    "Inside pressure at the floor with openings of 0.01, 0.004, 0.02 and 0.006 m2 at 0.1, 0.9, 1.4 and 2.2 m, -15 "
    "degC outdoors, the air 5 K warmer at the floor, more above; beside quadrature and bisection; flows are "
    "rounded over 0.01 Pa",
    unit="Pa",
    allowed=off(0.01),
    cases=[
        case(
            f"{rise:g} K more at the top, {1e3 * drawn:g} g/s drawn by a fire",
            Layered(MANY, 263.15, rise, drawn).calculated(),
            rise,
            drawn,
        )
        for rise, drawn in ((0.0, 0.0), (20.0, 0.0), (20.0, 0.01), (30.0, -0.005))
    ],
)
def test_four_openings_in_layered_air(rise, drawn):
    return Layered(MANY, 263.15, rise, drawn).solved()[0]


@given(
    st.lists(st.tuples(st.floats(0.0, 2.3), st.floats(1e-4, 0.3)), min_size=2, max_size=6),
    st.floats(258.15, 268.15),
    st.floats(0.0, 30.0),
    st.floats(-0.02, 0.02),
)
def test_many_openings_in_layered_air(areas, coolest, rise, drawn):
    """Within the pressure over which an opening's law is rounded."""
    it = Layered(areas, coolest, rise, drawn)
    inside, flows = it.solved()
    assert flows.sum() == pytest.approx(drawn, abs=1e-12 + 1e-9 * np.abs(flows).max())
    assert inside == pytest.approx(it.calculated(), rel=1e-3, abs=0.01)


@solved(
    "Inside pressure at the floor where a fire draws through one opening of 40 cm2 at 0.3 m, 10 degC inside, -10 degC "
    "outdoors: (m / C_d A)^2 / (2 rho), with the density where the air comes from",
    unit="Pa",
    cases=[case(f"{1e3 * drawn:g} g/s", expected_pressure(drawn), drawn) for drawn in (0.0, 0.004, -0.004)],
)
def test_one_opening_gives_what_the_fire_draws(drawn):
    column, holes = room(2.0, [(0.3, 0.004)])
    inside, flows = throughflow(column, holes, 263.15, SEA_LEVEL, np.full(20, 283.15), drawn=drawn)
    assert flows[0] == pytest.approx(drawn, abs=1e-12)
    return inside
