"""A night by heights in words: levels, layering, cold floor, people, water, comparisons."""

import re
from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent.assess import damp
from simtent.balance import Balances, Share
from simtent.scenario.scenario import Scenario
from simtent.tell import heights
from simtent.tell.compared import Comparison, Other, compared, left_on_skin, notes
from simtent.tell.heights_cold import cold
from simtent.tell.heights_comfort import comfort
from simtent.tell.heights_damp import dampness
from simtent.tell.heights_levels import UNCHECKED, layering, levels_table
from simtent.tell.page import levels
from simtent.units import System
from tests import fake_night
from tests.tell import heights_nights
from tests.tell.heights_nights import AREAS, BREATH, CAME, DRIES, DRIPS, FROST, IN_BAGS, LIQUID

SYSTEMS = ("us", "si")
RISE = 13.0  # h from begin
BALANCES = Balances(
    23400.0,
    0.34,
    (Share("walls", -310.0), Share("beds and gear", 120.0), Share("fan", -4.0), Share("sun", 2.0)),
    (Share("ground below", 250.0),),
    -192.0,
    250.0,
)


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return heights_nights.night()


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return heights_nights.scenario(tmp_path)


def fahrenheit(celsius: float) -> int:
    return round(celsius * 9.0 / 5.0 + 32.0)


# Water, read off the Dataset.


def test_what_lies_on_each_part_is_mass_per_area_times_area(night: xr.Dataset) -> None:
    found = {(it.part, it.kind): it for it in damp.lying(night, 14.0 * 3600.0)}
    assert set(found) == {(part, kind) for part in ("wall", "roof", "floor") for kind in damp.KINDS}
    wall, roof = found["wall", "frost"], found["roof", "frost"]
    assert wall.mass == pytest.approx(4.0 * 0.030 + 6.0 * 0.0002)
    assert wall.most == pytest.approx(0.030)
    assert wall.most_at == pytest.approx(fake_night.HEIGHTS[1])  # of the second layer
    assert wall.lowest == wall.most_at  # what lies above it is less than can be seen
    assert (roof.mass, roof.most_at) == (pytest.approx(0.05), pytest.approx(fake_night.HEIGHTS[13]))
    assert found["floor", "frost"].most_at is None
    assert [it.mass for it in damp.lying(night, 14.0 * 3600.0)] == sorted(
        (it.mass for it in found.values()), reverse=True
    )


def test_the_floor_is_not_the_skin(night: xr.Dataset) -> None:
    found = damp.on_skin(night, 7.0 * 3600.0)  # half of it all, half through the night
    assert found["frost"] == pytest.approx(0.5 * float(FROST[:-1] @ AREAS[:-1]))
    assert found["condensate"] == pytest.approx(0.5 * float(LIQUID[:-1] @ AREAS[:-1]))


def test_parts_and_layers_of_surfaces() -> None:
    assert damp.part_and_layer("wall 3") == ("wall", 2)
    assert damp.part_and_layer("floor mat") == ("floor mat", None)


# Levels.


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(("bed", "rise"), [("21:30", "06:30"), ("18:30", "20:00")])
def test_levels_by_hand(scenario: Scenario, night: xr.Dataset, system: str, bed: str, rise: str) -> None:
    lines = levels_table(scenario.replace({"wish.bed": bed, "wish.rise": rise}), night, system)
    assert lines[0].startswith({"us": "degF", "si": "degC"}[system])
    rows = {line.split()[0]: [int(cell) for cell in line[20:].split()] for line in lines[2:6]}
    assert list(rows) == ["head", "waist", "cot", "floor"]
    first, last = (12 * ((int(clock[:2]) - 17.5 + int(clock[3:]) / 60.0) % 24.0) for clock in (bed, rise))
    for level, cells in rows.items():
        wanted = []
        for variable in ("level_temperature", "operative_temperature"):
            values = night[variable].sel(level=level).values
            in_bed = values[int(first) : int(last) + 1]
            wanted += [in_bed.min(), values.max(), in_bed[0], in_bed[-1]]
        shown = wanted if system == "si" else [value * 1.8 + 32.0 for value in wanted]
        assert np.abs(np.array(cells) - shown).max() <= 0.5 + 1e-9
    assert f"from {bed} to {rise}, in bed" in " ".join(lines)


def test_head_over_floor_with_its_range(scenario: Scenario, night: xr.Dataset) -> None:
    told = dict(layering(scenario, night, "si"))
    over = (
        night["level_temperature"].sel(level="head") - night["level_temperature"].sel(level="floor")
    ).values
    assert told["Head over floor"].startswith(f"at most {over.max():.0f} K, at ")
    assert f"{over[48]:.0f} K at 21:30, {over[156]:.0f} K at 06:30" in told["Head over floor"]
    # The range is half a kelvin to each side.
    text = f"{over.max() - 0.5:.0f} K to {over.max() + 0.5:.0f} K: two nights in three, from "
    assert told["Usual range at most"].startswith(text)
    assert "mixing" in told["Usual range at most"]
    assert told["How far to trust it"] == UNCHECKED and "has not been checked" in UNCHECKED


def test_a_night_alone_has_no_range(scenario: Scenario, night: xr.Dataset) -> None:
    bare = night.drop_vars([name for name in night if str(name).startswith("head_over_floor")])
    told = dict(layering(scenario, bare, "si"))
    assert "Usual range at most" not in told
    assert told["Head over floor"] == dict(layering(scenario, night, "si"))["Head over floor"]


# Water in words.


def test_water_that_came_is_water_that_went(scenario: Scenario, night: xr.Dataset) -> None:
    told = dict(dampness(scenario, night, "si"))
    came, went = told["Water until 06:30"].split(" It went: ")
    grams = [sum(int(g) for g in re.findall(r"(\d+) g ", side)) for side in (came, went)]
    assert grams[0] == pytest.approx(1000.0 * RISE * (CAME + BREATH + DRIES), abs=2)
    assert grams[1] == pytest.approx(grams[0], abs=3)
    assert f"{1000.0 * RISE * BREATH:.0f} g from sleepers" in came
    assert f"{1000.0 * RISE * DRIES:.0f} g from wet gear" in came  # negative as it dries: a source
    assert f"{1000.0 * RISE * IN_BAGS:.0f} g into the sleeping bags" in went
    assert told["Water in the bags"].startswith("130 g more than in the evening, 65 g for each sleeper")
    assert "estimate" in told["Water in the bags"]


def test_frost_water_drip_and_dew_point(scenario: Scenario, night: xr.Dataset) -> None:
    told = dict(dampness(scenario, night, "si"))
    share = RISE / 14.0
    wall = 1000.0 * share * (0.12 + 0.0012)
    assert told["Frost at 06:30"].startswith(f"{wall:.0f} g on the wall, at most {30.0 * share:.0f} g/m2 at ")
    assert "on the bare floor" in told["Frost at 06:30"]
    assert told["Liquid water at 06:30"].startswith(f"{20.0 * share:.0f} g on the roof")
    assert told["Lowest frost on the skin"].startswith(f"{100.0 * fake_night.HEIGHTS[1]:.0f} cm above")
    assert told["Drips and runs down"].startswith(
        f"{1000.0 * DRIPS * 10.0:.0f} g through the night, from 21:"
    )
    dew = np.interp(fake_night.LEVELS["head"], fake_night.HEIGHTS, night["dew_point"].values[156])
    assert told["Dew point at 06:30"].startswith(f"head {dew:.0f} degC")
    assert "counted by the usual numbers" in told["Damp"] and "40" not in told["Damp"]


def test_a_night_that_drips_nothing(scenario: Scenario, night: xr.Dataset) -> None:
    dry = night.assign(dripped=0.0 * night["dripped"], frost=0.0 * night["frost"])
    told = dict(dampness(scenario, dry, "si"))
    assert told["Drips and runs down"] == "nothing that counts"
    assert told["Frost at 06:30"] == "none to see" and "Lowest frost on the skin" not in told


def test_numbers_of_the_file_are_told_as_such(scenario: Scenario, night: xr.Dataset) -> None:
    more = scenario.replace("damp.breath_each", "20 g/h")
    told = dict(dampness(more, night, "si"))["Damp"]
    assert "the file's numbers" in told and "breathes out 20 g/h" in told


def test_damp_that_is_not_counted_is_not_told(scenario: Scenario) -> None:
    assert list(dampness(scenario, fake_night.night(5.0), "si")) == [("Damp", "not counted in this night")]


# What keeps the floor cold.


def test_the_balance_is_ranked_and_sums_up(scenario: Scenario) -> None:
    lines = cold(scenario, BALANCES, "si", "cot coldest in bed")
    told = [(int(line[:9]), line[11:]) for line in lines if re.match(r" *[+-]?\d+  ", line)]
    assert told[:4] == [
        (-310, "walls"),
        (120, "beds and gear"),
        (-2, "all else together"),  # -4 and 2, each less than a fiftieth of the largest
        (-192, "sum: by this it cools"),
    ]
    assert told[4:] == [(250, "ground below"), (250, "sum: by this it warms")]
    assert " the lowest 34 cm of air at 00:00, cot coldest in bed, in W:" in " ".join(lines[:2])
    assert "+120  beds" in lines[3]
    us = [line for line in cold(scenario, BALANCES, "us") if line.endswith("  walls")]
    assert int(us[0].split()[0]) == pytest.approx(-310.0 * 3.412142, abs=5.0)  # Btu/h; NIST SP 811


@pytest.mark.parametrize(("watts", "told"), [((2.4, 2.4), True), ((2.0, 3.0), False)])
def test_a_sum_that_its_printed_rows_do_not_come_to_says_so(
    scenario: Scenario, watts: tuple[float, float], told: bool
) -> None:
    """2.4 and 2.4 W are 4.8 W: printed 2, 2 and 5."""
    air = tuple(Share(name, each) for name, each in zip(("walls", "fan"), watts, strict=True))
    found = Balances(0.0, 0.34, air, (Share("ground below", 250.0),), sum(watts), 250.0)
    lines = cold(scenario, found, "si")
    sums = [line for line in lines if "sum: by this it warms" in line]
    assert ["each number is rounded by itself" in line for line in sums] == [told, False]


# People.


def test_comfort_says_what_is_missing_and_repeats_the_label(scenario: Scenario, night: xr.Dataset) -> None:
    told = dict(comfort(scenario, night, "us"))
    assert (
        told["The bag's own label"].startswith("no bag is given")
        and "crew.bag" in told["The bag's own label"]
    )
    assert told["Down through the pad"].startswith("no pad is given")
    bag = {"comfort": "30 degF", "limit": "-40 degF"}
    told = dict(comfort(scenario.replace({"crew.bag": bag, "crew.pad": "R 4 us"}), night, "us"))
    assert "below its comfort (30 degF), 0 min below its limit (-40 degF)" in told["The bag's own label"]
    assert "leave a margin" in told["The bag's own label"]
    assert re.match(r"\d+ Btu/h from each sleeper into the air under the cot", told["Down through the pad"])
    assert "beyond what the standard speaks of" in told["Seated, head over feet"]
    assert "over 7.2 degF, the most that class C" in told["Seated, head over feet"]  # 4 K: 7.2 degF
    assert "63 degF to 88 degF" in told["Floor under the feet"]  # 17 to 31 degC
    assert re.match(r"\d\.\d clo .* \d\.\d clo at the very least", told["Clothing while up"])


@pytest.mark.parametrize(("system", "height", "air"), [("us", "ft", "degF"), ("si", "m", "degC")])
def test_the_page_says_what_the_picture_is_in(
    scenario: Scenario, night: xr.Dataset, system: System, height: str, air: str
) -> None:
    moments = heights.usual_moments(scenario, night)
    parts = {it.name: it for it in levels.page(scenario, night, [], moments, [], system, ([], [])).parts}
    words = f"<figcaption>Upwards: height above the ground in {height}. Air in {air}.</figcaption>"
    assert words in parts["picture"].body


# Nights side by side.


def comparison(scenario: Scenario, night: xr.Dataset, **more: str) -> Comparison:
    warmer = night.copy(deep=True)
    for name in ("level_temperature", "operative_temperature"):
        warmer[name] = night[name] + 5.0
    warmer["frost"] = 0.5 * night["frost"]
    other = scenario.replace("levels.cot", "70 cm")
    return Comparison(
        "cot at", (Other("0.46 m", scenario, night, 0.46, True), Other("0.70 m", other, warmer, 0.7))
    )


def test_a_table_of_nights_by_hand(scenario: Scenario, night: xr.Dataset) -> None:
    both = comparison(scenario, night)
    lines = compared(both, "si")
    assert lines[0].split() == ["cot", "at", "cot", "felt", "floor", "head", "water", "water"]
    assert lines[2].startswith("0.46 m (file) ") and lines[3].startswith("0.70 m  ")
    first, second = ([int(cell) for cell in line[16:].split()] for line in lines[2:])
    air, felt = night["level_temperature"], night["operative_temperature"]
    wanted = [
        float(air.sel(level="cot")[48:157].min()),
        float(felt.sel(level="cot")[48:157].min()),
        float(air.sel(level="floor")[48:157].min()),
        float(air.sel(level="head").max()),
        float((air.sel(level="head") - air.sel(level="floor")).max()),
    ]
    assert np.abs(np.array(first[:5]) - wanted).max() <= 0.5 + 1e-9
    assert [b - a for a, b in zip(first, second, strict=True)][:5] == [5, 5, 5, 5, 0]
    share = RISE / 14.0
    ice, liquid = float(FROST[:-1] @ AREAS[:-1]), float(LIQUID[:-1] @ AREAS[:-1])
    assert first[5:] == [round(1000.0 * share * (ice + liquid)), 130]
    assert second[5:] == [round(1000.0 * share * (0.5 * ice + liquid)), 130]
    assert left_on_skin(both.nights[0])["frost"] == pytest.approx(share * ice)
    assert "an estimate; both in g" in " ".join(notes([both], "si")) and notes([], "si") == []


def test_without_damp_no_water_is_compared(scenario: Scenario) -> None:
    dry = fake_night.night(5.0)
    one = Comparison("fan", (Other("on", scenario, dry, given=True), Other("off", scenario, dry)))
    assert "water" not in "\n".join(compared(one, "si")) + "\n".join(notes([one], "si"))


def test_a_bags_label_is_held_against_every_night(scenario: Scenario, night: xr.Dataset) -> None:
    labelled = scenario.replace("crew.bag", {"comfort": "10 degC", "limit": "-30 degC"})
    both = comparison(labelled, night)
    lines = compared(both, "si")
    assert lines[0].split()[-4:] == ["h", "below", "water", "water"] and max(map(len, lines)) <= 80
    hours = [float(line[16:].split()[5]) for line in lines[2:]]
    centres, felt = fake_night.HEIGHTS, night["felt_temperature"].values
    for told, height in zip(hours, (0.46, 0.7), strict=True):
        at = np.array([np.interp(height, centres, row) for row in felt])[48:157]
        assert told == pytest.approx(float((at < 10.0).mean()) * 9.0, abs=0.15)
    assert "label calls so" in " ".join(notes([both], "si"))


# All of it.


@pytest.mark.parametrize("system", SYSTEMS)
def test_no_line_is_wider_than_a_terminal_and_none_calls_anything_safe(
    scenario: Scenario, night: xr.Dataset, system: str
) -> None:
    long = night.assign_coords(level=["head", "drying line under the ridge", "cot", "floor"])
    lines = heights.told(
        scenario, long, BALANCES, "cot coldest in bed", [comparison(scenario, night)], system
    )
    assert max(map(len, lines)) <= 80
    text = " ".join(lines).lower()
    assert "safe" not in text and "nan" not in text.replace("nance", "") and "-0 " not in text
    assert (
        text.index("head over floor")
        < text.index("what warms")
        < text.index("in bed at")
        < text.index("damp ")
    )


def test_profiles_are_drawn_where_the_head_is_hottest_and_the_cot_coldest(
    scenario: Scenario, night: xr.Dataset
) -> None:
    shown = heights.usual_moments(scenario, night)
    head, cot = (night["level_temperature"].sel(level=level).values for level in ("head", "cot"))
    assert [it.seconds for it in shown] == sorted(it.seconds for it in shown)
    by_why = {it.why: round(it.seconds / 300.0) for it in shown}
    assert by_why["head hottest"] == int(head.argmax())
    assert by_why["cot coldest in bed"] == 48 + int(cot[48:157].argmin())
