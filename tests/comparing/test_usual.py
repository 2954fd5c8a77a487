"""The usual changes: each row is whole, applies somewhere, and warms or cools as physics demands of it."""

import re
import tomllib
from pathlib import Path

import pytest

from simtent.comparing.asked import NAMES
from simtent.comparing.compare import compared
from simtent.comparing.nights import two_at_a_time
from simtent.comparing.ranked import ranked
from simtent.comparing.usual import applied, usual_changes
from simtent.scenario.free import value_at
from simtent.scenario.load import load
from simtent.scenario.toml_lines import dotted_key
from simtent.tell.changes_us import change_in_us
from simtent.units import to_si
from tests.comparing.camps import fire, known_heat

ROOT = Path(__file__).parents[2]
SHIPPED = (
    "sedge_hollow",
    "larch_bench",
    "alder_ford",
    "gauge_bar",
    "snow_saddle",
    "stone_sheep",
    "fence_shelf",
)
KIND = {"mm": "length", "cm": "length", "m": "length", "m3/h": "flow", "kg": "mass", "L": "volume"}
SIGN = {"warmer": 1.0, "colder": -1.0}
HARDLY = 0.02  # K; less than the solver may be off


def shipped(name):
    """A shipped scenario on few layers, without vapour."""
    scenario = load(ROOT / "scenarios" / f"{name}.toml")
    return scenario.replace({"model.layers": 6, **({"damp": "none"} if scenario.damp else {})})


def named(changes):
    return {it.usual.name: it for it in changes}


def test_every_row_says_what_why_and_where_from():
    for row in usual_changes().values():
        assert row.cot in (*SIGN, "either") and row.floor in (*SIGN, "either"), row.name
        assert len(row.words) <= 70 and not row.words[0].isupper() and not row.words.endswith("."), row.name
        assert len(row.why) > 30 and row.why.endswith("."), row.name
        assert len(row.source) > 10, row.name
        if "either" in (row.cot, row.floor):  # then the explanation says what pulls which way
            assert len(row.why) > 70, row.name
        assert row.set or row.times or row.plus or row.plus_count or row.line or row.swap, row.name


def test_words_in_us_units_say_the_same_amount():
    amount = re.compile(r"(?<![0-9.,])([0-9][0-9.,]*) (mm|cm|m3/h|kg|L|m|in|cfm|lb|qt|ft)\b")
    seen = 0
    for row in usual_changes().values():
        metric, ours = (amount.search(text) for text in (row.told("si"), row.told("us")))
        assert (metric is None) == (ours is None), row.name
        if metric and ours:
            assert metric[2] != ours[2], f"{row.name}: {row.told('us')}"
            kind = KIND[metric[2]]
            said, meant = (to_si(f"{it[1].replace(',', '')} {it[2]}", kind) for it in (ours, metric))
            assert said == pytest.approx(meant, rel=0.02), row.name
            seen += 1
    assert seen > 8


def test_every_row_applies_to_one_of_the_scenarios_at_least(tmp_path):
    those = [*map(shipped, SHIPPED), known_heat(tmp_path), fire(tmp_path)]
    those.append(fire(tmp_path).replace({"stove.stands": "in a corner"}))
    without_damper = {"stove.damper": "none", "stoking.damper": "none", "stoking.set": "none"}
    those.append(fire(tmp_path).replace(without_damper))
    found = {name for it in those for name in named(applied(it))}
    assert found == set(usual_changes())


def test_a_change_that_has_nothing_to_change_is_left_out(tmp_path):
    heat = named(applied(known_heat(tmp_path)))
    assert {"floor_mat", "liner", "quilt", "one_more_sleeper"} <= set(heat)
    assert not {"stones", "dry_wood", "smaller_vents", "mat_everywhere", "stove_to_wall"} & set(heat)
    snowy = known_heat(tmp_path, more=["model.leak_below_skirt=0 cm2"])
    assert "snow_skirt" not in named(applied(snowy))
    dry = fire(tmp_path, more=["wood.moisture=10 % wet"])
    assert "dry_wood" not in named(applied(dry)) and "green_wood" in named(applied(dry))


def test_changes_are_what_they_say(tmp_path):
    base = fire(tmp_path)
    found = named(applied(base))
    stove = found["bigger_stove"].variant.scenario.stove
    assert stove.firebox.volume == pytest.approx(1.2**3 * base.stove.firebox.volume)
    assert found["bigger_stove"].mass == pytest.approx(0.44 * base.stove.body_mass)
    thin = found["split_thinner"].variant.scenario.wood
    for name, piece in base.wood.pieces.items():
        assert thin.pieces[name].thick == pytest.approx(0.707 * piece.thick)
        assert thin.piece_mass(name) == pytest.approx(base.wood.piece_mass(name))
    pipe = found["longer_pipe"].variant.scenario.stove.pipe
    assert pipe.outside == pytest.approx(base.stove.pipe.outside + 0.6)
    assert found["one_more_sleeper"].variant.scenario.crew.asleep == base.crew.asleep + 1
    assert found["higher_up"].variant.scenario.site.altitude == pytest.approx(base.site.altitude + 1500.0)
    assert found["windbreak"].variant.scenario.outdoors.wind == pytest.approx(0.5 * base.outdoors.wind)
    walls = found["liner"].variant.scenario.shelter.skin
    assert [layer.name for layer in walls.wall] == ["cotton canvas", "air gap", "polyester liner"]
    assert walls.roof == base.shelter.skin.roof  # it has a liner
    faced = found["reflecting_liner"].variant.scenario.shelter.skin
    assert [layer.name for layer in faced.roof] == ["cotton canvas", "air gap", "liner aluminised outside"]
    gap = next(layer for layer in faced.roof if layer.name == "air gap")
    assert gap.thickness == pytest.approx(0.0508)  # its own
    assert found["titanium"].variant.scenario.stove.sheet.metal == "titanium"


SI = re.compile(r"[0-9] ?(mm|cm|m|g/m2|kg|cm2|m2|L|m3/h|K|degC|m/s|W)\b")


def test_changes_are_told_in_us_units_as_the_reader_takes_them(tmp_path):
    """Three figures, or feet and whole inches: no number is off by more than a fiftieth."""
    base, seen = fire(tmp_path), set()
    for it in applied(base):
        shape = base.shelter.shape
        told = [change_in_us(change, shape) for change in it.variant.changes]
        assert not SI.search(" ".join(told)), told
        changes = {
            key: tomllib.loads(f"value = {value}")["value"]
            for key, value in (one.split(" = ", 1) for one in told)
        }
        other = base.replace(changes)
        for key in changes:
            mine, its = (value_at(one, tuple(dotted_key(key))) for one in (it.variant.scenario, other))
            if isinstance(mine, float):
                assert its == pytest.approx(mine, rel=0.02), (key, told)
                seen.add(it.usual.name)
    assert len(seen) > 8
    raised = change_in_us('shelter.floor.raised = "20 cm"', shape)
    assert raised == 'shelter.floor.raised = "7.87 in"'  # 20 / 2.54
    assert change_in_us('stove.on_top = "10 kg stones"', shape) == 'stove.on_top = "22 lb stones"'  # 22.05 lb
    assert change_in_us('shelter.skin.roof = ["5 cm air gap", "polyester liner"]', shape).endswith(
        '["2 in air gap", "polyester liner"]'  # 1.97 in
    )
    assert change_in_us('stove.mass = "none"', shape) == 'stove.mass = "none"'


def test_what_is_carried_by_hand(tmp_path):
    base = fire(tmp_path)  # 4 m by 3 m, walls of 1.5 m, ridge at 2.5 m
    found = named(applied(base))
    assert found["floor_mat"].mass == pytest.approx(12.0 * 0.02 * 33.0)
    assert found["raised_floor"].mass == pytest.approx(12.0 * 0.018 * 520.0, rel=0.01)
    walls = 2.0 * (4.0 + 3.0) * 1.5 + 3.0 * 1.0  # and two gables
    assert found["liner"].mass == pytest.approx(0.11 * walls)
    sheet = base.stove.firebox.area * 1.2
    assert found["titanium"].mass == pytest.approx(sheet * (0.001 * 4500.0 - 0.0012 * 7850.0))
    assert found["one_more_sleeper"].mass is None
    loose = fire(tmp_path, more=["shelter.skirt=loose"])
    assert named(applied(loose))["snow_skirt"].mass == 0.0
    matted = fire(tmp_path, more=["shelter.floor.mat=20 mm closed-cell foam", "shelter.floor.mat_area=5 m2"])
    assert named(applied(matted))["mat_everywhere"].mass == pytest.approx(7.0 * 0.66)


def wrong(scenario):
    """Every usual change that does not warm or cool a night in the mean as its row demands."""
    changes = applied(scenario)
    found = compared(scenario, [it.variant for it in changes], draws=0)
    for it in changes:
        for level, sign in (("cot", it.usual.cot), ("floor", it.usual.floor)):
            amount = found.difference(it.usual.name, f"{level}_mean").amount
            if sign in SIGN and SIGN[sign] * amount < -HARDLY:
                yield f"{scenario.name}, {it.usual.name}: {amount:+.2f} K at the {level}"


@pytest.mark.compiled
def test_signs_on_a_night_with_a_known_heat():
    assert not list(wrong(shipped("larch_bench")))


@pytest.mark.slow
@pytest.mark.compiled
@pytest.mark.parametrize("name", [it for it in SHIPPED if it != "larch_bench"])
def test_signs_on_every_shipped_night(name):
    assert not list(wrong(shipped(name)))


@pytest.mark.compiled
@pytest.mark.parametrize("name", ["larch_bench", "snow_saddle"])
def test_without_a_fire_less_wind_and_less_vent_always_warm(name):
    """The reversal that their rows allow is the fire's: a known heat burns the same whatever air it gets."""
    scenario = shipped(name)
    changes = [it for it in applied(scenario) if it.usual.name in ("windbreak", "smaller_vents")]
    found = compared(scenario, [it.variant for it in changes], draws=0)
    for it in changes:
        assert found.difference(it.usual.name, "cot_mean").amount > 0.0, it.usual.name


@pytest.mark.compiled
def test_a_taller_pipe_burns_the_wood_sooner():
    """Why a longer pipe can leave the hours before dawn colder."""
    scenario = shipped("sedge_hollow")
    change = named(applied(scenario))["longer_pipe"]
    found = compared(scenario, [change.variant], draws=0)
    assert found.difference("longer_pipe", "coals_last").amount < 0.0
    assert found.difference("longer_pipe", "head_highest").amount > 0.0


@pytest.mark.compiled
def test_ranking(tmp_path):
    scenario = known_heat(tmp_path)
    changes = applied(scenario)
    found = compared(scenario, [it.variant for it in changes], draws=0)
    rows = ranked(found, changes, {"liner": 50.0})
    assert {it.name for it in rows} == set(named(changes))
    free = [it for it in rows if not it.carried]
    assert list(rows[: len(free)]) == free and all(not it.mass for it in free)
    per_kg = [it.per_mass(it.cot) for it in rows[len(free) :] if it.cot.apart and not it.grave]
    assert per_kg == sorted(per_kg, reverse=True) and len(per_kg) >= 3
    liner = next(it for it in rows if it.name == "liner")
    gain = found.difference("liner", "cot_mean").amount
    assert liner.per_price(liner.cot) == pytest.approx(gain / 50.0)
    assert liner.per_mass(liner.floor) == pytest.approx(
        found.difference("liner", "floor_mean").amount / liner.mass
    )
    quilt = next(it for it in rows if it.name == "quilt")
    assert quilt.per_price(quilt.cot) != quilt.per_price(quilt.cot)  # no price


def test_two_at_a_time_keeps_the_order():
    assert two_at_a_time(lambda it: it * it, range(20)) == [it * it for it in range(20)]
    assert len(set(NAMES)) == len(NAMES)
