"""[stove.place] and stove.under: distances that move no law of the night, refused or called odd where they ought to be.

36 in from an unlisted stove, a third of it behind sheet metal with open air behind it (NFPA 211, second-hand).
"""

import re

import pytest

from simtent.scenario.free import free, free_keys
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from tests.assembly.nights import stove_night
from tests.assembly.test_fields import PLACE_KEYS
from tests.assembly.test_fire_fields import PLAIN, values
from tests.scenario.example import FIRE, spoilt, the_fault, written


def placed(line, text=FIRE):
    return spoilt("[stove.pipe]", f"[stove.place]\n{line}\n\n[stove.pipe]", text)


def at(folder, *lines):
    return load(written(folder, placed("\n".join(lines))))


@pytest.mark.parametrize("key", ["from_wall", "from_roof", "from_bed", "from_wood"])
@pytest.mark.parametrize(
    ("value", "words"),
    [
        ('"-1 cm"', ["out of range", "0 cm to 5 m"]),
        ('"501 cm"', ["out of range", "0 cm to 5 m"]),
        ('"200 in"', ["out of range", "0 in to 16 ft 4 in"]),
        ('"30"', ["no unit", "cm"]),
        ("30", ["no unit"]),
        ('"3 kg"', ["a mass", "a length"]),
        ('"near"', ["near"]),
        ("true", ["a length is wanted", "0 cm to 5 m"]),
    ],
)
def test_distances_are_refused(tmp_path, key, value, words):
    fault = the_fault(tmp_path, placed(f"{key} = {value}"))
    assert fault.key == f"stove.place.{key}" and fault.line
    for word in words:
        assert word in str(fault)


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        (
            'legs = "20 cm"',
            'legs = "20 cm"\nunder = "carpet"',
            "stove.under",
            ['"nothing" or "board" or "board and sheet metal"'],
        ),
        ('legs = "20 cm"', 'legs = "20 cm"\nunder = 2', "stove.under", ["board and sheet metal"]),
        ('legs = "20 cm"', 'legs = "20 cm"\nplace = "free"', "stove.place", ["a table is wanted"]),
        (
            "[stove.pipe]",
            '[stove.place]\nfrom_beds = "1 m"\n[stove.pipe]',
            "stove.place.from_beds",
            ["unknown key", "from_bed"],
        ),
    ],
)
def test_words_and_keys_are_refused(tmp_path, old, new, key, words):
    fault = the_fault(tmp_path, spoilt(old, new, FIRE))
    assert fault.key == key
    for word in words:
        assert word in str(fault)


def test_what_is_not_given_is_none(tmp_path):
    assert load(written(tmp_path, FIRE)).stove.place is None
    place = at(tmp_path, 'from_bed = "0 cm"').stove.place
    assert place.from_bed == 0.0 and place.from_wall is place.from_roof is place.from_wood is None
    assert load(written(tmp_path, FIRE)).stove.under == "nothing"


def test_distances_are_numbers_that_can_be_moved(tmp_path):
    scenario = at(tmp_path, *(f'{key.rpartition(".")[2]} = "1 m"' for key in PLACE_KEYS))
    assert set(free_keys(scenario)) >= PLACE_KEYS
    for key in PLACE_KEYS:
        it = free(scenario, key)
        assert (it.number, it.unit) == (pytest.approx(100.0), "cm")
        assert free(scenario.replace(it.replacement(90.0)), key).number == pytest.approx(90.0)


def test_distances_what_lies_under_and_what_is_asked_move_no_law():
    before = values(stove_night(PLAIN))
    for changes in (
        dict.fromkeys(PLACE_KEYS, "35 cm"),
        {"stove.under": "board"},
        {"what_if.spill": ["50 %"]},
        {"instruments.carbon_monoxide": "300 ppm", "instruments.flue": "900 degC of the gas"},
    ):
        assert values(stove_night(PLAIN | changes)) == pytest.approx(before)


def odd(scenario):
    return {it.key: it for it in oddities(scenario) if it.key.startswith(("stove.place", "instruments"))}


@pytest.mark.parametrize("key", ["from_wall", "from_roof", "from_bed", "from_wood"])
def test_closer_than_a_shielded_wall_of_a_house_is_odd(tmp_path, key):
    for distance, told in (("11 in", True), ("25 cm", True), ("12 in", False), ("36 in", False)):
        found = odd(at(tmp_path, f'{key} = "{distance}"'))
        assert (f"stove.place.{key}" in found) == told
    one = odd(at(tmp_path, f'{key} = "10 cm"'))[f"stove.place.{key}"]
    assert (
        "only 10 cm" in one.what and "30.5 cm" in one.why and one.line and "before a fire burns" in one.todo
    )
    assert not re.search(r"\bsafe\b", f"{one.what} {one.why} {one.todo}")


def test_more_room_above_the_stove_than_there_is_is_odd(tmp_path):
    """The peak is 2.5 m up, the stove's top 46 cm."""
    assert odd(at(tmp_path, 'from_roof = "2.04 m"')) == {}
    assert "2.04 m" in odd(at(tmp_path, 'from_roof = "2.1 m"'))["stove.place.from_roof"].what


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        ("160 degC at the surface", None),
        ("320 degF at the surface", None),
        ("300 degC of the gas", None),
        ("350 degC at the surface", ["350 degF", "the same of the gas would be"]),
        ("300 degC at the surface", ["300 degF"]),
        ("450 degC at the surface", None),  # hot either way: the night's findings tell it
        ("180 degF at the surface", ["180 degC"]),
        ("500 degC of the gas", ["500 degF"]),
        ("270 degF of the gas", ["270 degC", "the same at the surface"]),
        ("100 degF at the surface", None),
    ],
)
def test_readings_that_another_unit_or_place_would_make_usual_are_odd(tmp_path, reading, words):
    scenario = load(written(tmp_path, f'{FIRE}\n[instruments]\nflue = "{reading}"\n'))
    found = odd(scenario)
    assert (FLUE in found) == (words is not None)
    for word in words or ():
        assert word in found[FLUE].what


FLUE = "instruments.flue"
