"""Unventilated air gaps between two skins, against a standard's table and laws of cavities.

simtent follows the standard's own formulas. In wide gaps they know no thickness where the heat goes up or sideways;
laws of cavities do, by the Rayleigh number. simtent gives 0.7 to 1.25 times what these give for gaps of 25 and 50 mm,
up to 1.35 times at 100 mm; and up to 1.8 times what air at rest would conduct down through 100 mm.
"""

import itertools
from functools import partial
from math import cos, radians, sin

import ht
import pytest
from scipy.constants import g as standard_gravity

from simtent.physics.air import air_density
from simtent.physics.airspace import gap_film, pair_emissivity
from simtent.physics.constants import CP_AIR, STEFAN_BOLTZMANN
from simtent.physics.radiation import black_exchange

from .claims import CLOSED_FORM, LIBRARY, MEMORY, SECOND_HAND, between, case, claims, off, percent
from .other_laws import air_conductivity, air_viscosity
from .sources import HOLLANDS, HT, ISO_6946, ISO_15099, MATHEMATICS

SUBJECT = "Air gaps between skins"
CEILING, WALL, FLOOR = -1.0, 0.0, 1.0
FILM = "W/(m2 K)"
PRANDTL = 0.71

gap = partial(claims, laws=[gap_film])

# Agreement 0.0075: rounding, and gaps of 5 to 15 mm printed as rounded.
THICKNESS = (0.005, 0.007, 0.010, 0.015, 0.025, 0.050, 0.100, 0.300)
RESISTANCE = {
    "up": (CEILING, (0.11, 0.13, 0.15, 0.16, 0.16, 0.16, 0.16, 0.16)),
    "horizontally": (WALL, (0.11, 0.13, 0.15, 0.17, 0.18, 0.18, 0.18, 0.18)),
    "down": (FLOOR, (0.11, 0.13, 0.15, 0.17, 0.19, 0.21, 0.22, 0.23)),
}


@claims(
    "Resistance of an airspace, faces of emissivity 0.9, 10 degC in the middle, 2 K across",
    ISO_6946,
    SECOND_HAND,
    unit="m2 K/W",
    allowed=off(0.0075),
    laws=[gap_film, pair_emissivity],
    cases=[
        case(f"heat {way}, {1000.0 * thickness:g} mm", resistance, tilt, thickness)
        for way, (tilt, row) in RESISTANCE.items()
        for thickness, resistance in zip(THICKNESS, row, strict=True)
    ],
)
def test_resistance_of_the_standard(cos_tilt, thickness):
    # Inner face warmer: heat flows out, that is up through a roof and down through a floor.
    radiant = pair_emissivity(0.9, 0.9) * 4.0 * STEFAN_BOLTZMANN * 283.15**3
    assert radiant == pytest.approx(4.2128, rel=1e-4)
    return 1.0 / (gap_film(2.0, thickness, cos_tilt) + radiant)


@gap(
    "Film across a gap of 100 mm at 20 K",
    ISO_6946,
    MEMORY,
    unit=FILM,
    allowed=percent(1e-10),
    cases=[
        case("heat up, 1.14 dT^(1/3)", 1.14 * 20 ** (1 / 3), CEILING),
        case("heat horizontally, 0.73 dT^(1/3)", 0.73 * 20 ** (1 / 3), WALL),
        case("heat down, 0.09 dT^0.187 d^-0.44", 0.09 * 20**0.187 * 0.1**-0.44, FLOOR),
    ],
)
def test_large_differences(cos_tilt):
    return gap_film(20.0, 0.1, cos_tilt)


@pytest.mark.parametrize(
    ("cos_tilt", "expected"),
    [(CEILING, 1.14 * 20 ** (1 / 3)), (WALL, 0.73 * 20 ** (1 / 3)), (FLOOR, 0.09 * 20**0.187 * 0.1**-0.44)],
)
def test_large_differences_to_round_off(cos_tilt, expected):
    assert gap_film(20.0, 0.1, cos_tilt) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("cos_tilt", "mirror"), [(CEILING, FLOOR), (FLOOR, CEILING), (WALL, WALL)])
def test_turning_the_heat_round_is_turning_the_gap_over(cos_tilt, mirror):
    assert gap_film(-7.0, 0.03, cos_tilt) == gap_film(7.0, 0.03, mirror)


@gap(
    "Film across a gap of 150 mm at 5 K, where the standard changes form: its constants below",
    ISO_6946,
    MEMORY,
    unit=FILM,
    allowed=percent(1.4),  # the step between the standard's own forms
    cases=[
        case("heat up", 1.95, CEILING),
        case("heat horizontally", 1.25, WALL),
        case("heat down, 0.12 d^-0.44", 0.12 * 0.15**-0.44, FLOOR),
    ],
)
def test_where_the_standard_changes_form(cos_tilt):
    return gap_film(5.0, 0.15, cos_tilt)


@pytest.mark.parametrize("cos_tilt", [CEILING, WALL, FLOOR])
def test_no_step_where_the_standard_changes_form(cos_tilt):
    below, above = gap_film(5.0 - 1e-9, 0.15, cos_tilt), gap_film(5.0 + 1e-9, 0.15, cos_tilt)
    assert above == pytest.approx(below, rel=1e-8)
    printed = {CEILING: 1.95, WALL: 1.25, FLOOR: 0.12 * 0.15**-0.44}[cos_tilt]
    assert gap_film(5.0, 0.15, cos_tilt) == pytest.approx(printed, rel=0.014)


def test_tilted_gap_lies_between_and_has_no_step():
    tilts = [k / 1000.0 for k in range(-1000, 1001)]
    films = [gap_film(4.0, 0.05, tilt) for tilt in tilts]
    assert all(abs(b - a) < 0.002 for a, b in itertools.pairwise(films))
    assert films == sorted(films, reverse=True)  # heat flowing up meets least resistance
    # Within 30 degrees of a wall the wall's value holds.
    assert {gap_film(4.0, 0.05, c) for c in (-0.5, -0.2, 0.0, 0.3, 0.5)} == {1.25}


def rayleigh(difference, thickness, kelvin=273.15):
    """Rayleigh number of a layer of air."""
    viscosity, conductivity = air_viscosity(kelvin), air_conductivity(kelvin)
    density = air_density(kelvin, 101325.0)
    diffusivity = conductivity / (density * CP_AIR)
    return standard_gravity / kelvin * difference * thickness**3 * density / (viscosity * diffusivity)


def conduction(thickness):
    """Film of air at rest at 0 degC [W/(m2 K)]."""
    return air_conductivity(273.15) / thickness


def hollands(ra, degrees):
    """Nusselt number of a layer heated from below, tilted up to 60 degrees from level."""
    lifted = ra * cos(radians(degrees))
    start = max(0.0, 1.0 - 1708.0 / lifted)
    rolls = 1.44 * start * (1.0 - 1708.0 * abs(sin(radians(1.8 * degrees))) ** 1.6 / lifted)
    return 1.0 + rolls + max(0.0, (lifted / 5830.0) ** (1 / 3) - 1.0)


def upright(ra, aspect):
    """Nusselt number of an upright cavity."""
    wide = 0.242 * (ra / aspect) ** 0.272
    if ra > 5e4:
        return max(wide, 0.0673838 * ra ** (1 / 3))
    return max(wide, 0.028154 * ra**0.4134 if ra > 1e4 else 1.0 + 1.7596678e-10 * ra**2.2984755)


def test_laws_of_cavities_are_written_down_right():
    tilted = [hollands(*it) for it in ((1e4, 0), (1e5, 0), (1e6, 0), (1e5, 30), (1e5, 60))]
    assert tilted == pytest.approx([2.391, 3.994, 6.994, 3.850, 3.394], rel=1e-3)
    found = [upright(ra, 20.0) for ra in (5e3, 1e4, 3e4, 1e5, 1e6)]
    assert found == pytest.approx([1.087, 1.312, 1.997, 3.128, 6.738], rel=1e-3)


@gap(
    "Film of a roof's gap over that of a layer heated from below, 20 K, 0 degC (later form by Hollands): a spread",
    HT,
    LIBRARY,
    allowed=between(0.95, 1.40),
    cases=[case(f"{1000.0 * d:g} mm", None, d) for d in (0.025, 0.05, 0.1)],
)
def test_gap_heated_from_below_against_a_cavity_law(thickness):
    ra = rayleigh(20.0, thickness)
    oracle = ht.Nu_Nusselt_Rayleigh_Hollands(PRANDTL, ra / PRANDTL) * conduction(thickness)
    return gap_film(20.0, thickness, CEILING) / oracle


@gap(
    "The roof's gap over another law of a layer heated from below, 20 K, 0 degC (Holling and Herwig): a spread",
    HT,
    LIBRARY,
    allowed=between(0.80, 1.20),
    cases=[case(f"{1000.0 * d:g} mm", None, d) for d in (0.025, 0.05, 0.1)],
)
def test_gap_heated_from_below_against_another_law(thickness):
    ra = rayleigh(20.0, thickness)
    oracle = ht.Nu_Nusselt_Rayleigh_Holling_Herwig(PRANDTL, ra / PRANDTL) * conduction(thickness)
    return gap_film(20.0, thickness, CEILING) / oracle


@gap(
    "Film of a tilted roof's gap over that of a tilted layer heated from below, 10 K, 0 degC: a spread",
    HOLLANDS,
    MEMORY,
    allowed=between(0.70, 1.35),
    cases=[
        case(f"{1000.0 * thickness:g} mm, {degrees} degrees from level", None, thickness, degrees)
        for thickness in (0.025, 0.05, 0.1)
        for degrees in (0, 30, 60)
    ],
)
def test_tilted_gap_against_a_cavity_law(thickness, degrees):
    oracle = hollands(rayleigh(10.0, thickness), degrees) * conduction(thickness)
    return gap_film(10.0, thickness, -cos(radians(degrees))) / oracle


@gap(
    "Film of a wall's gap 2 m tall over that of a window's cavity, 0 degC: a spread",
    ISO_15099,
    SECOND_HAND,
    allowed=between(0.84, 1.25),
    cases=[
        case(f"{1000.0 * thickness:g} mm, {difference:g} K", None, thickness, difference)
        for thickness in (0.025, 0.05, 0.1)
        for difference in (2.0, 20.0)
    ],
)
def test_upright_gap_against_a_cavity_law(thickness, difference):
    oracle = upright(rayleigh(difference, thickness), 2.0 / thickness) * conduction(thickness)
    return gap_film(difference, thickness, WALL) / oracle


def test_upright_gap_by_how_much():
    oracle = upright(rayleigh(20.0, 0.1), 20.0) * conduction(0.1)
    assert gap_film(20.0, 0.1, WALL) / oracle == pytest.approx(0.854, abs=0.01)


@gap(
    "The wall's gap over another law of an upright cavity 2 m tall, 0 degC (Thess): a spread",
    HT,
    LIBRARY,
    allowed=between(0.85, 1.20),
    cases=[
        case(f"{1000.0 * thickness:g} mm, {difference:g} K", None, thickness, difference)
        for thickness in (0.025, 0.05, 0.1)
        for difference in (2.0, 20.0)
    ],
)
def test_upright_gap_against_another_law(thickness, difference):
    ra = rayleigh(difference, thickness)
    nusselt = ht.Nu_Nusselt_vertical_Thess(PRANDTL, ra / PRANDTL, H=2.0, L=thickness)
    return gap_film(difference, thickness, WALL) / (nusselt * conduction(thickness))


@gap(
    "Film of a level gap that heat goes down through, over conduction in air at rest (0 degC): a spread, never below 1",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=between(1.0, 1.85),
    cases=[
        case(f"{1000.0 * thickness:g} mm, {difference:g} K", None, thickness, difference)
        for thickness in (0.025, 0.05, 0.1)
        for difference in (2.0, 20.0)
    ],
)
def test_level_gap_against_air_at_rest(thickness, difference):
    return gap_film(difference, thickness, FLOOR) / conduction(thickness)


@claims(
    "Radiation between two large plates, 500 and 300 K",
    MATHEMATICS,
    CLOSED_FORM,
    unit="W/m2",
    digits=6,
    allowed=percent(0.01),
    laws=[pair_emissivity, black_exchange],
    cases=[case("black", 3084.68, 1.0), case("emissivities 0.8 and 0.8", 2056.46, 0.8)],
)
def test_grey_plates(emissivity):
    return pair_emissivity(emissivity, emissivity) * black_exchange(500.0, 300.0)


@claims(
    "What two plates of unlike emissivity exchange, of what black ones do: 1/(1/e1 + 1/e2 - 1)",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=percent(1e-10),
    laws=[pair_emissivity],
    cases=[case("0.9 and 0.05", 1.0 / (1.0 / 0.9 + 1.0 / 0.05 - 1.0), 0.9, 0.05)],
)
def test_unlike_plates(one, other):
    return pair_emissivity(one, other)
