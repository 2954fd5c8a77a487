"""Shelters of the table that one's own may be like."""

import tomllib

import pytest

from simtent.scenario.load import load
from simtent.scenario.materials import shelter, shelter_names, shelter_source
from simtent.scenario.tree import plant_table
from tests.scenario.example import TEXT, faults, spoilt, the_fault, written

BELOW = (
    TEXT[: TEXT.index("[shelter]")],
    TEXT[TEXT.index("[heat]") :].replace("[heat]", '[heat]\nto_height = "1 m"'),
)
PER_AREA = {
    "coated nylon": 3e-4,
    "plywood": 3e-4,
}  # m2 of leaks per m2 of skin, as the table says; canvas 5e-4


def like(name, *lines):
    """The example with a shelter like one of the table."""
    return "\n".join((BELOW[0], "[shelter]", f'like = "{name}"', *lines, BELOW[1]))


@pytest.mark.parametrize("name", shelter_names())
def test_every_shelter_of_the_table(tmp_path, name):
    scenario = load(written(tmp_path, like(name)))
    row = shelter(name)
    assert scenario.shelter.shape == row["shelter"]["shape"]
    assert shelter_source(name) and "source" not in row["shelter"]
    # Its leaks are those of its skin, by the rule at the head of the table, to half of the 5 cm2 they are rounded by.
    outline, skin = scenario.shelter.outline, scenario.shelter.skin
    area = outline.area("wall", 0.0, outline.peak) + outline.area("roof", 0.0, outline.peak)
    per_area = 5e-4 if row["shelter"]["shape"] == "hub" else PER_AREA.get(skin.of("roof")[0].name, 5e-4)
    assert scenario.model.leak_area == pytest.approx(per_area * area, abs=3.5e-4)
    assert "assumed" in shelter_source(name, "leak_area") and "no source" in shelter_source(name, "leak_area")
    assert set(row["shelter"]) <= {key.split(".")[1] for key in scenario_keys(scenario)}
    assert load(written(tmp_path, scenario.effective)) == scenario
    assert scenario.changes == ()


def scenario_keys(scenario):
    effective = tomllib.loads(scenario.effective)
    return [f"shelter.{key}" for key in effective["shelter"]]


def test_ones_own_wins(tmp_path):
    text = like("small bell", 'diameter = "4 m"', 'skin = { roof = ["wool blanket"] }')
    scenario = load(written(tmp_path, text + '\n[model]\nleak_area = "1 m2"\n'))
    assert (scenario.shelter.diameter, scenario.shelter.peak, scenario.model.leak_area) == (4.0, 2.0, 1.0)
    assert [scenario.shelter.skin.of(part)[0].name for part in ("wall", "roof")] == [
        "polycotton canvas",
        "wool blanket",
    ]
    assert scenario.levels["head"] == pytest.approx(1.3)
    bare = scenario.replace("shelter.openings.low_vent", "none").shelter.openings
    assert (bare.low_vent, bare.ridge_vent.at) == (None, pytest.approx(1.8))


def test_layers_of_all_take_the_place_of_every_part(tmp_path):
    scenario = load(written(tmp_path, like("small bell", 'skin = { all = ["wool blanket"] }')))
    assert (scenario.shelter.skin.wall, scenario.shelter.skin.of("wall")[0].name) == (None, "wool blanket")
    assert load(written(tmp_path, scenario.effective)) == scenario


def test_the_shape_may_be_said_again_and_no_other(tmp_path):
    same = load(written(tmp_path, like("small bell", 'shape = "bell"')))
    assert same.shelter.shape == "bell"
    fault = the_fault(tmp_path, like("small bell", 'shape = "dome"'))
    assert (fault.key, fault.value, fault.line) == ("shelter.shape", '"dome"', BELOW[0].count("\n") + 4)
    assert '"small bell" is a "bell"' in fault.what and "six-person dome" in fault.allowed


def test_a_name_that_is_not_in_the_table(tmp_path):
    # The rest of the file is checked in the same run, with the shelter that has most of the keys given.
    text = like("smal bell", 'diameter = "4 m"', 'wall = "9 m"')
    found = {fault.key: fault for fault in faults(tmp_path, text)}
    assert set(found) == {"shelter.like", "shelter.wall"}
    assert '"small bell"' in found["shelter.like"].todo


def test_the_place_of_a_filled_in_value_is_the_line_of_like(tmp_path):
    text = spoilt("[heat]\n", '[levels]\nhead = "1.9 m"\n\n[heat]\n', like("two-person pyramid"))
    assert the_fault(tmp_path, text).key == "levels.head"
    low = like("large bell", 'peak = "2.5 m"')
    fault = the_fault(tmp_path, low)
    assert (fault.key, fault.line) == ("shelter.openings.ridge_vent.at", BELOW[0].count("\n") + 3)


def test_rows_are_trees():
    for name in shelter_names():
        assert plant_table(shelter(name), lambda _at: None).nodes.keys() == {"shelter", "levels", "model"}
