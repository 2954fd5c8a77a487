"""Vents, jack, door and fan: in SI, by the clock, and refused where they make no sense."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.openings import Door, Fan, Jack, Openings, Vent
from simtent.scenario.shelter import SHAPES
from tests.scenario.example import FIRE, OPEN, TEXT, faults, spoilt, the_fault, written
from tests.strategies import fires, scenarios

DOOR = 'door = { width = "2 ft", height = "4 ft", sill = "6 in", open = [ { at = "21:55", for = "2 min" } ] }'
OWN = f"""\
[shelter.openings]
low_vent = {{ area = "12 in2", at = "6 in" }}
ridge_vent = {{ area = "20 in2", at = "7 ft 6 in", open = "50 %", faces = "lee" }}
jack = {{ gap = "4 in2", at = "5 ft" }}
{DOOR}

[shelter.fan]
flow = "40 cfm"
from = "7 ft"
to = "1 ft"

[heat]
"""
AIRY = spoilt("[heat]\n", OWN)
INCH = 0.0254  # m, NIST SP 811
ONE = '{ at = "21:55", for = "2 min" }'


def test_openings_in_si(tmp_path):
    """Inch 25.4 mm, foot 0.3048 m; 1 ft3/min is 4.719474e-4 m3/s: NIST SP 811."""
    shelter = load(written(tmp_path, AIRY)).shelter
    low, ridge, jack, door = (
        getattr(shelter.openings, name) for name in ("low_vent", "ridge_vent", "jack", "door")
    )
    assert (low.area, low.at) == pytest.approx((12 * INCH**2, 6 * INCH))
    assert (low.open, low.faces) == (1.0, "all round")
    assert (ridge.area, ridge.at) == pytest.approx((20 * INCH**2, 90 * INCH))
    assert (ridge.open, ridge.faces) == (0.5, "lee")
    assert (jack.gap, jack.at) == pytest.approx((4 * INCH**2, 60 * INCH))
    assert (door.width, door.height, door.sill) == pytest.approx((24 * INCH, 48 * INCH, 6 * INCH))
    assert (door.top, door.faces) == (pytest.approx(54 * INCH), "lee")
    fan = shelter.fan
    assert (fan.flow, fan.from_, fan.to) == pytest.approx((40 * 4.719474e-4, 84 * INCH, 12 * INCH))


def test_the_door_opens_by_the_clock(tmp_path):
    hour, minute = 3600.0, 60.0
    scenario = load(written(tmp_path, AIRY))
    assert scenario.shelter.openings.door.openings == ((4 * hour + 25 * minute, 4 * hour + 27 * minute),)
    more = [
        {"at": "02:00", "for": "10 min"},
        {"at": "17:30", "for": "30 s"},
        {"at": "07:00", "for": "30 min"},
    ]
    door = scenario.replace("shelter.openings.door.open", more).shelter.openings.door
    # The night begins at 17:30 and ends at 07:30, so that the last ends with it.
    assert door.openings == ((0.0, 30.0), (8.5 * hour, 8.5 * hour + 600.0), (13.5 * hour, 14.0 * hour))
    for never in ("none", []):
        assert scenario.replace("shelter.openings.door.open", never).shelter.openings.door.openings == ()


def test_none_takes_openings_away(tmp_path):
    camp = written(tmp_path, AIRY)
    without = load(camp, settings=["shelter.openings=none", "shelter.fan=none"])
    assert without == load(written(tmp_path, TEXT, "plain.toml"))
    assert load(camp, settings="shelter.openings.door=none").shelter.openings.door is None
    mixes = load(camp, settings=["shelter.fan.from=none", "shelter.fan.to=none"]).shelter.fan
    assert (mixes.from_, mixes.to, mixes.flow) == (None, None, pytest.approx(40 * 4.719474e-4))


def test_an_overlay_changes_one_opening(tmp_path):
    half = '[shelter.openings]\nridge_vent = { open = "100 %" }\n'
    overlay = written(tmp_path, half, "wide.toml")
    openings = load(written(tmp_path, AIRY), overlays=overlay).shelter.openings
    assert (openings.ridge_vent.open, openings.ridge_vent.faces) == (1.0, "lee")
    assert openings.low_vent.area == pytest.approx(12 * INCH**2)


def test_effective_is_complete_and_equal(tmp_path):
    for text in (AIRY, TEXT):
        scenario = load(written(tmp_path, text))
        again = load(written(tmp_path, scenario.effective, "effective.toml"))
        assert again == scenario
        assert again.given == scenario.effective
    assert "low_vent" in scenario.effective and 'fan = "none"' in scenario.effective


def test_a_jack_has_no_height_of_its_own_beside_a_stove(tmp_path):
    text = spoilt("[stove]\n", '[shelter.openings]\njack = { gap = "4 in2" }\n\n[stove]\n', FIRE)
    assert load(written(tmp_path, text)).shelter.openings.jack.at is None
    fault = the_fault(tmp_path, spoilt(', at = "5 ft"', "", AIRY))
    assert fault.key == "shelter.openings.jack.at"
    assert fault.line == AIRY.split("\n").index('jack = { gap = "4 in2", at = "5 ft" }') + 1
    assert "Add at = ..." in fault.todo


def test_in_the_open_there_are_no_openings(tmp_path):
    assert load(written(tmp_path, OPEN)).shelter is None


# part of AIRY to spoil, its spoilt form, key, words that the message has to hold
VALUES = [
    ('area = "12 in2"', 'area = "12 in"', "low_vent.area", ["a length", "an area"]),
    ('area = "12 in2"', 'area = "40 ft2"', "low_vent.area", ["out of range"]),
    (', at = "6 in" }', " }", "low_vent.at", ["missing", "height of the vent's middle"]),
    ('open = "50 %"', "open = 0.5", "ridge_vent.open", ['"50 %"']),
    ('open = "50 %"', 'open = "150 %"', "ridge_vent.open", ["0 % to 100 %"]),
    ('faces = "lee"', 'faces = "leeward"', "ridge_vent.faces", ['"all round" or "wind" or "lee"', '"lee" meant']),
    ('at = "7 ft 6 in"', 'at = "9 ft"', "ridge_vent.at", ["above the peak", "2.50 m"]),
    ('at = "6 in"', 'at = "2.51 m"', "low_vent.at", ["above the peak", "2.50 m"]),
    ('at = "5 ft"', 'at = "2.6 m"', "jack.at", ["above the peak", "2.50 m"]),
    ('gap = "4 in2"', 'gap = "0.4 m2"', "jack.gap", ["out of range", "0 cm2 to 500 cm2"]),
    ('height = "4 ft"', 'height = "8 ft"', "door.height", ["higher than the shelter", "2.50 m"]),
    ('sill = "6 in"', 'sill = "9 ft"', "door.sill", ["higher than the shelter", "Lower its sill"]),
    ('sill = "6 in"', 'sill = "6 in", faces = "all round"', "door.faces", ['"wind" or "lee"']),
    ('width = "2 ft", ', "", "door.width", ["missing", "10 cm to 8 m"]),
    (ONE, '{ at = "16:00", for = "2 min" }', "door.open[1].at", ["outside the night"]),
    (ONE, '{ at = "9:55 pm", for = "2 min" }', "door.open[1].at", ['"21:55"']),
    (ONE, '{ at = "21:55" }', "door.open[1].for", ["missing", "how long"]),
    (ONE, '{ at = "21:55", for = "2" }', "door.open[1].for", ["no unit", '"2 min"']),
    (ONE, '{ at = "21:55", for_ = "2 min", for = "1 min" }', "door.open[1].for_", ["unknown key", "for meant"]),
    (ONE, '{ at = "07:29", for = "2 min" }', "door.open[1].for", ["still open when the night ends"]),
    (
        ONE,
        '{ at = "21:57", for = "1 min" }, { at = "21:55", for = "3 min" }',
        "door.open[1].at",
        ["opened at 21:57", "still open since 21:55", "one opening of both"],
    ),
    (
        ONE,
        '{ at = "21:55", for = "2 min" }, { at = "21:57", for = "1 min" }',
        "door.open[2].at",
        ["still open since 21:55"],
    ),
    ("low_vent =", "lower_vent =", "lower_vent", ["unknown key", "low_vent or ridge_vent"]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "words"), VALUES)
def test_bad_openings(tmp_path, old, new, key, words):
    text = spoilt(old, new, AIRY)
    fault = the_fault(tmp_path, text)
    assert (fault.file, fault.key) == (str(tmp_path / "camp.toml"), f"shelter.openings.{key}")
    for word in words:
        assert word in str(fault)
    assert key.split(".")[0] in text.split("\n")[fault.line - 1]


FANS = [
    ('flow = "40 cfm"', 'flow = "40 ft3"', "flow", ["a volume", "a volume flow", "cfm"]),
    ('flow = "40 cfm"', 'flow = "4000 cfm"', "flow", ["out of range"]),
    ('flow = "40 cfm"\n', "", "flow", ["missing", "air that the fan moves"]),
    ('from = "7 ft"\n', "", "from", ["two heights", "Add from = ..."]),
    ('to = "1 ft"\n', "", "to", ["two heights", "Add to = ..."]),
    ('to = "1 ft"', 'to = "84 in"', "to", ["where it takes it from"]),
    ('from = "7 ft"', 'from = "2.5 m"', "from", ["not below the peak", "2.50 m"]),
    ('to = "1 ft"', 'to = "3 m"', "to", ["not below the peak", "2.50 m"]),
    ('to = "1 ft"', 'to = "1 ft"\nfrom_ = "1 ft"', "from_", ["unknown key", "from meant"]),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), FANS)
def test_bad_fans(tmp_path, old, new, key, words):
    fault = the_fault(tmp_path, spoilt(old, new, AIRY))
    assert fault.key == f"shelter.fan.{key}"
    for word in words:
        assert word in str(fault)


def test_every_fault_of_the_openings_at_once(tmp_path):
    text = AIRY
    for old, new in [
        ('at = "7 ft 6 in"', 'at = "9 ft"'),
        ('at = "5 ft"', 'at = "9 ft"'),
        ('height = "4 ft"', 'height = "9 ft"'),
        ('from = "7 ft"', 'from = "9 ft"'),
    ]:
        text = spoilt(old, new, text)
    keys = [fault.key for fault in faults(tmp_path, text)]
    heights = ["ridge_vent.at", "jack.at", "door.height"]
    assert keys == [*(f"shelter.openings.{key}" for key in heights), "shelter.fan.from"]


def test_two_faulty_times_of_a_door_are_told_together(tmp_path):
    late = '{ at = "07:29", for = "2 min" }, { at = "07:28", for = "2 min" }'
    keys = {fault.key for fault in faults(tmp_path, spoilt(ONE, late, AIRY))}
    assert keys == {f"shelter.openings.door.open[1].{key}" for key in ("at", "for")}


def test_no_times_are_told_of_a_night_that_is_faulty_itself(tmp_path):
    assert the_fault(tmp_path, spoilt('end = "07:30"', 'end = "25:00"', AIRY)).key == "night.end"


def test_frozen():
    with pytest.raises(ValueError, match="frozen"):
        Fan.model_validate({"flow": "40 cfm"}).flow = 1.0
    assert Openings().model_dump() == dict.fromkeys(("low_vent", "ridge_vent", "jack", "door")) | {
        "vents": {}
    }
    assert Jack.model_validate({"gap": "0 cm2"}).at is None
    assert Vent.model_validate({"area": "1 cm2", "at": "0 m"}).open == 1.0
    assert Door.model_validate({"width": "1 m", "height": "1 m"}).openings == ()


def test_a_door_outside_a_scenario_has_no_times_yet():
    open_twice = [{"at": "21:55", "for": "2 min"}] * 2
    assert Door.model_validate({"width": "1 m", "height": "1 m", "open": tuple(open_twice)}).openings == ()


@given(st.one_of(scenarios(), fires(shapes=tuple(SHAPES))))
def test_openings_lie_in_the_shelter_and_in_the_night(scenario):
    openings, peak = scenario.shelter.openings, scenario.shelter.peak
    for opening in (*openings.every_vent.values(), openings.jack):
        assert opening is None or opening.at is None or 0.0 <= opening.at <= peak
    if openings.jack and openings.jack.at is None:
        assert scenario.stove
    if openings.door:
        assert 0.0 < openings.door.top <= peak
        times = [moment for pair in openings.door.openings for moment in pair]
        assert times == sorted(set(times)) and len(times) == 2 * len(openings.door.open)
        assert all(0.0 <= moment <= scenario.night.seconds for moment in times)
    if fan := scenario.shelter.fan:
        assert fan.flow > 0.0
        assert (fan.from_ is None) == (fan.to is None)
        assert fan.from_ is None or fan.from_ != fan.to


@given(scenarios(openings=False, fan=False))
def test_scenarios_without_openings(scenario):
    assert scenario.shelter.openings == Openings() and scenario.shelter.fan is None


def test_a_fault_of_a_replacement_names_the_opening(tmp_path):
    with pytest.raises(InputError) as caught:
        load(written(tmp_path, AIRY)).replace("shelter.ridge", "2 m")
    keys = {fault.key for fault in caught.value.faults}
    assert keys == {"shelter.openings.ridge_vent.at", "shelter.fan.from"}
