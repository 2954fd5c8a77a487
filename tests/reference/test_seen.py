"""What a small body sees of a shelter round it, and of a stove and its pipe: shares of its view.

A shelter counts as the equal circle of its section at every height, seen from its axis. Rays cast from a body inside
the true outline tell how far that is off, on the axis and beside it; a met line says nothing about temperatures.
"""

from functools import partial
from math import asin, cos, hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad

from simtent.physics.seen import (
    bands_seen,
    below_ring,
    box_share,
    corner_share,
    pipe_share,
    point_irradiance,
)

from .claims import CLOSED_FORM, at_most, case, claims, off, percent
from .sources import MATHEMATICS, VIEW_FACTORS

SUBJECT = "What a body sees of a shelter"

shown = partial(claims, source=MATHEMATICS, provenance=CLOSED_FORM, digits=5)

RAYS = 400_000


def rays():
    """Directions spread evenly over the sphere, the same each time, shape (RAYS, 3)."""
    turns = np.arange(RAYS)
    up = 1.0 - 2.0 * (turns + 0.5) / RAYS
    angle = pi * (1.0 + sqrt(5.0)) * turns
    level = np.sqrt(1.0 - up * up)
    return np.column_stack((level * np.cos(angle), level * np.sin(angle), up))


def heights_met(planes, spot):
    """Height at which each ray leaves a body of planes, rows of outward normal and offset, shape (RAYS,) [m]."""
    planes, spot, directions = np.asarray(planes), np.asarray(spot), rays()
    towards = directions @ planes[:, :3].T
    ahead = planes[:, 3] - planes[:, :3] @ spot
    reach = np.where(towards > 0.0, ahead / np.where(towards > 0.0, towards, 1.0), np.inf)
    return spot[2] + directions[:, 2] * reach.min(axis=1)


def of_thirds(met, peak):
    """Shares of the floor and of the three thirds of the height, what lies flat at the peak in the last."""
    edges = [-1.0, 1e-9, peak / 3.0, 2.0 * peak / 3.0, 2.0 * peak]
    return (np.histogram(met, edges)[0] / met.size).tolist()


def by_circles(section, peak, height):
    """The same by equal circles."""
    edges = [0.0, peak / 3.0, 2.0 * peak / 3.0, peak]
    floor, low, middle, high, flat = bands_seen(height, edges, [sqrt(section(z) / pi) for z in edges])
    return [floor, low, middle, high + flat]


def box_planes(length, width, height):
    sides = [(1, 0, 0, length / 2), (-1, 0, 0, length / 2), (0, 1, 0, width / 2), (0, -1, 0, width / 2)]
    return [*sides, (0, 0, -1, 0.0), (0, 0, 1, height)]


def pyramid_planes(length, width, wall, peak):
    """Upright walls under four slopes that meet above the middle."""
    slopes = []
    for half, (x, y) in ((length / 2, (1, 0)), (width / 2, (0, 1))):
        slant = hypot(half, peak - wall)
        for sign in (1, -1):
            leaning = (sign * x * (peak - wall) / slant, sign * y * (peak - wall) / slant, half / slant)
            slopes.append((*leaning, half / slant * peak))
    return [*box_planes(length, width, 2.0 * peak), *slopes]


def ridge_planes(length, width, wall, ridge):
    """Upright walls and gables under two slopes that meet in a ridge along the length."""
    slant = hypot(width / 2, ridge - wall)
    slopes = [
        (0, sign * (ridge - wall) / slant, width / 2 / slant, width / 2 / slant * ridge) for sign in (1, -1)
    ]
    return [*box_planes(length, width, 2.0 * ridge), *slopes]


def narrowing(floor, wall, peak):
    return lambda z: floor if z <= wall else floor * ((peak - z) / (peak - wall)) ** 2


OUTLINES = {  # planes, section at a height [m2], peak [m]
    "cube of 2 m": (box_planes(2.0, 2.0, 2.0), lambda _z: 4.0, 2.0),
    "box of 4 x 3 x 2.2 m": (box_planes(4.0, 3.0, 2.2), lambda _z: 12.0, 2.2),
    "box of 6 x 3 x 2.2 m": (box_planes(6.0, 3.0, 2.2), lambda _z: 18.0, 2.2),
    "pyramid of 4 x 4 m, 2.6 m high": (
        pyramid_planes(4.0, 4.0, 1e-6, 2.6),
        narrowing(16.0, 0.0, 2.6),
        2.6,
    ),
    "walls of 0.8 m under a pyramid, 5 x 4 m, 2.6 m high": (
        pyramid_planes(5.0, 4.0, 0.8, 2.6),
        narrowing(20.0, 0.8, 2.6),
        2.6,
    ),
    "walls of 1 m under a ridge, 5 x 3.5 m, 2.4 m high": (
        ridge_planes(5.0, 3.5, 1.0, 2.4),
        lambda z: 17.5 if z <= 1.0 else 17.5 * (2.4 - z) / 1.4,
        2.4,
    ),
}
SPOTS = (0.15, 0.45, 1.0, 1.7)


def cast(name, spot):
    planes, _, peak = OUTLINES[name]
    return of_thirds(heights_met(planes, spot), peak)


def circles(name, height):
    _, section, peak = OUTLINES[name]
    return by_circles(section, peak, height)


AXIS = [(name, height) for name in OUTLINES for height in SPOTS]
FAR_OFF = {"box of 6": 0.02, "walls of 1 m": 0.03}  # an oblong floor, a ridge: less like a circle


def miss_on_axis(name):
    return next((miss for start, miss in FAR_OFF.items() if name.startswith(start)), 0.007)


@shown(
    "Shares of floor and of the lowest, middle and highest third of a shelter, equal circles beside rays cast "
    "from its axis; the largest difference",
    allowed=off(0.0),
    laws=[bands_seen],
    cases=[
        case(f"{name}, from {height:g} m", None, name, height, allowed=at_most(miss_on_axis(name)))
        for name, height in AXIS
    ],
)
def test_equal_circles_on_the_axis(name, height):
    return float(np.abs(np.subtract(circles(name, height), cast(name, (0.0, 0.0, height)))).max())


OFF_AXIS = [(name, aside) for name in OUTLINES if name != "cube of 2 m" for aside in (0.5, 1.0)]


@shown(
    "The same from 0.45 m up, rays cast from a spot beside the axis, half way between the sides: how much what is seen "
    "depends on where one is",
    allowed=off(0.0),
    laws=[bands_seen],
    cases=[
        case(f"{name}, {aside:g} m off", None, name, aside, allowed=at_most(0.05 if aside < 1.0 else 0.13))
        for name, aside in OFF_AXIS
    ],
)
def test_equal_circles_off_the_axis(name, aside):
    spot = (aside * sqrt(0.5), aside * sqrt(0.5), 0.45)
    return float(np.abs(np.subtract(circles(name, 0.45), cast(name, spot))).max())


@shown(
    "Share of its view that a body in the middle of a cube has of the floor: a sixth; equal circles miss it by 1 %",
    allowed=percent(1.1),
    laws=[bands_seen],
    cases=[
        case("floor, as equal circle", 1.0 / 6.0, 0.5),
        case("four walls, as equal circle", 4.0 / 6.0, 0.0),
    ],
)
def test_middle_of_a_cube(floor):
    ground, sides, _ = bands_seen(0.5, [0.0, 1.0], [sqrt(1.0 / pi)] * 2)
    return ground if floor else sides


@shown(
    "Share of its view that a level disc of 1 m radius fills from its axis: 1/2 (1 - cos)",
    allowed=percent(1e-10),
    laws=[below_ring],
    cases=[
        case(f"{below:g} m below", 0.5 * (1.0 - cos(np.arctan(1.0 / below))), below)
        for below in (0.1, 0.5, 1.0, 3.0)
    ],
)
def test_disc(below):
    return below_ring(-below, 1.0)


@shown(
    "Bands of equal height on a sphere, seen from its middle: equal shares",
    allowed=off(1e-12),
    laws=[bands_seen],
    cases=[case("half a sphere in ten bands, over its floor", [0.5, *[0.05] * 10, 0.0])],
)
def test_bands_of_a_sphere():
    edges = [0.15 * k for k in range(11)]
    return list(bands_seen(0.0, edges, [sqrt(max(1.5**2 - edge**2, 0.0)) for edge in edges]))


@shown(
    "A cone of 2 m radius and 3 m height: the share of a cap of it seen from below, 1/2 (1 - cos)",
    allowed=off(1e-12),
    laws=[bands_seen],
    cases=[
        case(
            f"above 2 m, from {height:g} m",
            0.5 * (1.0 - 1.0 / hypot(1.0, 2.0 / 3.0 / (2.0 - height))),
            height,
        )
        for height in (0.0, 0.45, 1.0)
    ],
)
def test_cap_of_a_cone(height):
    return bands_seen(height, [0.0, 2.0, 3.0], [2.0, 2.0 / 3.0, 0.0])[2]


@shown(
    "The same cone from its point, where the skin begins: floor, two bands, nothing flat",
    allowed=off(1e-12),
    laws=[bands_seen, below_ring],
    cases=[
        case("bands of 2 and 1 m", [0.5 * (1.0 - 3.0 / sqrt(13.0)), 0.0, 0.5 * (1.0 + 3.0 / sqrt(13.0)), 0.0])
    ],
)
def test_from_the_point_of_a_cone():
    return list(bands_seen(3.0, [0.0, 2.0, 3.0], [2.0, 2.0 / 3.0, 0.0]))


def over_corner(width, height, distance):
    """Solid angle over 4 pi of a rectangle from before its corner, by integration."""
    value, _ = dblquad(
        lambda y, x: distance / (x * x + y * y + distance**2) ** 1.5, 0.0, width, 0.0, height, epsrel=1e-10
    )
    return value / (4.0 * pi)


RECTANGLES = [(0.225, 0.25, 0.3), (0.225, 0.25, 0.914), (2.0, 1.5, 0.05), (0.1, 3.0, 1.0)]


@shown(
    "Share of the view that a rectangle fills from before its corner, beside an integration over it",
    allowed=percent(1e-6),
    laws=[corner_share],
    cases=[case(f"{w:g} x {h:g} m from {d:g} m", over_corner(w, h, d), w, h, d) for w, h, d in RECTANGLES],
)
def test_corner(*sizes):
    return corner_share(*sizes)


@claims(
    "Share of a sphere's radiation that meets a rectangle before whose corner it stands",
    VIEW_FACTORS,
    CLOSED_FORM,
    digits=5,
    allowed=off(5e-6),
    laws=[corner_share],
    cases=[
        case("2 x 2 m from 1 m", 0.07379, 2.0, 2.0, 1.0),
        case("a unit cube's face from its middle, four corners of a sixth", 1.0 / 24.0, 0.5, 0.5, 0.5),
    ],
)
def test_sphere_over_a_corner(*sizes):
    return corner_share(*sizes)


def meets_box(width, depth, bottom, top, distance):
    """Whether each ray meets a box, straight before the middle of its side."""
    low, high = np.array([distance, -0.5 * width, bottom]), np.array([distance + depth, 0.5 * width, top])
    with np.errstate(divide="ignore"):
        ends = np.sort([low / rays(), high / rays()], axis=0)
    enter, leave = ends[0].max(axis=1), ends[1].min(axis=1)
    return (enter < leave) & (leave > 0.0)


def meets_pipe(radius, distance, bottom, top):
    """Whether each ray meets the side of an upright pipe."""
    direction = rays()
    level = np.hypot(direction[:, 0], direction[:, 1])
    ahead = direction[:, 0] / level
    past = distance**2 * (1.0 - ahead**2)
    chord = np.sqrt(np.maximum(radius**2 - past, 0.0))
    met = (past < radius**2) & (ahead > 0.0)
    height = (distance * ahead - chord) * direction[:, 2] / level
    return met & (height > bottom) & (height < top)


BOXES = {
    "45 x 25 x 25 cm, middle level with it, 0.5 m off": (0.45, 0.25, -0.125, 0.125, 0.5),
    "its top 0.5 m below, 0.5 m off": (0.45, 0.25, -0.75, -0.5, 0.5),
    "its bottom 10 cm above, 1 m off": (0.45, 0.25, 0.1, 0.35, 1.0),
    "its top 1 m below, 1.3 m off": (0.45, 0.25, -1.25, -1.0, 1.3),
    "5 cm off": (0.45, 0.25, -0.05, 0.2, 0.05),
}


@shown(
    "Share of the view that a stove's body fills, beside rays cast at it",
    allowed=percent(0.5),
    laws=[box_share],
    cases=[case(name, float(np.mean(meets_box(*sizes))), *sizes) for name, sizes in BOXES.items()],
)
def test_box(*sizes):
    return box_share(*sizes)


PIPES = {
    "10 cm wide, from level to 1.8 m up, 1.2 m off": (0.05, 1.2, 0.0, 1.8),
    "from 0.2 m down to 0.4 m up, 0.6 m off": (0.05, 0.6, -0.2, 0.4),
    "from 1 m down to 0.4 m down, 1 m off": (0.05, 1.0, -1.0, -0.4),
    "0.2 m off": (0.05, 0.2, -0.3, 0.7),
}


@shown(
    "Share of the view that a pipe fills, beside rays cast at it; its ends count as rings at its axis",
    allowed=percent(6.0),
    laws=[pipe_share],
    cases=[case(name, float(np.mean(meets_pipe(*sizes))), *sizes) for name, sizes in PIPES.items()],
)
def test_pipe(*sizes):
    return pipe_share(*sizes)


@shown(
    "Share of the view that a pipe without ends fills: the wedge between its edges",
    allowed=percent(1e-3),
    laws=[pipe_share],
    cases=[case(f"10 cm wide, {d:g} m off", asin(0.05 / d) / pi, d) for d in (0.06, 0.3, 1.0)],
)
def test_pipe_without_ends(distance):
    return pipe_share(0.05, distance, -1000.0, 1000.0)


def lit_sphere(power, distance):
    """Irradiance of a small sphere by a point, integrated over its surface and shared out over all of it."""
    value, _ = dblquad(lambda t, _a: max(cos(t), 0.0) * np.sin(t), 0.0, 2.0 * pi, 0.0, 0.5 * pi)
    return power / (4.0 * pi * distance**2) * value / (4.0 * pi)


@shown(
    "Mean irradiance of a small sphere by a heater that shines evenly, beside an integration over the sphere",
    unit="W/m2",
    allowed=percent(1e-6),
    laws=[point_irradiance],
    cases=[case(f"600 W from {d:g} m", lit_sphere(600.0, d), 600.0, d) for d in (0.5, 1.0, 2.5)],
)
def test_heater(power, distance):
    return point_irradiance(power, distance)


LENGTHS = st.floats(0.01, 3.0)


@given(
    st.lists(st.tuples(st.floats(0.01, 1.0), st.floats(0.0, 4.0)), min_size=2, max_size=20),
    st.floats(0.0, 1.0),
)
def test_shares_of_any_outline_add_up_to_one(rows, part):
    edges, total = [], 0.0
    for step, _ in rows:
        edges.append(total)
        total += step
    shares = bands_seen(part * edges[-1], edges, [radius for _, radius in rows])
    assert min(shares) >= 0.0
    assert sum(shares) == pytest.approx(1.0, abs=1e-14)


@given(st.floats(0.5, 3.0), st.floats(0.5, 3.0), st.floats(0.0, 0.8), st.floats(0.01, 0.2))
def test_who_is_higher_sees_less_floor_and_more_top(radius, peak, part, more):
    low, high = (bands_seen(peak * at, [0.0, peak], [radius, radius]) for at in (part, part + more))
    assert high[0] < low[0] and high[2] > low[2]


@given(LENGTHS, LENGTHS, st.floats(-3.0, 3.0), LENGTHS, LENGTHS, LENGTHS)
def test_a_box_fills_less_than_half_and_less_from_farther(width, depth, bottom, high, distance, more):
    near = box_share(width, depth, bottom, bottom + high, distance)
    assert 0.0 < near < 0.5
    assert box_share(width, depth, bottom, bottom + high, distance + more) < near


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS, st.sampled_from((-1.0, 0.0)))
def test_a_box_changes_smoothly_where_its_lid_comes_in_sight(width, depth, high, distance, edge):
    just = [
        box_share(width, depth, edge * high + by, edge * high + high + by, distance) for by in (-1e-7, 1e-7)
    ]
    assert just[0] == pytest.approx(just[1], abs=1e-5)


@given(st.floats(0.02, 0.13), LENGTHS, st.floats(-2.0, 2.0), LENGTHS)
def test_a_pipe_fills_less_than_without_ends(radius, gap, bottom, length):
    share = pipe_share(radius, radius + gap, bottom, bottom + length)
    assert 0.0 < share < asin(radius / (radius + gap)) / pi
