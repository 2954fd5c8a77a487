"""A class of stoves keeps the proportions of the table's rows, and what is given of one's own wins."""

import pytest

from simtent.errors import InputError
from simtent.scenario.checks_fire import TEST_LOAD
from simtent.scenario.materials import stove
from simtent.sizing.classes import LADDER, LEAST, MOST, shop_terms, sized
from simtent.sizing.scene import stripped
from simtent.units import to_si
from tests.scenario.example import FIRE, written
from tests.sizing import camps

# Rows of the table of stoves, common practice, no source: sheet-steel boxes that the laws of a class must pass by.
ROWS = ("small sheet-steel box", "folding sheet-steel stove", "wall-tent stove")
SIDES = ("length", "width", "height")


@pytest.fixture
def scene(tmp_path):
    return stripped(camps.scenario(tmp_path))


def built(scene, volume, **changed):
    return scene.given.replace(sized(volume, scene.given, changed)).stove


@pytest.mark.parametrize("name", ROWS)
def test_a_class_passes_by_the_rows(scene, name):
    row = stove(name)
    lengths = [to_si(row["firebox"][side], "length") for side in SIDES]
    there = built(scene, lengths[0] * lengths[1] * lengths[2])
    assert [getattr(there.firebox, side) for side in SIDES] == pytest.approx(lengths, rel=0.08)
    assert there.pipe.diameter == pytest.approx(to_si(row["pipe"]["diameter"], "length"), rel=0.03)
    assert there.air.opening == pytest.approx(to_si(row["air"]["opening"], "area"), rel=0.10)
    assert there.sheet.thickness == pytest.approx(
        to_si(row["sheet"].removesuffix(" steel"), "length"), rel=0.15
    )


def test_lengths_and_pipe_go_with_the_cube_root_of_the_volume(scene):
    small, large = built(scene, 0.006), built(scene, 0.048)  # eight times: twice as long
    for side in SIDES:
        assert getattr(large.firebox, side) == pytest.approx(2.0 * getattr(small.firebox, side), rel=1e-9)
    shares = [
        0.785398 * it.pipe.diameter**2 / (it.firebox.length * it.firebox.width) for it in (small, large)
    ]
    assert shares[0] == pytest.approx(shares[1], rel=1e-9)  # flue area over firebox floor
    assert large.air.opening == pytest.approx(2.0 * small.air.opening, rel=1e-9)
    assert large.firebox.volume == pytest.approx(0.048, rel=1e-9)


def test_the_ladder_rises_in_everything(scene):
    terms = []
    for volume in LADDER:
        given = scene.given.replace(sized(volume, scene.given))
        terms.append(shop_terms(given.stove, given.wood, scene.thick))
    for field in ("volume", "mass", "pipe", "opening", "long", "load"):
        values = [getattr(it, field) for it in terms]
        assert values == sorted(set(values)), field
    assert 6 <= len(LADDER) <= 8


@pytest.mark.parametrize("volume", [LEAST, 0.0079, 0.03, 0.11, MOST])
def test_any_size_is_a_valid_stove_with_wood_that_fits(scene, volume):
    there = built(scene, volume)
    terms = shop_terms(there, scene.given.wood, 0.2)
    assert terms.long < there.firebox.length and terms.thick < min(there.firebox.width, there.firebox.height)
    assert terms.load <= TEST_LOAD * volume * (1.0 + 1e-9) and terms.pieces >= 1


@pytest.mark.parametrize("volume", [0.0, 0.5 * LEAST, 2.0 * MOST])
def test_sizes_beyond_all_proportion_are_refused(scene, volume):
    with pytest.raises(InputError, match="no such firebox"):
        sized(volume, scene.given)


def test_what_is_given_wins(scene):
    changed = {"sheet": "3 mm steel", "pipe.diameter": "15 cm", "air.opening": "30 cm2", "mass": "25 kg"}
    there = built(scene, 0.03, **changed)
    assert there.sheet.thickness == pytest.approx(0.003) and there.body_mass == pytest.approx(25.0)
    assert there.pipe.diameter == pytest.approx(0.15) and there.air.opening == pytest.approx(3e-3)


def test_marks_damper_and_the_pipes_end_stay_the_scenarios_own(tmp_path):
    from simtent.scenario.load import load  # noqa: PLC0415

    text = FIRE.replace('bed = "21:30"', 'cot_at_least = "5 degC"')
    own = load(written(tmp_path, text), settings=["stove.mass=9 kg"])
    scene = stripped(own)
    assert scene.own and scene.given.stove.body_mass == pytest.approx(9.0)
    there = built(scene, 0.06)
    assert there.air.marks == own.stove.air.marks and there.damper == own.stove.damper
    ends = [it.collar + it.pipe.inside for it in (own.stove, there)]
    assert ends[0] == pytest.approx(ends[1]) and there.mass is None  # a weighed body is that of another stove
