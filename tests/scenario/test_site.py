"""The ground as a file gives it: depths, snow over other ground, ice over water, a floor above all of it."""

from math import log10

import pytest

from simtent.scenario.load import load
from simtent.scenario.materials import ground, ground_names
from tests.scenario.example import TEXT, faults, spoilt, the_fault, written

GROUND = 'ground = "packed snow"'
START = 'ground_start = "-5 degC"'
OVER = f'{GROUND}\nsnow_depth = "30 cm"\nunder_snow = "frozen soil"'
LAKE = 'ground = "lake ice"\nice_thickness = "1 ft"'
BELOW = 'ground_below = [{ depth = "20 cm", temperature = "-3 degC" }, { depth = "1 m", temperature = "28 degF" }]'
PLATFORM = '[shelter.floor]\nboard = "3/4 in plywood"\nraised = "40 cm"\n\n[shelter.skin]'


def with_ground(lines, text=TEXT):
    return spoilt(GROUND, lines, text)


def test_snow_over_soil(tmp_path):
    site = load(written(tmp_path, with_ground(OVER))).site
    assert site.snow_depth == pytest.approx(0.3)
    assert site.earth.name == "packed snow" and site.buried.name == "frozen soil"
    assert not site.over_water
    assert load(written(tmp_path)).site.buried is None


def test_temperatures_below(tmp_path):
    scenario = load(written(tmp_path, with_ground(f"{GROUND}\n{BELOW}")))
    found = [(it.depth, it.temperature) for it in scenario.site.ground_below]
    assert found == [(pytest.approx(0.2), pytest.approx(270.15)), (1.0, pytest.approx(270.928, abs=1e-3))]
    assert load(written(tmp_path, scenario.effective, "effective.toml")) == scenario


def test_ice_over_water(tmp_path):
    site = load(written(tmp_path, with_ground(LAKE))).site
    assert site.over_water and site.ice_thickness == pytest.approx(0.3048)
    covered = OVER.replace("frozen soil", "lake ice") + '\nice_thickness = "40 cm"'
    assert load(written(tmp_path, with_ground(covered))).site.over_water


def test_a_platform_needs_no_ground(tmp_path):
    text = spoilt(f"{GROUND}\n{START}", "", spoilt("[shelter.skin]", PLATFORM))
    scenario = load(written(tmp_path, text))
    assert scenario.shelter.floor.raised == pytest.approx(0.4)
    assert scenario.site.ground is None
    assert load(written(tmp_path, scenario.effective, "effective.toml")) == scenario
    # What is given of the ground is kept for when the floor comes down.
    assert load(written(tmp_path, spoilt("[shelter.skin]", PLATFORM))).site.ground == "packed snow"


def test_on_the_ground_the_ground_is_asked_for(tmp_path):
    text = spoilt(f"{GROUND}\n{START}", "", spoilt("[shelter.skin]", PLATFORM))
    assert {it.key for it in faults(tmp_path, text, settings=["shelter.floor.raised=none"])} == {
        "site.ground", "site.ground_start",
    }  # fmt: skip


def test_snow_about_to_melt_is_allowed_and_warm_soil_too(tmp_path):
    assert load(written(tmp_path, spoilt('"-5 degC"', '"32 degF"'))).site.ground_start == 273.15
    warm = spoilt('"-5 degC"', '"8 degC"', with_ground('ground = "moist soil"'))
    assert load(written(tmp_path, warm)).site.ground_start > 281.0
    thawed = OVER + '\nground_below = [{ depth = "50 cm", temperature = "2 degC" }]'
    assert load(written(tmp_path, with_ground(thawed))).site.ground_below[0].temperature > 275.0


@pytest.mark.parametrize(
    ("lines", "key", "words"),
    [
        (f'{GROUND}\nsnow_depth = "30 cm"', "site.snow_depth", ["without under_snow", "all the way down"]),
        (f'{GROUND}\nunder_snow = "rock"', "site.under_snow", ["without snow_depth"]),
        (OVER.replace("frozen soil", "fresh snow"), "site.under_snow", ["snow under snow"]),
        (OVER.replace("frozen soil", "frozen sol"), "site.under_snow", ["unknown ground", "frozen soil"]),
        (OVER.replace("frozen soil", "lake ice"), "site.under_snow", ["without its thickness"]),
        ('ground = "lake ice"', "site.ground", ["without its thickness", "ice_thickness"]),
        (f'{GROUND}\nice_thickness = "40 cm"', "site.ice_thickness", ["no water", '"lake ice"']),
        (f"{LAKE}\n{BELOW}", "site.ground_below", ["straight to 0 degC"]),
        (f"{GROUND}\nground_below = []", "site.ground_below", ["no entry", "depth ="]),
        (f"{GROUND}\n{BELOW.replace('1 m', '20 cm')}", "site.ground_below[2].depth", ["not deeper", "down"]),
        (
            f"{GROUND}\n{BELOW.replace('28 degF', '36 degF')}",
            "site.ground_below[2].temperature",
            ["packed snow warmer", "up to 0 degC"],
        ),
        (
            OVER + '\nground_below = [{ depth = "20 cm", temperature = "1 degC" }]',
            "site.ground_below[1].temperature",
            ["packed snow warmer"],
        ),
        (f'{GROUND}\nsnow_depth = "1 cm"\nunder_snow = "rock"', "site.snow_depth", ["out of range", "2 cm"]),
    ],
)
def test_one_clear_message(tmp_path, lines, key, words):
    fault = the_fault(tmp_path, with_ground(lines))
    assert fault.key == key
    assert fault.line is not None
    assert all(word in str(fault) for word in words), str(fault)


@pytest.mark.parametrize("start", ["0.1 degC", "33 degF"])
def test_snow_is_never_warm(tmp_path, start):
    fault = the_fault(tmp_path, spoilt('"-5 degC"', f'"{start}"'))
    assert (fault.key, fault.allowed) == ("site.ground_start", "up to 0 degC")


def test_three_depths_out_of_order_are_one_fault(tmp_path):
    entries = ", ".join(f'{{ depth = "{cm} cm", temperature = "-3 degC" }}' for cm in (50, 40, 30))
    fault = the_fault(tmp_path, with_ground(f"{GROUND}\nground_below = [{entries}]"))
    assert fault.key == "site.ground_below[2].depth"


def test_soil_has_no_depth_of_snow(tmp_path):
    found = faults(tmp_path, with_ground('ground = "rock"\nsnow_depth = "30 cm"\nunder_snow = "rock"'))
    assert {it.key for it in found} == {"site.snow_depth", "site.under_snow"}


def test_a_raised_floor_is_made_of_something(tmp_path):
    fault = the_fault(tmp_path, spoilt("[shelter.skin]", PLATFORM.replace('board = "3/4 in plywood"', "")))
    assert fault.key == "shelter.floor.raised" and "without a board" in str(fault)


@pytest.mark.parametrize("name", ground_names())
def test_grounds_of_the_table_are_made_of_what_they_can_be(name):
    """Water fits into the ground, and a cubic metre of it, frozen, stores 0.5 to 3 MJ/K; ice and snow are all water.

    Volumetric capacities of soils, 1 to 3 MJ/(m3 K), rock 2 to 2.5, and snow by its density (from memory).
    """
    row = ground(name)
    assert 0.0 <= row.water <= row.density <= 3000.0
    assert 0.25e6 < row.density * row.specific_heat < 3.1e6
    assert 0.02 < row.conductivity < 5.0
    assert row.ice == (row.snow or "ice" in name.split())
    assert row.over_water == (name == "lake ice")
    assert not row.thaws_over or (row.water and not row.ice)
    assert len(row.source) > 20


# Johansen 1975 (from memory): frozen and thawed ground between its dry and its saturated conductivity.
@pytest.mark.parametrize(
    ("name", "pores", "solids", "filled", "frozen"),
    [
        ("frozen soil", 0.45, 3.0, 0.6, True),
        ("moist soil", 0.45, 3.0, 0.6, False),
        ("frozen gravel", 0.35, 3.5, 0.5, True),
        ("frozen peat", 0.9, 0.25, 0.6, True),
    ],
)
def test_moist_grounds_follow_from_what_they_are_made_of(name, pores, solids, filled, frozen):
    row, dense = ground(name), (1.0 - pores) * (1400.0 if name == "frozen peat" else 2700.0)
    saturated = solids ** (1.0 - pores) * (2.2 if frozen else 0.57) ** pores
    dry = 0.05 if name == "frozen peat" else (0.135 * dense + 64.7) / (2700.0 - 0.947 * dense)
    between = filled if frozen else log10(filled) + 1.0
    assert row.conductivity == pytest.approx(dry + between * (saturated - dry), rel=0.02)
    assert row.water == pytest.approx(1000.0 * pores * filled, rel=0.01)
    assert row.density == pytest.approx(dense + row.water, rel=0.01)
    heat = dense * (1900.0 if name == "frozen peat" else 800.0) + row.water * 2050.0
    assert row.density * row.specific_heat == pytest.approx(heat, rel=0.01)
