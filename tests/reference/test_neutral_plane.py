"""Inside pressure, neutral plane and flow of a room with openings at several heights, against closed forms."""

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

from simtent.assembly.pressure import stack_pressures
from simtent.assembly.shape import edges_growing_upward
from simtent.physics.opening import orifice_strength

from .filling_box import SEA_LEVEL, openings, throughflow, upright

GAS = gas_constant / 0.0289652  # J/(kg K), dry air (molar mass: CIPM-2007)
DISCHARGE = 0.6


def density(temperature):
    return SEA_LEVEL / (GAS * temperature)


def room(height, areas, layers=20):
    """A room cut as the package cuts it, and orifices of areas [m2] at heights [m]."""
    column = upright(edges_growing_upward(height, layers), 6.0, 1.0)
    return column, openings(column, [(at, orifice_strength(area, DISCHARGE)) for at, area in areas])


# AF6: two orifices 1.8 m apart, 15 degC inside and -10 degC outdoors; lower and upper area [m2], flow [kg/s], height of
# the neutral plane above the lower one [m]. Closed form, 0.1 %.
STACK = [(0.01, 0.01, 0.00973, 0.8592), (0.02, 0.01, 0.01215, 0.3346), (0.01, 0.02, 0.01248, 1.4131)]


@pytest.mark.parametrize("foot", [0.0, 0.37])
@pytest.mark.parametrize(("lower", "upper", "flow", "neutral"), STACK)
def test_two_openings(lower, upper, flow, neutral, foot):
    # Wherever the openings lie in their layers.
    column, holes = room(2.3, [(foot, lower), (foot + 1.8, upper)])
    temps = np.full(20, 288.15)
    inside, flows = throughflow(column, holes, 263.15, SEA_LEVEL, temps)
    assert flows == pytest.approx((flow, -flow), rel=1e-3)
    fall = (density(263.15) - density(288.15)) * standard_gravity
    assert -inside / fall - foot == pytest.approx(neutral, rel=1e-3)
    assert fall * 1.8 == pytest.approx(2.0543, rel=1e-3)
    stack = stack_pressures(column, 263.15, SEA_LEVEL, temps)
    assert stack[-1] == pytest.approx(2.0543 * 2.3 / 1.8, rel=1e-3)


def test_colder_inside_the_other_way():
    column, holes = room(2.3, [(0.2, 0.01), (2.0, 0.01)])
    _, flows = throughflow(column, holes, 288.15, SEA_LEVEL, np.full(20, 263.15))
    assert flows[1] == pytest.approx(0.00973, rel=1e-3)
    assert flows[0] == pytest.approx(-flows[1], rel=1e-9)


@pytest.mark.parametrize(("peak", "base", "more"), [(2.0, 1.0, 0.023), (1.0, 2.0, 0.844)])
def test_what_one_of_two_openings_governs(peak, base, more):
    # IV1: of a peak four times the base, twice the peak gives 2.3 % more (below 3 %), twice the base 84 % (over 80 %).
    # Closed form of openings in series; densities that hardly differ.
    area = 0.005

    def through(low, high):
        column, holes = room(2.5, [(0.0, low), (2.5, high)])
        return throughflow(column, holes, 283.15, SEA_LEVEL, np.full(20, 287.15))[1][0]

    gained = through(base * area, peak * 4.0 * area) / through(area, 4.0 * area) - 1.0
    assert gained == pytest.approx(more, abs=0.002)
    assert gained < 0.03 if base == 1.0 else gained > 0.80


@given(
    st.lists(st.tuples(st.floats(0.0, 2.3), st.floats(1e-4, 0.3)), min_size=2, max_size=6),
    st.floats(258.15, 268.15),
    st.floats(0.0, 30.0),
    st.floats(-0.02, 0.02),
)
def test_many_openings_in_layered_air(areas, coolest, rise, drawn):
    # Calculated a second time: the drop over height by quadrature of the layers' density, the root by bisection. Within
    # the pressure over which an opening's law is rounded.
    column, holes = room(2.3, areas)
    centres = (column.edges[1:] + column.edges[:-1]) / 2.0
    temps, outdoors = coolest + rise * centres / 2.3, 258.15
    inside, flows = throughflow(column, holes, outdoors, SEA_LEVEL, temps, drawn=drawn)
    assert flows.sum() == pytest.approx(drawn, abs=1e-12 + 1e-9 * np.abs(flows).max())

    def at(height):
        return temps[min(max(int(np.searchsorted(column.edges, height)) - 1, 0), 19)]

    def lifted(height):
        edges = [z for z in column.edges if z < height] + [height]
        parts = [
            quad(lambda z: density(outdoors) - density(at(z)), low, high)[0] for low, high in pairwise(edges)
        ]
        return standard_gravity * sum(parts)

    lifts = [lifted(height) for height, _ in areas]

    def flow(pressure, lift, height, area):
        drop = -pressure - lift
        source = density(outdoors) if drop > 0.0 else density(at(height))
        return DISCHARGE * area * sqrt(2.0 * source * abs(drop)) * np.sign(drop)

    def total(pressure):
        return sum(flow(pressure, lift, *hole) for lift, hole in zip(lifts, areas, strict=True)) - drawn

    expected = brentq(total, -1e5, 1e5, xtol=1e-12)
    assert inside == pytest.approx(expected, rel=1e-3, abs=0.01)


@pytest.mark.parametrize("drawn", [0.0, 0.004, -0.004])
def test_one_opening_gives_what_the_fire_draws(drawn):
    column, holes = room(2.0, [(0.3, 0.004)])
    inside, flows = throughflow(column, holes, 263.15, SEA_LEVEL, np.full(20, 283.15), drawn=drawn)
    assert flows[0] == pytest.approx(drawn, abs=1e-12)
    # Closed form of an orifice: (m / C_d A)^2 / 2 rho, with the density where the air comes from; 0.01 Pa rounding.
    source = density(263.15) if drawn > 0.0 else density(283.15)
    drop = np.sign(drawn) * (drawn / (DISCHARGE * 0.004)) ** 2 / (2.0 * source)
    lift = (density(263.15) - density(283.15)) * standard_gravity * 0.3
    assert inside == pytest.approx(-drop - lift, rel=1e-3, abs=1e-9)
