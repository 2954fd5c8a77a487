"""How much a small piece of cloth, wood or skin sees of a stove's flat side and of its pipe.

View factors are geometry: a met line says nothing about how hot a real stove's side is, which is never even.
"""

from functools import partial
from math import acos, cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import sigma
from scipy.integrate import dblquad

from simtent.physics.facing import beside_factor, corner_factor, face_factor, pipe_factor

from .claims import CLOSED_FORM, case, claims, off, percent
from .sources import FLUX_TABLE, MATHEMATICS, VIEW_FACTORS

SUBJECT = "Radiation of a stove and its pipe"

textbook = partial(claims, source=VIEW_FACTORS, provenance=CLOSED_FORM, digits=5)
integrated = partial(claims, source=MATHEMATICS, provenance=CLOSED_FORM, allowed=percent(0.5), digits=6)
flux = partial(claims, source=FLUX_TABLE, provenance=CLOSED_FORM, unit="kW/m2")


@textbook(
    "View factor from an element 1 m before a square of 1 m",
    allowed=off(5e-5),
    laws=[face_factor],
    cases=[
        case("straight before its middle", 0.2395, 0.0, 0.0),
        case("straight before a corner", 0.13853, 0.5, 0.5, allowed=off(5e-6)),
    ],
)
def test_square(aside, above):
    return face_factor(1.0, 1.0, 1.0, aside, above)


@textbook(
    "View factor from an element at a corner of the floor of a unit cube",
    allowed=off(5e-6),
    laws=[corner_factor, beside_factor],
    cases=[
        case("ceiling", 0.13853, lambda: corner_factor(1.0, 1.0, 1.0)),
        case("a wall across", 0.05573, lambda: beside_factor(1.0, 1.0, 1.0)),
        case(
            "all it sees, a quarter",
            0.25,
            lambda: corner_factor(1.0, 1.0, 1.0) + 2.0 * beside_factor(1.0, 1.0, 1.0),
            allowed=percent(1e-10),
        ),
    ],
)
def test_corner_of_a_cube(seen):
    return seen()


def halves(distance, width, height):
    """From the middle of a floor, a wall of some width and height at some distance."""
    return 2.0 * beside_factor(0.5 * width, height, distance)


@textbook(
    "All that an element in the middle of a room's floor sees: whole",
    allowed=percent(1e-10),
    laws=[face_factor, beside_factor],
    cases=[case("unit cube", 1.0, 1.0, 1.0, 1.0), case("4 x 3 x 2 m", 1.0, 4.0, 3.0, 2.0)],
)
def test_closure(length, width, height):
    walls = 2.0 * (halves(0.5 * length, width, height) + halves(0.5 * width, length, height))
    return face_factor(length, width, height) + walls


@textbook(
    "View factor to a pipe without ends, its radius over the distance from its axis",
    allowed=percent(0.01),
    laws=[pipe_factor],
    cases=[case(f"radius 5 cm, {a:g} m from the axis", 0.05 / a, a) for a in (0.06, 0.1, 0.3, 0.457)],
)
def test_long_pipe(distance):
    return pipe_factor(0.05, distance, 100.0, 100.0)


def over_rectangle(width, height, distance, aside=0.0, above=0.0):
    """cos cos / (pi r2) over a rectangle parallel to the element."""
    value, _ = dblquad(
        lambda y, x: distance**2 / (pi * (x * x + y * y + distance**2) ** 2),
        -0.5 * width - aside,
        0.5 * width - aside,
        -0.5 * height - above,
        0.5 * height - above,
        epsrel=1e-9,
    )
    return value


def over_upright(width, height, distance):
    """cos cos / (pi r2) over a rectangle at right angles to the element's plane."""
    value, _ = dblquad(
        lambda z, x: z * distance / (pi * (x * x + z * z + distance**2) ** 2),
        0.0,
        width,
        0.0,
        height,
        epsrel=1e-9,
    )
    return value


def over_pipe(radius, distance, below, above):
    """cos cos / (pi r2) over the side of a cylinder that the element sees, the axis straight before it."""
    reach = acos(radius / distance)

    def seen(z, angle):
        ahead, aside = distance - radius * cos(angle), radius * sin(angle)
        squared = ahead * ahead + aside * aside + z * z
        towards = (distance * cos(angle) - radius) * ahead
        return radius * towards / (pi * squared * squared)

    value, _ = dblquad(seen, -reach, reach, -below, above, epsrel=1e-9)
    return value


FACES = [
    ("45 x 25 cm from 15 cm", 0.45, 0.25, 0.15),
    ("45 x 25 cm from 91 cm", 0.45, 0.25, 0.914),
    ("45 x 25 cm from 5 mm", 0.45, 0.25, 0.005),
    ("45 x 25 cm from 30 cm, 40 cm aside, 10 cm above", 0.45, 0.25, 0.3, 0.4, 0.1),
    ("45 x 25 cm from 30 cm, 20 cm aside", 0.45, 0.25, 0.3, 0.2),
    ("1 x 2 m from 1 m, 3 m above", 1.0, 2.0, 1.0, 0.0, 3.0),
]


@integrated(
    "View factor to a stove's side beside an integration over it",
    laws=[face_factor, corner_factor],
    cases=[case(name, over_rectangle(*sizes), *sizes) for name, *sizes in FACES],
)
def test_face_integrated(*sizes):
    return face_factor(*sizes)


UPRIGHT = [(0.45, 0.25, 0.2), (0.225, 0.25, 0.914), (2.0, 1.5, 0.5)]


@integrated(
    "View factor to half a side at right angles, an edge in the element's plane",
    laws=[beside_factor],
    cases=[case(f"{w:g} x {h:g} m from {d:g} m", over_upright(w, h, d), w, h, d) for w, h, d in UPRIGHT],
)
def test_upright_integrated(*sizes):
    return beside_factor(*sizes)


PIPES = [
    ("0.2 m from the axis, 1.5 m up, ends level", 0.05, 0.2, 0.0, 1.5),
    ("0.2 m, 0.5 m down and 1 m up", 0.05, 0.2, 0.5, 1.0),
    ("0.9 m, 0.3 m up to 2 m up", 0.05, 0.9, -0.3, 2.0),
    ("6 cm, 1 m both ways", 0.05, 0.06, 1.0, 1.0),
    ("1 m, 2 m down to 0.5 m down", 0.06, 1.0, 2.0, -0.5),
]


@integrated(
    "View factor to a pipe of 5 cm radius (the last: 6 cm) beside an integration over it",
    laws=[pipe_factor],
    cases=[case(name, over_pipe(*sizes), *sizes) for name, *sizes in PIPES],
)
def test_pipe_integrated(*sizes):
    return pipe_factor(*sizes)


DISTANCES = (0.15, 0.305, 0.457, 0.914)
SIDE = {
    300: (3.18, 1.46, 0.78, 0.22),
    400: (6.06, 2.78, 1.49, 0.43),
    500: (10.54, 4.83, 2.59, 0.74),
    600: (17.15, 7.86, 4.22, 1.21),
}


@flux(
    "Radiation 0.15, 0.305, 0.457 and 0.914 m before the middle of a side of 0.45 x 0.25 m, emissivity 0.9; "
    "1 % and the rounding of what is printed",
    allowed=percent(1.0)._replace(off=0.005),
    laws=[face_factor],
    cases=[case(f"{celsius} degC", expected, celsius + 273.15) for celsius, expected in SIDE.items()],
)
def test_flux_of_a_side(kelvin):
    return [1e-3 * face_factor(0.45, 0.25, d) * 0.9 * sigma * kelvin**4 for d in DISTANCES]


@flux(
    "Radiation of a long pipe of 100 mm at 400 degC, emissivity 0.8",
    allowed=off(0.06),
    laws=[pipe_factor],
    cases=[
        case(f"{a:g} m from its axis", expected, a) for a, expected in ((0.1, 4.7), (0.3, 1.6), (0.457, 1.0))
    ],
)
def test_flux_of_a_pipe(distance):
    return 1e-3 * pipe_factor(0.05, distance, 100.0, 100.0) * 0.8 * sigma * 673.15**4


LENGTHS = st.floats(0.01, 3.0)
SHIFTS = st.floats(-3.0, 3.0)


@given(LENGTHS, LENGTHS, LENGTHS, SHIFTS, SHIFTS)
def test_a_face_is_part_of_all_and_the_sum_of_its_parts(width, height, distance, aside, above):
    whole = face_factor(width, height, distance, aside, above)
    assert 0.0 <= whole <= 1.0
    halved = sum(
        face_factor(0.5 * width, height, distance, aside + side * 0.25 * width, above) for side in (-1.0, 1.0)
    )
    assert halved == pytest.approx(whole, abs=1e-12)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_farther_is_less_and_larger_is_more(width, height, distance, more):
    assert face_factor(width, height, distance + more) < face_factor(width, height, distance)
    assert face_factor(width + more, height, distance) > face_factor(width, height, distance)


@given(st.floats(0.02, 0.13), LENGTHS, st.floats(-2.0, 3.0), LENGTHS)
def test_a_pipe_is_the_sum_of_its_pieces_and_less_than_without_ends(radius, gap, below, length):
    axis, above = radius + gap, length - below
    whole = pipe_factor(radius, axis, below, above)
    assert 0.0 <= whole <= radius / axis + 1e-12
    cut = 0.3 * length - below
    pieces = pipe_factor(radius, axis, below, cut) + pipe_factor(radius, axis, -cut, above)
    assert pieces == pytest.approx(whole, abs=1e-12)
    assert pipe_factor(radius, axis + 0.1, 1.0, 1.0) < pipe_factor(radius, axis, 1.0, 1.0)
