"""The package's closed forms of every shape against bodies of triangles made from a drawing, at random sizes.

The bodies themselves are held to schoolbook solids first.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.shape import cut, edges_growing_upward
from simtent.scenario.fields import section_model
from tests.assembly.solids import PARTS, solid

ALIKE = 1e-3  # of a curved body and of each of its bands
FACETS = 5e-4  # what facets take off a curve
EXACT = 1e-9  # of bodies with flat sides
CURVED = ("bell", "dome", "tunnel")

across, low, slope = st.floats(1.0, 8.0), st.floats(0.2, 1.8), st.floats(0.3, 2.5)


def sizes(shape):
    """Strategy for the sizes of a shape [m]."""
    wall = st.one_of(st.just(0.0), low)
    drawn = {
        "box": {"length": across, "width": across, "height": slope},
        "wall tent": {"length": across, "width": across, "wall": wall, "ridge": slope},
        "bell": {"diameter": across, "wall": wall, "peak": slope},
        "pyramid": {"width": across, "length": across, "wall": wall, "peak": slope},
        "pyramid of many sides": {
            "width": across,
            "sides": st.integers(3, 24),
            "wall": wall,
            "peak": slope,
        },
        "hub": {
            "sides": st.integers(3, 16),
            "width": across,
            "wall": low,
            "peak": slope,
            "pushed_out": st.floats(0.0, 0.5),
        },
        "dome": {"diameter": across, "peak": slope},
        "tunnel": {"length": across, "width": across, "peak": slope},
    }[shape]
    return st.fixed_dictionaries(drawn).map(over_its_wall)


def over_its_wall(given_sizes):
    """Ridge and peak above the wall, not above the ground."""
    top = "ridge" if "ridge" in given_sizes else "peak"
    if "wall" in given_sizes:
        return given_sizes | {top: given_sizes["wall"] + given_sizes[top]}
    return given_sizes


# Closed forms of solid geometry, as any handbook of formulas has them: volume, wall and roof.
PRISM = (
    6.0 * math.tan(math.pi / 6.0) * 3.0 / 4.0 * 3.0
)  # m2, hexagon by the diameter of its inscribed circle, 3 m
SIDE = 3.0 * math.tan(math.pi / 6.0)  # m
FLAT = math.sqrt(1.0 - (1.1 / 2.0) ** 2)  # eccentricity of a spheroid 4 m wide, 1.1 m high
SCHOOLBOOK = {
    "box": ({"length": 4.0, "width": 3.0, "height": 2.0}, 24.0, 28.0, 12.0),
    "ridge tent": ({"length": 4.0, "width": 3.0, "ridge": 2.0}, 12.0, 6.0, 2.0 * 4.0 * 2.5),
    "wall tent": (
        {"length": 4.0, "width": 3.0, "wall": 1.0, "ridge": 3.0},
        24.0,
        14.0 + 6.0,
        2.0 * 4.0 * 2.5,
    ),
    "cylinder under a cone": (
        {"diameter": 6.0, "wall": 1.0, "peak": 5.0},
        math.pi * 9.0 * (1.0 + 4.0 / 3.0),
        math.pi * 6.0,
        math.pi * 3.0 * 5.0,
    ),
    "square pyramid": ({"width": 6.0, "peak": 4.0}, 48.0, 0.0, 4.0 * 6.0 * 5.0 / 2.0),
    "oblong pyramid": (
        {"width": 6.0, "length": 10.0, "peak": 4.0},
        80.0,
        0.0,
        10.0 * 5.0 + 6.0 * math.hypot(5.0, 4.0),
    ),
    "six-sided pyramid on a wall": (
        {"width": 3.0, "sides": 6, "wall": 1.0, "peak": 3.0},
        PRISM * (1.0 + 2.0 / 3.0),
        6.0 * SIDE,
        6.0 * SIDE * 2.5 / 2.0,
    ),
    "right prism": (
        {"sides": 6, "width": 3.0, "wall": 1.6, "peak": 3.6, "pushed_out": 0.0},
        PRISM * (1.6 + 2.0 / 3.0),
        6.0 * SIDE * 1.6,
        6.0 * SIDE * 2.5 / 2.0,
    ),
    "hub": (  # a flat pyramid stands on every wall of the prism
        {"sides": 6, "width": 3.0, "wall": 1.6, "peak": 3.6, "pushed_out": 0.4},
        PRISM * (1.6 + 2.0 / 3.0) + 6.0 * SIDE * 1.6 * 0.4 / 3.0,
        6.0 * (SIDE * math.hypot(0.8, 0.4) + 1.6 * math.hypot(SIDE / 2.0, 0.4)),
        6.0 * SIDE * 2.5 / 2.0,
    ),
    "hemisphere": ({"diameter": 4.0, "peak": 2.0}, 2.0 / 3.0 * math.pi * 8.0, 0.0, 2.0 * math.pi * 4.0),
    "half a flat spheroid": (
        {"diameter": 4.0, "peak": 1.1},
        2.0 / 3.0 * math.pi * 4.0 * 1.1,
        0.0,
        math.pi * 4.0 * (1.0 + (1.0 - FLAT**2) / FLAT * math.atanh(FLAT)),
    ),
    "half a cylinder": (
        {"length": 5.0, "width": 3.0, "peak": 1.5},
        math.pi * 1.125 * 5.0,
        math.pi * 2.25,
        math.pi * 7.5,
    ),
}
MADE_BY = {
    **dict.fromkeys(("ridge tent", "wall tent"), "wall tent"),
    **dict.fromkeys(("square pyramid", "oblong pyramid", "six-sided pyramid on a wall"), "pyramid"),
    **dict.fromkeys(("right prism", "hub"), "hub"),
    **dict.fromkeys(("hemisphere", "half a flat spheroid"), "dome"),
    "box": "box",
    "cylinder under a cone": "bell",
    "half a cylinder": "tunnel",
}


@pytest.mark.parametrize("name", SCHOOLBOOK)
def test_a_body_of_triangles_is_the_schoolbook_solid(name):
    drawn, volume, wall, roof = SCHOOLBOOK[name]
    body = solid(MADE_BY[name], **drawn)
    got = (body.volume(body.peak), body.area("wall"), body.area("roof"))
    assert got == pytest.approx((volume, wall, roof), rel=FACETS if MADE_BY[name] in CURVED else 1e-12)


@pytest.mark.parametrize("name", SCHOOLBOOK)
def test_a_body_of_triangles_is_closed_and_faces_outward(name):
    """The skin's normals add up to the floor's; what is above a level casts the shadow of its section."""
    drawn, *_ = SCHOOLBOOK[name]
    body = solid(MADE_BY[name], **drawn)
    assert body.normals.sum(axis=0) == pytest.approx([0.0, 0.0, body.floor_area], rel=1e-9, abs=1e-9)
    for height in np.linspace(0.1, 0.9, 5) * body.peak:
        under = body.below(height)
        shadow = sum(under.shadow(part) for part in PARTS)
        assert body.section_at(height) == pytest.approx(body.floor_area - shadow, rel=1e-9)


KINDS = ("box", "wall tent", "bell", "pyramid", "pyramid of many sides", "hub", "dome", "tunnel")
every_kind = pytest.mark.parametrize("kind", KINDS)


def both(kind, drawn):
    """The package's outline and the body of triangles."""
    shape = kind.removesuffix(" of many sides")
    noun = section_model("shelter", shape).model_construct(shape=shape, **drawn)  # its sizes alone
    return noun.outline, solid(shape, **drawn)


def of_parts(under):
    """Area and shadow of wall and roof of what was cut off [m2], shape (parts, 2)."""
    return np.array([(under.area(part), under.shadow(part)) for part in PARTS])


def by_formula(shape, height):
    """The same by the package."""
    found = np.zeros((len(PARTS), 2))
    for face in shape.faces:
        found[PARTS.index(face.part)] += face.area_to(height), face.plan_to(height)
    return found


@every_kind
@given(data=st.data())
def test_volume_skin_and_shadow_below_any_height(kind, data):
    drawn = data.draw(sizes(kind))
    shape, body = both(kind, drawn)
    alike = ALIKE if kind in CURVED else EXACT
    assert shape.peak == pytest.approx(body.peak, rel=1e-12)
    assert (shape.floor_area, shape.perimeter) == pytest.approx((body.floor_area, body.perimeter), rel=alike)
    whole = of_parts(body)
    assert by_formula(shape, shape.peak) == pytest.approx(whole, rel=alike, abs=1e-9)
    height = data.draw(st.floats(0.001, 0.999)) * body.peak
    under, size = body.below(height), alike * body.floor_area
    assert shape.volume_to(height) == pytest.approx(under.volume(height), rel=alike, abs=1e-9)
    assert shape.section_at(height) == pytest.approx(body.section_at(height), abs=size)
    assert by_formula(shape, height) == pytest.approx(of_parts(under), abs=size)


@every_kind
@given(data=st.data())
def test_every_band(kind, data):
    drawn = data.draw(sizes(kind))
    shape, body = both(kind, drawn)
    alike, facets = (ALIKE, FACETS) if kind in CURVED else (EXACT, EXACT)
    edges = edges_growing_upward(shape.peak, data.draw(st.integers(3, 9)))
    bands = cut(shape, edges)
    cuts = [body.below(z) for z in edges]
    volumes = np.diff([under.volume(z) for under, z in zip(cuts, edges, strict=True)])
    assert bands.volume == pytest.approx(volumes, rel=alike, abs=facets * volumes.sum())
    assert bands.volume.sum() == pytest.approx(shape.volume_to(shape.peak), rel=1e-12)
    sections = [body.section_at(z) for z in edges[1:-1]]
    assert bands.section == pytest.approx(np.array(sections), abs=facets * body.floor_area)
    areas = np.diff([of_parts(under)[:, 0] for under in cuts], axis=0).T
    for part, wanted in zip(PARTS, areas, strict=True):
        rows = [k for k, face in enumerate(shape.faces) if face.part == part]
        assert bands.faces[rows].sum(axis=0) == pytest.approx(
            wanted, rel=alike, abs=facets * max(areas.sum(), 1e-9)
        )
