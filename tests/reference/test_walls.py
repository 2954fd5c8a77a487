"""Walls, plates, beads and soil cut into cells of `simtent.network`, against series, matrices and worked examples.

A chain of cells is not the wall itself: how far a few cells are off is a closed form too, and the chain meets that.
Most margins below therefore tell how fine the chain is, not how good a law is. Remembered inside temperatures of the
step walls of ISO 13791 could be matched to no inputs, and are not used; the step wall here is one of our own.
"""

from functools import partial
from math import log, pi

import numpy as np
import pytest

from simtent.network.kernels import add_links, add_rays, add_sources, network_rhs
from simtent.network.solve import solve
from simtent.physics.convection import inside_film

from .bodies import SOIL, bead, plate_under_source, soil, steady, swung, two_steps, under_film
from .chains import Layer
from .claims import CLOSED_FORM, MEMORY, PUBLISHED, case, claims, off, percent
from .layered_wall import FILMS, LAYERED, WALL, exact, ladder, of_cells, told
from .sources import CFAST, INCROPERA, ISO_6946, ISO_13786, MATHEMATICS
from .walls_in_closed_form import flow_into, heat_behind_film, left_at, slab

SUBJECT = "Walls, plates and soil as chains of cells"
ICE = 273.15
chain = partial(claims, laws=[solve, add_links])

# A slab of 0.1 m whose Fourier number is 1 after 10,000 s and whose Biot number is a tenth of its film.
PLAIN = Layer(0.1, 1.0, 1e6)
SLABS = {  # Fourier and Biot number: what is left in the middle and at the face
    (0.1, 1.0): (0.993108, 0.723577),
    (0.5, 1.0): (0.772526, 0.504522),
    (1.0, 1.0): (0.533859, 0.348177),
    (1.0, 0.1): (0.922389, 0.878126),
    (1.0, 10.0): (0.163818, 0.023172),
}


@chain(
    "Slab that cools under a film, what is left of its excess in the middle and at the face (series; 100 cells)",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(5e-5),
    digits=6,
    cases=[
        case(f"Fourier number {fourier:g}, Biot number {biot:g}", left, fourier, biot)
        for (fourier, biot), left in SLABS.items()
    ],
)
def test_slab(fourier, biot):
    middle, face = under_film(PLAIN, 10.0 * biot, 100.0, 0.0, (1e4 * fourier,))
    return 0.01 * middle[0], 0.01 * face[0]


def test_the_series_is_what_is_printed():
    for (fourier, biot), left in SLABS.items():
        assert (slab(fourier, biot, 0.0), slab(fourier, biot, 1.0)) == pytest.approx(left, abs=1e-6)


STEEL = Layer(0.04, 63.9, 63.9 / 18.8e-6)


def steel_wall():
    """Temperature of the insulated and of the heated face [degC], and flow into the wall [W/m2], after 8 minutes."""
    middle, face = under_film(STEEL, 500.0, -20.0, 60.0, (480.0,))
    return middle[0], face[0], 500.0 * (60.0 - face[0])


def steel_wall_by_series():
    fourier, biot = 18.8e-6 * 480.0 / 0.04**2, 500.0 * 0.04 / 63.9
    middle, face = (60.0 - 80.0 * slab(fourier, biot, x) for x in (0.0, 1.0))
    assert (middle, face) == pytest.approx((43.02, 45.36), abs=0.005)
    return middle, face


@chain(
    "Steel wall of 40 mm (63.9 W/(m K), 18.8e-6 m2/s) at -20 degC, one face to gas of 60 degC, 500 W/(m2 K), 8 min: "
    "insulated face, heated face",
    MATHEMATICS,
    CLOSED_FORM,
    unit="degC",
    allowed=off(0.05),
    cases=[case("series", steel_wall_by_series())],
)
def test_steel_wall():
    return steel_wall()[:2]


@chain(
    "Steel wall as the book has it, by one term of the series",
    INCROPERA,
    MEMORY,
    allowed=off(0.2),
    cases=[
        case("insulated face, degC", 42.9, 0),
        case("heated face, degC", 45.2, 1),
        case("flow into the wall, W/m2", 7400.0, 2, allowed=percent(1.5)),
    ],
)
def test_steel_wall_of_the_book(which):
    return steel_wall()[which]


STEP_WALL, STEP_HOURS = Layer(0.2, 1.2, 2e6), (2.0, 6.0, 12.0, 24.0, 120.0)
INSIDE = (20.174, 22.070, 24.667, 27.606, 29.996)


@chain(
    "Inside surface of a wall (0.2 m, 1.2 W/(m K), 2e6 J/(m3 K)) at 20 degC, insulated inside, when it becomes 30 degC "
    "outside (film 13.5 W/(m2 K)): after 2, 6, 12, 24 and 120 h",
    MATHEMATICS,
    CLOSED_FORM,
    unit="degC",
    allowed=off(0.05),
    cases=[case(f"{cells} cells", INSIDE, cells) for cells in (10, 40)],
)
def test_step_wall(cells):
    return under_film(STEP_WALL, 13.5, 20.0, 30.0, [3600.0 * hours for hours in STEP_HOURS], cells)[0]


def test_the_step_walls_series_is_what_is_printed():
    found = [
        30.0 - 10.0 * slab(1.2 / 2e6 * 3600.0 * hours / 0.2**2, 13.5 * 0.2 / 1.2, 0.0) for hours in STEP_HOURS
    ]
    assert found == pytest.approx(INSIDE, abs=6e-4)


PRINTED = (0.35957, 0.06071, -8.00, 0.1688, 5.942, 0.853, 82.27)


@claims(
    f"Layered wall over a day by the standard's method, {LAYERED}; 100 cells a layer",
    ISO_13786,
    CLOSED_FORM,
    allowed=percent(0.1),
    laws=[network_rhs, add_links],
    digits=5,
    cases=[case(name, value, name) for name, value in list(told(*exact()).items())[1:]],
)
def test_layered_wall(name):
    return told(*of_cells(100))[name]


def test_the_standards_method_gives_what_is_noted():
    assert list(told(*exact()).values()) == pytest.approx(PRINTED, rel=5e-4)


@claims(
    "The same wall in few cells: by how much periodic transmittance and inside admittance are off, as a ladder of "
    "such cells must be",
    MATHEMATICS,
    CLOSED_FORM,
    unit="%",
    allowed=off(0.05),
    laws=[network_rhs, add_links],
    digits=3,
    cases=[
        case(f"{cells} cells a layer", off_by, cells)
        for cells, off_by in {
            2: (-5.56, -2.53),
            3: (-2.95, -1.09),
            5: (-1.15, -0.39),
            10: (-0.30, -0.10),
            100: (0.0, 0.0),
        }.items()
    ],
)
def test_few_cells(cells):
    (y11, y12), (a11, a12) = exact(), of_cells(cells)
    return 100.0 * (abs(a12 / y12) - 1.0), 100.0 * (abs(a11 / y11) - 1.0)


@pytest.mark.parametrize("cells", [2, 3, 5, 10])
def test_cells_are_the_ladder(cells):
    assert of_cells(cells) == pytest.approx(ladder(cells), rel=1e-10)


@chain(
    "The same wall solved through 20 days while the air outside swings as a sine, 10 cells a layer",
    ISO_13786,
    CLOSED_FORM,
    allowed=percent(0.5),
    cases=[
        case("periodic transmittance, W/(m2 K)", float(abs(exact()[1])), 0),
        case("its time shift, h", float(-np.angle(exact()[1]) * 24.0 / (2.0 * pi)), 1),
    ],
)
def test_layered_wall_solved(which):
    return swung(WALL, FILMS, 10)[which]


THREE, TWO = (0.13, 0.05, 0.18, 0.7, 0.04), (0.13, 0.2 / 1.8, 0.1 / 0.04, 0.04)


@chain(
    "Steady flow between 20 and -15 degC through resistances in series",
    ISO_6946,
    CLOSED_FORM,
    unit="W/m2",
    allowed=percent(1e-4),
    cases=[
        case("three layers (0.05, 0.18, 0.7 m2 K/W), films 0.13 and 0.04", 35.0 / sum(THREE), THREE),
        case("0.2 m of 1.8 W/(m K), 0.1 m of 0.04, the same films", 35.0 / sum(TWO), TWO),
        case(
            "fabric of 0.5 mm, 0.05 W/(m K), the same films",
            35.0 * 5.5556,
            (0.13, 0.01, 0.04),
            allowed=percent(0.01),
        ),
    ],
)
def test_steady_flow(resistances):
    (inside, outside), between = steady(resistances, 293.15, 258.15)
    assert inside == pytest.approx(-outside, rel=1e-6)
    falls = 293.15 - 35.0 * np.cumsum(resistances)[:-1] / sum(resistances)
    assert between == pytest.approx(falls, abs=1e-4)
    return inside


BEAD = (8500.0, 400.0, 400.0)  # density, specific heat, film
DIAMETER = 6.0 * 400.0 / (8500.0 * 400.0)  # for a time constant of 1 s


@chain(
    "Bead of a time constant of 1 s (8500 kg/m3, 400 J/(kg K), 400 W/(m2 K), so 0.706 mm), from 25 to 199 degC in gas "
    "of 200 degC",
    MATHEMATICS,
    CLOSED_FORM,
    unit="s",
    allowed=percent(0.01),
    cases=[case("logarithm of 175", log(175.0))],
)
def test_bead():
    return bead(*BEAD, DIAMETER, 25.0 + ICE, 200.0 + ICE, 199.0 + ICE)


@chain(
    "Bead as the book has it",
    INCROPERA,
    MEMORY,
    unit="s",
    allowed=percent(1.0),
    cases=[case("example 5.1", 5.2)],
)
def test_bead_of_the_book():
    return bead(*BEAD, DIAMETER, 25.0 + ICE, 200.0 + ICE, 199.0 + ICE)


@claims(
    "Steel sheet (1.5 mm, 7854 kg/m3, 559 J/(kg K), emissivity 0.9) under a radiant point of 3.5 kW at 2 m, both faces "
    "to 20 degC by radiation and simtent's film of a wall: every 200 s to 1200 s",
    CFAST,
    PUBLISHED,
    unit="degC",
    allowed=off(0.05),
    laws=[solve, add_rays, add_sources, inside_film],
    cases=[case("verification case radiation_1", (21.572, 22.592, 23.237, 23.625, 23.871, 24.021))],
)
def test_plate_under_a_source():
    return plate_under_source() - ICE


@claims(
    "Explicit steps of a minute by hand: 11, 2.5 and 0.6 MJ/K in a row at 10 degC, 500 and 800 W/K between them, "
    "100 W/K to outdoors, 1 kW into the last",
    MATHEMATICS,
    CLOSED_FORM,
    unit="degC",
    allowed=off(1e-9),
    laws=[network_rhs, add_links, add_sources],
    digits=7,
    cases=[
        case("10 degC outdoors, after one", (10.0, 10.0, 10.1), 10.0, 0),
        case("10 degC outdoors, after two", (10.0, 10.00192, 10.192), 10.0, 1),
        case("-100 degC outdoors, after one", (9.94, 10.0, 10.1), -100.0, 0),
    ],
)
def test_two_explicit_steps(outdoors, which):
    return two_steps(outdoors + ICE)[which]


MOMENTS = (300.0, 3600.0, 28800.0)
EARTH = "soil (1.5 W/(m K), 1.8e6 J/(m3 K)) under a step of 1 K, 60 cells from 2 mm on, each 8 % thicker"


@chain(
    f"Flow into {EARTH}: after 5 min, 1 h and 8 h",
    MATHEMATICS,
    CLOSED_FORM,
    unit="W/m2",
    allowed=percent(1.0),
    cases=[
        case("at its face", [flow_into(SOIL, time) for time in MOMENTS], None),
        case("behind a film of 8 W/(m2 K)", [flow_into(SOIL, time, 8.0) for time in MOMENTS], 8.0),
    ],
)
def test_flow_into_soil(film):
    return soil(film)[2][1:]


def test_the_flows_are_what_is_printed():
    for film, printed in ((None, (53.524, 15.451, 5.463)), (8.0, (7.292, 5.920, 3.841))):
        assert [flow_into(SOIL, time, film) for time in MOMENTS] == pytest.approx(printed, rel=2e-4)


@chain(
    f"Temperature in {EARTH}: at 1, 5, 10 and 20 cm",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=off(0.01),
    cases=[
        case("after 5 min", (0.6547, 0.0253, 0.0, 0.0), 1),
        case("after 1 h", (0.8973, 0.5186, 0.1967, 0.0098), 2),
        case("after 8 h", (0.9636, 0.8195, 0.6481, 0.3613), 3),
    ],
)
def test_temperature_in_soil(which):
    depths, warmer, _, _ = soil(None)
    at_nodes = [left_at(SOIL, MOMENTS[which - 1], depth) for depth in depths]
    assert warmer[which] == pytest.approx(at_nodes, abs=0.01)
    return np.interp((0.01, 0.05, 0.1, 0.2), depths, warmer[which])


@chain(
    f"Heat in 8 h into {EARTH}",
    MATHEMATICS,
    CLOSED_FORM,
    unit="kJ/m2",
    allowed=percent(0.1),
    cases=[
        case("at its face", 314.65, None),
        case("behind a film of 8 W/(m2 K)", heat_behind_film(SOIL, 28800.0, 8.0) / 1e3, 8.0),
    ],
)
def test_heat_into_soil(film):
    return soil(film)[3][3] / 1e3
