"""[fit]: read, written back, and every fault told with its line, its key and a way out."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from tests.scenario.example import FIRE, TEXT, written

LOGS = """
[[log]]
evening = "2031-01-24"
file = "porch_night.csv"
sensors = { "CH1" = "cot" }
[[log]]
evening = "2031-01-25"
file = "porch_again.csv"
sensors = { "CH1" = "cot" }
"""
WHOLE = """
[fit]
free = ["model.walls", "model.leak_area", "stove.air.leak", "outdoors.shift"]
fixed = ["model.heat"]
tied = [["model.walls", "model.leak_area"]]
spread = { "model.walls" = "x1.5", "outdoors.shift" = "+-2 K", "stove.air.leak" = "+-30 %" }
hold_out = ["2031-01-25"]
"""


def given(tmp_path, section, text=FIRE):
    return load(written(tmp_path, text + LOGS + section))


def faults(tmp_path, section, text=FIRE):
    with pytest.raises(InputError) as raised:
        given(tmp_path, section, text)
    return raised.value.faults


def test_it_is_read(tmp_path):
    fit = given(tmp_path, WHOLE).fit
    assert fit.free[2] == "stove.air.leak" and fit.tied == (("model.walls", "model.leak_area"),)
    told = {key: (spread.way, spread.amount) for key, spread in fit.spread.items()}
    assert told == {
        "model.walls": ("factor", 1.5),
        "outdoors.shift": ("plus", 2.0),
        "stove.air.leak": ("relative", pytest.approx(0.3)),
    }
    assert [evening.isoformat() for evening in fit.hold_out] == ["2031-01-25"]


def test_it_may_be_left_away(tmp_path):
    assert given(tmp_path, "").fit is None


@pytest.mark.parametrize("how", ["given", "effective"])
def test_it_is_written_back_with_its_keys_in_quotes(tmp_path, how):
    scenario = given(tmp_path, WHOLE)
    text = getattr(scenario, how)
    assert '"model.walls" = "x1.5"' in text
    again = tmp_path / "again.toml"
    again.write_text(text, encoding="utf-8")
    assert load(again) == scenario and getattr(load(again), how) == text


def test_settings_reach_it(tmp_path):
    path = written(tmp_path, FIRE)
    settings = ['fit.free=["model.walls", "model.mixing"]', 'fit.spread."model.walls"=x1.2']
    fit = load(path, settings=settings).fit
    assert fit.free == ("model.walls", "model.mixing") and fit.spread["model.walls"].amount == 1.2


def test_it_changes_nothing_that_a_heading_would_tell(tmp_path):
    path = written(tmp_path, FIRE)
    assert load(path, settings='fit.free=["model.walls"]').changes == ()


@pytest.mark.parametrize(
    ("line", "key", "what", "todo"),
    [
        ('free = ["model.wals"]', "fit.free[1]", "no number that can be moved", '"model.walls"'),
        ('fixed = ["model.layers"]', "fit.fixed[1]", "no number that can be moved", ""),
        ('free = ["wood.species"]', "fit.free[1]", "no number that can be moved", ""),
        ('free = ["heat.radiant_share"]', "fit.free[1]", "no number that can be moved", ""),
        ('free = ["not a key"]', "fit.free[1]", "no dotted key", "model.walls"),
        ("free = []", "fit.free", "nothing is free", "leave free out"),
        ('free = "model.walls"', "fit.free", "a list is wanted", "[ ... ]"),
        ('free = ["model.heat", "model.heat"]', "fit.free[2]", "named twice", "Keep one"),
        ('free = ["model.heat"]\nfixed = ["model.heat"]', "fit.free[1]", "free and fixed", "one of the two"),
        ('tied = [["model.walls", "stove.mass"]]', "fit.tied[1][2]", "not free", "Add it to free"),
        ('tied = [["model.walls"]]', "fit.tied[1]", "a group of one", "two numbers"),
        (
            'tied = [["model.walls", "model.heat"], ["model.heat", "model.mixing"]]',
            "fit.tied[1][2]",
            "tied twice",
            "Join",
        ),
        (
            'free = ["model.walls", "outdoors.shift"]\ntied = [["model.walls", "outdoors.shift"]]',
            "fit.tied[1][2]",
            "no factor moves",
            "temperatures",
        ),
        ('spread = { "model.wals" = "x1.5" }', 'fit.spread."model.wals"', "can be moved", '"model.walls"'),
        ('spread = { "stove.mass" = "x1.5" }', 'fit.spread."stove.mass"', "not free", "Add it to free"),
        ('spread = { "model.walls" = "wide" }', 'fit.spread."model.walls"', "a spread is wanted", "x1.5"),
        ('spread = { "model.walls" = 1.5 }', 'fit.spread."model.walls"', "a spread is wanted", "x1.5"),
        ('spread = { "model.walls" = "x1" }', 'fit.spread."model.walls"', "out of range", "this range"),
        ('spread = { "model.walls" = "+-2 K" }', 'fit.spread."model.walls"', "another kind", "+-20 %"),
        ('spread = { "model.walls" = "+-2 kg" }', 'fit.spread."model.walls"', "difference", ""),
        ('spread = { model.walls = "x1.5" }', "fit.spread.model", "without quotes", "quotes"),
        ('hold_out = ["2031-01-26"]', "fit.hold_out[1]", "no log is of this evening", "2031-01-2"),
        ('hold_out = ["26 January"]', "fit.hold_out[1]", "no date", "2031-02-14"),
        ('hold_out = ["2031-01-25", "2031-01-25"]', "fit.hold_out[2]", "named twice", "Keep one"),
        ('hold_out = ["2031-01-25", "2031-01-24"]', "fit.hold_out", "none is left", "Leave one"),
        ("holdout = []", "fit.holdout", "unknown key", "hold_out"),
    ],
)
def test_every_fault_has_its_place_and_a_way_out(tmp_path, line, key, what, todo):
    found = faults(tmp_path, f"[fit]\n{line}\n")
    (told,) = [fault for fault in found if fault.key == key]
    text = (FIRE + LOGS + f"[fit]\n{line}\n").split("\n")
    assert told.file.endswith("camp.toml")
    assert text[told.line - 1] in line.split("\n")
    assert what in told.what
    assert todo in (told.todo or "")


def test_a_held_out_evening_needs_a_log(tmp_path):
    with pytest.raises(InputError, match="no night is logged"):
        load(written(tmp_path, FIRE + '[fit]\nhold_out = ["2031-01-25"]\n'))


def test_a_key_of_a_faulty_section_is_not_told_too(tmp_path):
    found = faults(
        tmp_path, '[fit]\nfree = ["model.walls", "wood.moisture"]\n', FIRE.replace("20 % wet", "20 %")
    )
    assert [fault.key for fault in found] == ["wood.moisture"]


def test_with_a_known_heat_the_stoves_numbers_are_none(tmp_path):
    (told,) = faults(tmp_path, '[fit]\nfree = ["stove.air.leak"]\n', TEXT)
    assert told.key == "fit.free[1]"
