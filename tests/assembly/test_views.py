"""What a body sees of every shape of shelter, beside exact solid angles of its faces cut at every layer's edge."""

from inspect import signature
from itertools import pairwise
from math import pi

import numpy as np
import pytest

from simtent.assembly.assemble import assemble
from simtent.scenario.load import load
from simtent.views import HALF_A_BED, USUAL_DISTANCE, bed_distance, enclosure, seen_from
from tests.assembly.solids import MADE_BY, PARTS, solid
from tests.assembly.test_by_hand import CASES
from tests.reference.test_seen import meets_box, meets_pipe
from tests.simulate.cases import ROOMS, scenario

STOVE = next(path for path in ROOMS if path.stem == "sedge_hollow")
SPOTS = (0.15, 0.45, 1.0, 1.7)
# How far equal circles, and bands whose skin counts by area, may miss floor, walls and roof: most over oblong floors.
MOST = {
    "quilted box": 0.008,
    "sliver": 0.032,
    "lined wall tent": 0.023,
    "bell": 0.006,
    "pyramid with windows": 0.001,
    "hub": 0.003,
    "dome": 1e-4,
    "tunnel with windows": 0.008,
}


@pytest.fixture(scope="module")
def models():
    return {case: assemble(scenario().replace(changes)) for case, changes in CASES.items()}


def drawn(noun):
    """The body of triangles of a scenario's shelter."""
    return solid(
        noun.shape, **{name: getattr(noun, name) for name in signature(MADE_BY[noun.shape]).parameters}
    )


def shares_of(triangles, spot):
    """Share of the view of each triangle (Van Oosterom and Strackee: tan of half its solid angle)."""
    a, b, c = (triangles - spot).transpose(1, 0, 2)
    la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
    across = np.einsum("ij,ij->i", a, np.cross(b, c))
    along = la * lb * lc
    for (one, other), length in (((a, b), lc), ((b, c), la), ((c, a), lb)):
        along = along + np.einsum("ij,ij->i", one, other) * length
    return np.arctan2(across, along) / (2.0 * pi)


def by_solid(body, spot):
    """Shares of the view of wall and roof; what is left is the floor's."""
    shares = shares_of(body.corners, spot)
    return {part: float(shares[body.parts == part].sum()) for part in PARTS}


def by_circles(model, height):
    """The same as the package sees it, windows with the part that they are cut from."""
    house, found = model.house, dict.fromkeys((*PARTS, "window", "floor"), 0.0)
    parts = {strip.stack.inner: strip.patch.part for strip in house.strips}
    for face in enclosure(house, height):
        found[parts.get(face.node, "floor")] += face.share
    return found


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("height", SPOTS)
def test_floor_walls_and_roof_fill_what_their_solid_angles_do(models, case, height):
    noun = scenario().replace(CASES[case]).shelter
    if height > 0.9 * noun.peak:
        pytest.skip("above the peak")
    exact = by_solid(drawn(noun), np.array([0.0, 0.0, height]))
    seen = by_circles(models[case], height)
    assert seen["floor"] == pytest.approx(1.0 - sum(exact.values()), abs=MOST[case])
    assert seen["wall"] + seen["roof"] + seen["window"] == pytest.approx(sum(exact.values()), abs=MOST[case])
    if not seen["window"]:
        for part in PARTS:
            assert seen[part] == pytest.approx(exact[part], abs=MOST[case]), part


@pytest.mark.parametrize("path", ROOMS, ids=lambda path: path.stem)
@pytest.mark.parametrize("part", [0.0, 0.1, 0.5, 1.0, 1.2])
def test_shares_add_up_to_one_with_what_stands_before_them(path, part):
    """At the floor, at the peak, and at a head that would be above it."""
    model = assemble(load(path))
    assert model.house is not None
    seen = list(seen_from(model, part * model.house.shape.peak))
    assert sum(face.share for face in seen) == pytest.approx(1.0, abs=1e-12)
    assert min(face.share for face in seen) >= 0.0
    assert {face.node for face in seen} >= {strip.stack.inner for strip in model.house.strips}


def hot_shares(height, **changes):
    """Share of the view of body and fire, of what stands on the stove, and of the pipe."""
    told = {key.replace("__", "."): value for key, value in changes.items()}
    model = assemble(load(STOVE).replace(told))
    seen, hearth = list(seen_from(model, height)), model.hearth
    groups = ({hearth.body, hearth.fire}, {hearth.top}, set(hearth.inside))
    return [sum(face.share for face in seen if face.node in group) for group in groups]


def test_the_nearer_the_bed_the_more_of_the_stove():
    shares = [hot_shares(0.45, stove__place__from_bed=far) for far in ("2 m", "1 m", "40 cm", "0 cm")]
    for one, other in pairwise(shares):
        assert all(nearer > farther for farther, nearer in zip(one, other, strict=True))
    assert sum(shares[-1]) < 0.5


def test_the_bed_is_half_a_bed_away_from_its_edge_or_at_an_assumed_distance():
    near = assemble(load(STOVE).replace("stove.place.from_bed", "40 cm"))
    assert bed_distance(near.hearth, near.house) == pytest.approx(0.4 + HALF_A_BED)
    unknown = assemble(load(STOVE).replace("stove.place.from_bed", "none"))
    assert bed_distance(unknown.hearth, unknown.house) == USUAL_DISTANCE
    small = {"shelter.diameter": "1.6 m", "shelter.floor.mat_area": "none", "stove.place.from_bed": "none"}
    narrow = assemble(load(STOVE).replace(small))
    assert bed_distance(narrow.hearth, narrow.house) == pytest.approx(0.8)


def test_the_body_hides_the_foot_of_the_pipe():
    """Rays that meet the pipe and not the body before it; 0.6 % of the rays and 6 % for ends cut as level rings."""
    model = assemble(load(STOVE).replace({"stove.place.from_bed": "0 cm", "stove.on_top": "none"}))
    stove, away = model.hearth.noun, bed_distance(model.hearth, model.house)
    box, pipe = stove.firebox, stove.pipe
    for height in (0.05, 0.2, 0.4, 1.0):
        seen = [face.share for face in seen_from(model, height) if face.node in model.hearth.inside]
        low, high = stove.legs - height, stove.collar - height
        rising = (
            0.5 * pipe.diameter,
            away + 0.5 * box.width,
            high,
            min(stove.collar + pipe.inside, 2.6) - height,
        )
        met = meets_pipe(*rising) & ~meets_box(box.length, box.width, low, high, away)
        assert sum(seen) == pytest.approx(float(np.mean(met)), rel=0.06, abs=2e-4), height


def test_glass_shows_the_fire():
    """As much of the body's own share is less as the fire's is more."""
    (none, whole), (some, less) = (fire_and_body(area) for area in ("0 cm2", "300 cm2"))
    assert none == 0.0 < some < 0.002
    assert some + less == pytest.approx(whole, abs=1e-15)


def fire_and_body(area):
    model = assemble(load(STOVE).replace("stove.glass", area))
    shares = {face.node: face.share for face in seen_from(model, 0.4)}
    return shares[model.hearth.fire], shares[model.hearth.body]


@pytest.mark.parametrize("case", CASES)
def test_a_head_above_the_peak_counts_as_at_the_peak(models, case):
    model = models[case]
    peak = model.house.shape.peak
    assert list(seen_from(model, 1.3 * peak)) == list(seen_from(model, peak))
    assert list(seen_from(model, -0.1)) == list(seen_from(model, 0.0))
