"""Snow and ice that melt under a warm floor: Stefan's and Neumann's front, and the heat it takes.

Eight cells cannot hold a front: it stands in one cell for as long as that melts, and what the ground takes up goes to
and fro about the closed form, by up to 9 % in the first five minutes, 8 % until four hours, 6 % later. In fine cells
the same law is within 2 %. The front is followed by the heat taken up and the water melted per square metre.
"""

from functools import lru_cache
from math import erf, erfc, exp, inf, pi, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq

from simtent.assembly.earth import Earth, Stratum
from simtent.assembly.ground import build_floor
from simtent.assembly.stack import add_slabs
from simtent.network import Accuracy, Builder, tables
from simtent.network.solve import solve
from simtent.physics.ground import FUSION, THAWED_MORE
from tests.network.plain import run

from .claims import CLOSED_FORM, MEMORY, between, case, claims, percent
from .sources import HANDBOOKS_OF_WATER, STEFAN

SUBJECT = "Melting ground"
ICE_HEAT, WATER_HEAT = 2050.0, 4200.0  # J/(kg K)
ICE = (2.2, 917.0)  # W/(m K), kg/m3
SNOW = (0.207, 370.0)
TIMES = np.array([0.0, 300.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 28800.0, 43200.0])


def front(matter, warm, cold):
    """Stefan's and Neumann's front as depth over 2 sqrt(a t) of the molten, and that diffusivity.

    A half space at `cold` below melting [K] whose surface is held `warm` above it; one density, one conductivity.
    Carslaw and Jaeger, Conduction of Heat in Solids, ch. XI (from memory):
    k V e^(-l^2) / (sqrt(a) erf l) - k C e^(-l^2 a/b) / (sqrt(b) erfc(l sqrt(a/b))) = l L rho sqrt(pi a).
    """
    k, rho = matter
    molten, frozen = k / (rho * WATER_HEAT), k / (rho * ICE_HEAT)

    def miss(depth):
        down = k * warm * exp(-(depth**2)) / (sqrt(molten) * erf(depth))
        ratio = molten / frozen
        away = k * cold * exp(-(depth**2) * ratio) / (sqrt(frozen) * erfc(depth * sqrt(ratio)))
        return down - away - depth * FUSION * rho * sqrt(pi * molten)

    return brentq(miss, 1e-9, 3.0), molten


def exact(matter, warm, cold, times=TIMES):
    """Heat taken up by the surface [J/m2], and water melted [kg/m2]."""
    depth, diffusivity = front(matter, warm, cold)
    heat = 2.0 * matter[0] * warm * np.sqrt(times / (pi * diffusivity)) / erf(depth)
    return heat, matter[1] * 2.0 * depth * np.sqrt(diffusivity * times)


def held_warm(net, top, warm):
    """Hold the surface of a square metre; solve; heat taken up and water melted."""
    net.link(
        net.boundary(tables.constant(273.15 + warm)), top, 1e4, net.path("in", crossing=True)
    )  # so much more than the ground lets through that it is no film
    states = run(net, TIMES, Accuracy()).states
    water = np.zeros(TIMES.size)
    for node, melt in net.melts.items():
        ice = net.capacities[node] * melt.latent / FUSION
        water += ice * (melt.shares(states[:, node]) - melt.share(net.starts[node]))
    return states[:, len(net.capacities)], water


def ground(matter, cold):
    k, rho = matter
    return Earth((Stratum(k, rho * ICE_HEAT, inf, rho),), 0.98, (0.0,), (273.15 - cold,))


@claims(
    "Heat that melts ice at 0 degC",
    HANDBOOKS_OF_WATER,
    MEMORY,
    unit="kJ/kg",
    allowed=percent(0.2),
    cases=[
        case("handbooks", 334.0),
        case("sublimation less evaporation, 2834.5 - 2500.9", 333.6, allowed=percent(0.1)),
    ],
)
def test_heat_of_melting():
    return FUSION / 1e3


@claims(
    "Specific heat of water (4.18 to 4.22) above that of ice (2.0 to 2.1 between 0 and -20 degC): a range",
    HANDBOOKS_OF_WATER,
    MEMORY,
    unit="kJ/(kg K)",
    allowed=between(4.18 - 2.11, 4.22 - 1.99),
    cases=[case("what thaws stores more", None)],
)
def test_what_thaws_stores_more():
    return THAWED_MORE / 1e3


def test_one_phase_front():
    """Stefan's own case: a small Stefan number's front is sqrt(2 k V t / (L rho)) deep."""
    depth, diffusivity = front(ICE, 0.5, 0.0)
    quasi_steady = sqrt(2.0 * ICE[0] * 0.5 / (FUSION * ICE[1]))
    assert 2.0 * depth * sqrt(diffusivity) == pytest.approx(quasi_steady, rel=2e-3)


MATTERS = {"ice": ICE, "packed snow": SNOW}
CASES = [(matter, warm, cold) for matter in MATTERS for warm, cold in ((5.0, 0.0), (5.0, 5.0), (20.0, 5.0))]
# Stretches of TIMES, and how far off the column may be there.
STRETCHES = {
    "5 min": (slice(1, 2), 9.5),
    "15 min to 2 h": (slice(2, 6), 8.0),
    "4 to 12 h": (slice(6, 9), 6.0),
}


@lru_cache
def melted(matter, warm, cold):
    """Heat taken up [J/m2] and water melted [kg/m2] by simtent's own column at TIMES."""
    net = Builder(end=43200.0)
    floor = build_floor(net, [], ground(MATTERS[matter], cold), 1.0, 273.15)
    return held_warm(net, floor.top, warm)


def lines(which, scale):
    """Cases for every front and stretch; `which` is 0 for heat, 1 for water."""
    return [
        case(
            f"{matter} {cold:g} K below 0, surface {warm:g} K above, {name}",
            exact(MATTERS[matter], warm, cold)[which][span] / scale,
            matter,
            warm,
            cold,
            span,
            allowed=percent(allowed),
        )
        for matter, warm, cold in CASES
        for name, (span, allowed) in STRETCHES.items()
    ]


own = [build_floor, solve]


@claims(
    "Heat that simtent's column takes up; ice of 2.2 W/(m K), 917 kg/m3, packed snow of 0.207 and 370",
    STEFAN,
    CLOSED_FORM,
    unit="MJ/m2",
    allowed=percent(9.5),
    laws=own,
    cases=lines(0, 1e6),
)
def test_heat_into_the_column(matter, warm, cold, span):
    return melted(matter, warm, cold)[0][span] / 1e6


@claims(
    "Water that melts in it, front times density",
    STEFAN,
    CLOSED_FORM,
    unit="kg/m2",
    allowed=percent(9.5),
    laws=own,
    cases=lines(1, 1.0),
)
def test_water_in_the_column(matter, warm, cold, span):
    return melted(matter, warm, cold)[1][span]


@lru_cache
def finely_melted():
    """The same of packed snow in 26 cells of 1 mm to 4 cm."""
    net = Builder(end=43200.0)
    k, rho = SNOW
    matter = Stratum(k, rho * ICE_HEAT, inf, rho)
    slabs = [matter.slab(1e-3 * 1.16**n, 268.15, 268.15) for n in range(26)]
    top, *_ = add_slabs(net, slabs, 1.0, "ground")
    return held_warm(net, top, 5.0)


@claims(
    "Packed snow 5 K below 0, surface 5 K above, in 26 cells of 1 mm to 4 cm, half an hour to 12 h: heat in MJ/m2, "
    "water in kg/m2",
    STEFAN,
    CLOSED_FORM,
    allowed=percent(2.0),
    laws=[add_slabs, solve],
    cases=[
        case("heat", exact(SNOW, 5.0, 5.0)[0][3:] / 1e6, 0),
        case("water", exact(SNOW, 5.0, 5.0)[1][3:], 1),
    ],
)
def test_fine_cells_melt_as_the_closed_form(which):
    return finely_melted()[which][3:] / (1e6 if which == 0 else 1.0)


def test_the_heat_taken_up_is_in_the_water_and_in_what_is_warmer():
    """Snow at 0 degC under a warm surface: of the heat, all but what warms the water above it melts snow."""
    heat, water = exact(SNOW, 5.0, 0.0)
    assert (heat[1:] > water[1:] * FUSION).all()
    assert heat[1:] == pytest.approx(water[1:] * (FUSION + WATER_HEAT * 2.5), rel=0.005)
