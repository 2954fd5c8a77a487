"""Shapes and their bands: laws that any closed body keeps, and closed forms of special bodies.

Bodies of triangles made from a drawing check the same formulas in `test_solids`.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipeinc, elliprd, elliprf

from simtent.assembly.patches import build_patches, cut_out
from simtent.assembly.shape import cut, edges_growing_upward
from simtent.geometry.curved import dome, tunnel
from simtent.geometry.ellipse import arc, carlson
from simtent.geometry.hub import hub
from simtent.geometry.tapered import bell, pyramid, regular_pyramid
from simtent.geometry.upright import box, wall_tent
from simtent.scenario.fabric import SkinLayers
from simtent.scenario.layers import read_layer
from simtent.scenario.windows import Window

size = st.floats(0.8, 8.0)
layers = st.integers(3, 48)
walls = st.one_of(st.just(0.0), st.floats(0.1, 2.0))
rises = st.floats(0.3, 3.0)


def on_a_wall(make, *drawn):
    """Strategy for shapes of a wall and a peak that is higher, their last two sizes."""
    return st.tuples(*drawn, walls, rises).map(lambda s: (make, (*s[:-1], s[-2] + s[-1])))


KINDS = {
    "box": st.tuples(size, size, rises).map(lambda s: (box, s)),
    "wall tent": on_a_wall(wall_tent, size, size),
    "bell": on_a_wall(bell, size),
    "pyramid": on_a_wall(pyramid, size, size),
    "pyramid of many sides": on_a_wall(regular_pyramid, st.integers(3, 24), size),
    "hub": st.tuples(st.integers(3, 16), size, st.floats(0.2, 2.0), rises, st.floats(0.0, 1.0)).map(
        lambda s: (hub, (s[0], s[1], s[2], s[2] + s[3], s[4]))
    ),
    "dome": st.tuples(size, rises).map(lambda s: (dome, s)),
    "tunnel": st.tuples(size, size, rises).map(lambda s: (tunnel, s)),
}
every_kind = pytest.mark.parametrize("kind", KINDS)
heights = st.floats(0.0, 1.0)


@every_kind
@given(data=st.data())
def test_skin_below_a_level_throws_the_shadow_that_the_section_leaves(kind, data):
    # The divergence theorem for the upright axis: the floor is the section and the shadow of the skin between.
    make, sizes = data.draw(KINDS[kind])
    shape = make(*sizes)
    z = data.draw(heights.filter(lambda s: kind != "box" or s < 1.0)) * shape.peak
    shadow = sum(face.plan_to(z) for face in shape.faces)
    assert shape.section_at(z) == pytest.approx(shape.floor_area - shadow, abs=1e-12 * shape.floor_area)
    assert sum(face.plan_to(shape.peak) for face in shape.faces) == pytest.approx(shape.floor_area, rel=1e-12)


@every_kind
@given(data=st.data())
def test_volume_grows_by_the_section(kind, data):
    # Simpson's rule over a thin slice; where a wall ends within it, right to its step.
    make, sizes = data.draw(KINDS[kind])
    shape = make(*sizes)
    step = 1e-3 * shape.peak
    z = data.draw(st.floats(0.01, 0.9)) * shape.peak
    below, here, above = (shape.section_at(h) for h in (z - step, z, z + step))
    slice_of = shape.volume_to(z + step) - shape.volume_to(z - step)
    assert slice_of == pytest.approx((below + 4.0 * here + above) / 3.0 * step, rel=1e-3)


@every_kind
@given(data=st.data())
def test_bands_add_up_and_heights_keep_their_order(kind, data):
    make, sizes = data.draw(KINDS[kind])
    shape, count = make(*sizes), data.draw(layers)
    bands = cut(shape, edges_growing_upward(shape.peak, count))
    assert bands.volume.sum() == pytest.approx(shape.volume_to(shape.peak), rel=1e-12)
    whole = [face.area_to(shape.peak) for face in shape.faces]
    assert bands.faces.sum(axis=1) == pytest.approx(whole, rel=1e-12)
    assert (bands.volume > 0.0).all() and (bands.faces >= 0.0).all()
    assert (
        np.abs(bands.plans) <= bands.faces * (1.0 + 1e-9) + 1e-12
    ).all()  # a shadow is no larger than what throws it
    assert [shape.volume_to(0.0), *(face.area_to(0.0) for face in shape.faces)] == [0.0] * (len(whole) + 1)


@every_kind
@given(data=st.data(), scale=st.floats(0.4, 3.0))
def test_a_scaled_shape_scales_its_bands(kind, data, scale):
    make, sizes = data.draw(KINDS[kind])
    larger = tuple(s if isinstance(s, int) else s * scale for s in sizes)
    one, other = make(*sizes), make(*larger)
    first, second = (cut(shape, edges_growing_upward(shape.peak, 12)) for shape in (one, other))
    assert second.volume == pytest.approx(first.volume * scale**3, rel=1e-9)
    assert second.faces == pytest.approx(first.faces * scale**2, rel=1e-9, abs=1e-12)
    assert second.plans == pytest.approx(first.plans * scale**2, rel=1e-9, abs=1e-12)
    assert other.perimeter == pytest.approx(one.perimeter * scale, rel=1e-12)


def whole(shape, part):
    return shape.area(part, 0.0, shape.peak)


def test_whole_bodies_by_schoolbook_formulas():
    tent = wall_tent(4.0, 3.0, 1.5, 2.5)
    assert tent.volume_to(2.5) == pytest.approx(4.0 * 3.0 * 1.5 + 4.0 * 3.0 * 1.0 / 2.0)
    assert whole(tent, "wall") == pytest.approx(2.0 * 4.0 * 1.5 + 2.0 * 3.0 * 1.5 + 2.0 * 3.0 * 1.0 / 2.0)
    assert whole(tent, "roof") == pytest.approx(2.0 * 4.0 * math.hypot(1.5, 1.0))
    round_tent = bell(5.0, 0.8, 3.0)
    assert round_tent.volume_to(3.0) == pytest.approx(math.pi * 6.25 * (0.8 + 2.2 / 3.0))
    assert whole(round_tent, "roof") == pytest.approx(math.pi * 2.5 * math.hypot(2.5, 2.2))
    half_ball = dome(4.0, 2.0)
    assert (half_ball.volume_to(2.0), whole(half_ball, "roof")) == pytest.approx(
        (2.0 / 3.0 * math.pi * 8.0, 2.0 * math.pi * 4.0)
    )
    arch = tunnel(5.0, 3.0, 1.5)
    assert (arch.volume_to(1.5), whole(arch, "roof"), whole(arch, "wall")) == pytest.approx(
        (math.pi * 1.125 * 5.0, math.pi * 1.5 * 5.0, math.pi * 2.25)
    )
    tip = pyramid(6.0, 6.0, 0.0, 4.0)
    assert (tip.volume_to(4.0), whole(tip, "roof"), tip.has("wall")) == (
        pytest.approx(48.0), pytest.approx(4.0 * 15.0), False,
    )  # fmt: skip


@given(size, rises, heights)
def test_zones_of_a_ball_are_as_large_as_their_heights(radius, _rise, share):
    # Archimedes: between two levels a sphere has the area of the cylinder around it.
    ball = dome(2.0 * radius, radius)
    assert ball.area("roof", 0.0, share * radius) == pytest.approx(
        2.0 * math.pi * radius**2 * share, abs=1e-12
    )


@pytest.mark.parametrize("ratio", [1e-6, 1e-9, 0.0, -1e-9, -1e-6])
def test_a_dome_close_to_half_a_ball(ratio):
    # Either side of the round one the formula is another, and goes over into it.
    near = dome(4.0, 2.0 * (1.0 + ratio))
    assert whole(near, "roof") == pytest.approx(8.0 * math.pi * (1.0 + 2.0 / 3.0 * ratio), rel=1e-11)


@given(st.integers(3, 16), size, st.floats(0.3, 2.0), rises, st.floats(0.0, 1.0))
def test_a_hub_is_a_prism_with_a_flat_pyramid_on_every_wall(sides, width, wall, rise, out):
    shape = hub(sides, width, wall, wall + rise, out)
    # Polygon round a circle: half its rim times the circle's radius. Base times height, a third of it to a tip.
    edge = 2.0 * (width / 2.0) * math.tan(math.pi / sides)
    floor = sides * edge * width / 4.0
    volume = floor * (wall + rise / 3.0) + sides * (edge * wall) * out / 3.0
    assert shape.volume_to(shape.peak) == pytest.approx(volume, rel=1e-12)
    leaning, beside = edge * math.hypot(wall / 2.0, out), wall * math.hypot(edge / 2.0, out)
    assert whole(shape, "wall") == pytest.approx(sides * (leaning + beside), rel=1e-12)
    straight = regular_pyramid(sides, width, wall, wall + rise)
    assert whole(shape, "roof") == pytest.approx(whole(straight, "roof"), rel=1e-12)
    low, high = (shape.steepest_at(z, ("wall",)) for z in (0.25 * wall, 0.75 * wall))
    assert low == pytest.approx(-high, abs=1e-4)  # it overhangs as much below as it leans in above
    assert low <= 0.0


@given(st.floats(0.05, 30.0), st.floats(0.05, 30.0), st.floats(0.0, math.pi / 2.0))
def test_arcs_of_an_ellipse(across, up, angle):
    # scipy.special, from other code.
    expected = up * ellipeinc(angle, 1.0 - (across / up) ** 2)
    assert arc(across, up, angle) == pytest.approx(expected, rel=1e-13, abs=1e-300)


@given(st.floats(1e-6, 1e6), st.floats(1e-6, 1e6))
def test_symmetric_integrals(x, y):
    assert carlson(x, y) == pytest.approx((elliprf(x, y, 1.0), elliprd(x, y, 1.0)), rel=1e-13)


def test_slopes_at_a_height():
    # A wall's upper edge is wall, just above it the roof begins; gables stay upright up to the ridge.
    tent, round_tent, flat = wall_tent(4.0, 3.0, 1.0, 2.5), bell(4.0, 0.6, 2.0), box(3.0, 3.0, 2.0)
    both = ("wall", "roof")
    assert (tent.steepest_at(0.0, both), tent.steepest_at(2.4, both), flat.steepest_at(2.0, both)) == (
        0.0,
        0.0,
        0.0,
    )
    assert (flat.steepest_at(2.0, ("roof",)), flat.steepest_at(1.0, ("roof",))) == (1.0, 1.0)
    assert (round_tent.steepest_at(0.6, both), tent.steepest_at(0.6, ("roof",))) == (0.0, 1.0)
    assert round_tent.steepest_at(0.61, both) == pytest.approx(2.0 / math.hypot(2.0, 1.4), rel=1e-8)
    ball = dome(4.0, 2.0)
    for z in (0.3, 1.0, 1.9):  # the normal points away from the middle
        assert ball.steepest_at(z, both) == pytest.approx(z / 2.0, abs=1e-5)


@given(st.floats(0.5, 5.0), layers)
def test_layers_grow_upward_and_end_at_the_peak(peak, count):
    edges = edges_growing_upward(peak, count)
    assert (edges[0], edges[-1]) == (0.0, peak)
    assert (np.diff(edges, 2) > 0.0).all()
    assert np.diff(edges)[-1] / np.diff(edges)[0] == pytest.approx(1.1**15)


def test_a_flat_roof_belongs_to_the_highest_layer():
    bands = cut(box(4.0, 3.0, 2.0), edges_growing_upward(2.0, 9))
    assert bands.faces[2].tolist() == bands.plans[2].tolist() == [0.0] * 8 + [12.0]


CANVAS, FILM = read_layer("cotton canvas"), read_layer("clear vinyl film")


def window(part, area, low, high):
    return Window.model_construct(part=part, area=area, from_=low, to=high, layers=(FILM,))


@every_kind
@given(data=st.data())
def test_a_window_takes_its_area_out_of_its_part(kind, data):
    make, sizes = data.draw(KINDS[kind])
    shape = make(*sizes)
    part = data.draw(st.sampled_from([part for part in ("wall", "roof") if shape.has(part)]))
    low, high = sorted((data.draw(heights), 1.0 if part == "roof" else data.draw(heights)))
    low, high = low * shape.peak, high * shape.peak
    there = shape.area(part, low, high)
    pane = window(part, data.draw(st.floats(0.01, 1.0)) * there, low, high)
    if pane.area < 1e-3:
        return
    bands = cut(shape, edges_growing_upward(shape.peak, 20))
    areas, plans = cut_out(shape, bands, pane)
    assert areas.sum() == pytest.approx(pane.area, rel=1e-9)
    whole_of = {face: (bands.faces[k], bands.plans[k]) for k, face in enumerate(shape.faces)}
    for k, (face, (skin, shadow)) in enumerate(whole_of.items()):
        inside = (bands.edges[:-1] >= low) & (bands.edges[1:] <= high)
        share = pane.area / there if face.part == part else 0.0
        assert areas[k][inside] == pytest.approx(share * skin[inside], rel=1e-9, abs=1e-12)
        assert plans[k][inside] == pytest.approx(share * shadow[inside], rel=1e-9, abs=1e-12)
        outside = (bands.edges[1:] <= low) | (bands.edges[:-1] >= high)
        assert (areas[k][outside] == 0.0).all()
    skin = SkinLayers.model_construct(wall=(CANVAS,), roof=(CANVAS,), all=None)
    patches = list(build_patches(shape, bands, skin, [pane]))
    total = sum(area for patch in patches for area, _ in patch.facets)
    assert total == pytest.approx(bands.faces.sum(), abs=1e-4)  # all but slivers
    glazed = sum(area for patch in patches if patch.part == "window" for area, _ in patch.facets)
    assert glazed == pytest.approx(pane.area, abs=1e-4)
    assert {patch.layers for patch in patches if patch.part == "window"} == {(FILM,)}


def test_a_window_in_the_upper_half_of_an_arch_is_flatter_than_what_is_left_of_its_layer():
    arch = tunnel(4.0, 3.0, 1.5)
    bands = cut(arch, np.array([0.0, 1.5]))
    skin = SkinLayers.model_construct(wall=(CANVAS,), roof=(CANVAS,), all=None)
    _, rest, pane = build_patches(arch, bands, skin, [window("roof", 2.0, 0.75, 1.5)])
    # A circle 1.5 m in radius: above half its height 120 deg of arc, 2 pi/3 r long, over a shadow of sqrt(3) r.
    assert pane.tilt_up == pytest.approx(math.sqrt(3.0) / (2.0 * math.pi / 3.0), rel=1e-9)
    length, shadow = 4.0 * math.pi * 1.5, 4.0 * 3.0
    assert rest.tilt_up == pytest.approx((shadow - 2.0 * pane.tilt_up) / (length - 2.0), rel=1e-9)
