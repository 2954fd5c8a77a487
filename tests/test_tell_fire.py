"""Table, summary and picture of a night with a fire, and of a stove burning in the open."""

import re
from itertools import combinations, pairwise
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import xarray as xr
from matplotlib.text import Text

from simtent import schema
from simtent.assess.curves import curve
from simtent.assess.loads import burns
from simtent.scenario.scenario import Scenario
from simtent.tell import figure, look
from simtent.tell.summary import CAME, WENT, heading, summary
from simtent.tell.table import hourly
from tests import fake_fire, fake_night
from tests.test_tell import contrast, paired, rows_of, texts_of

POUND = 0.45359237  # kg exactly (NIST SP 811, 2008, B.8)


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return fake_fire.night()


@pytest.fixture(scope="module")
def burn() -> xr.Dataset:
    return fake_fire.burn()


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_fire.scenario(tmp_path)


@pytest.fixture
def yard(tmp_path: Path) -> Scenario:
    return fake_fire.yard(tmp_path)


# The hourly table.


def joined(lines: list[str]) -> dict[str, str]:
    """Remarks by the clock of their rows, those that run on joined."""
    found: dict[str, str] = {}
    for line in lines[2 : lines.index("")]:
        if re.match(r"\d\d:\d\d", line):
            found[line[:5]] = line[57:].strip()
        else:
            found[list(found)[-1]] += f" {line.strip()}"
    return found


@pytest.mark.parametrize("system", ["us", "si"])
def test_table_shows_wood_and_coals(scenario: Scenario, night: xr.Dataset, system: str) -> None:
    lines = hourly(scenario, night, system)
    assert max(map(len, lines)) <= 80
    assert lines[0].split() == ["time", "outdoors", "floor", "cot", "head", "heat", "wood", "coals"]
    assert lines[1].split()[-2:] == (["lb", "lb"] if system == "us" else ["kg", "kg"])
    assert " ".join(lines).endswith("wood, coals: what is on the fire. Levels only in the file: waist.")
    unit = POUND if system == "us" else 1.0
    for row in rows_of(lines):
        if row[0] == "21:20":  # nothing but that load is on the fire
            assert float(row[6]) == pytest.approx(3.2 / unit, abs=0.05)
    coals = curve(night, "fuel_mass", fuel_stage="coals")
    (row,) = [row for row in rows_of(lines) if row[0] == "23:00"]
    assert float(row[7]) == pytest.approx(coals.at(5.5 * 3600.0) / unit, abs=0.005)


def test_table_tells_what_was_done_at_the_stove(scenario: Scenario, night: xr.Dataset) -> None:
    told = joined(hourly(scenario, night, "si"))
    assert told["17:30"] == "load 2.4 kg lit by hand"
    assert told["21:20"] == "load 3.2 kg put on"
    assert told["21:30"] == "bed, cot too cold, air to one (35 %)"
    assert told["01:47"].endswith("load 1.0 kg put on, air to wide (100 %)")
    assert "06:30" in told and told["06:30"].startswith("rise")


def test_table_heat_adds_up_to_what_the_fire_set_free(scenario: Scenario, night: xr.Dataset) -> None:
    rows = rows_of(hourly(scenario, night, "si"))
    hours = [int(row[0][:2]) + int(row[0][3:]) / 60 for row in rows]
    spans = [(after - now) % 24 for now, after in pairwise(hours)]
    total = sum(span * float(row[5]) for span, row in zip(spans, rows, strict=False)) / 1000.0
    final = night["energy"].isel(time=-1)
    free = float(final.sel(account="fire") + final.sel(account="unburnt")) / 3.6e6
    # Rounded to 10 W; and the load by the rule comes 18 s after its row's minute.
    assert total == pytest.approx(free, abs=0.005 * 14 + 5.0 * 18.0 / 3600.0)


def test_what_is_done_within_a_minute_shares_a_row(scenario: Scenario) -> None:
    loads = (
        fake_fire.Load(0.0, 2.0, 60.0),
        fake_fire.Load(150.2, 1.0, 60.0),
        fake_fire.Load(207.0, 1.0, 60.0),
    )
    rows = rows_of(hourly(scenario, fake_fire.night(loads=loads), "us"))
    clocks = [row[0] for row in rows]
    assert clocks.count("20:00") == 1 and "20:57" in clocks
    assert len(set(clocks)) == len(clocks)


def test_settings_of_a_heat_table_are_no_rows(tmp_path: Path) -> None:
    night = fake_night.night(minutes=5.0)
    clocks = [row[0] for row in rows_of(hourly(fake_night.scenario(tmp_path), night, "us"))]
    assert "18:30" not in clocks  # where the heat changes


def test_table_of_a_stove_in_the_open(yard: Scenario, burn: xr.Dataset) -> None:
    lines = hourly(yard, burn, "si")
    assert lines[0].split() == ["time", "outdoors", "stove", "flue", "pipe", "heat", "wood", "coals"]
    clocks = [row[0] for row in rows_of(lines)]
    assert clocks == ["17:30", "17:50", "18:00", "18:30", "19:00", "20:00", "20:30"]
    stove = curve(burn, "stove_temperature")
    (row,) = [row for row in rows_of(lines) if row[0] == "19:00"]
    assert int(row[2]) == round(stove.at(5400.0))
    assert not re.search(r"bed|rise|too cold|Levels", "\n".join(lines))


# The summary.


def test_summary_tells_every_load(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "si"))
    assert told["Wood used"].startswith(f"{sum(load.mass for load in fake_fire.LOADS):.1f} kg in 4 loads; ")
    loads = [text for label, text in told.items() if label.startswith("Load of ")]
    assert [text[:6] for text in loads] == ["2.4 kg", "3.2 kg", "1.0 kg", "1.1 kg"]
    assert [" by a rule" in text for text in loads] == [False, False, True, False]
    for text, load in zip(loads, burns(night), strict=True):
        assert load.flame is not None and load.coals_until is not None
        minutes = round(load.flame)
        shown = f"{minutes // 60} h {minutes % 60} min".removeprefix("0 h ")
        assert f"flames for {shown}" in text
        clock = load.coals_until - np.timedelta64(7, "h") + np.timedelta64(30, "s")
        assert f"coals relight until {str(clock)[11:16]}" in text
        assert text.endswith(
            f"at most {load.peak:.0f} W".replace(f"{load.peak:.0f}", str(round(load.peak, -1))[:-2])
        )


def test_summary_labels_the_assumption(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "us"))
    assert "an assumption from practice, not a law" in told["Coals that relight"]


def test_summary_says_when_a_load_is_cut_short(yard: Scenario, burn: xr.Dataset) -> None:
    told = paired(summary(yard, burn, "si"))
    assert "wood left at 17:50, coals still relight at 17:50" in told["Load of 17:30"]
    cold = burn.assign(relight_chance=burn["relight_chance"] * 0.1)
    assert "coals do not relight at 17:50" in paired(summary(yard, cold, "si"))["Load of 17:30"]


def test_a_load_that_does_not_catch_is_told(scenario: Scenario, night: xr.Dataset) -> None:
    what = night["event_what"].astype("<U60")
    what[1] = "load put on, does not catch: too few coals"
    cold = night.assign(event_what=what)
    assert paired(summary(scenario, cold, "si"))["Load of 21:20"].startswith(
        "3.2 kg, does not catch: too few coals, flames"
    )
    told = joined(hourly(scenario, cold, "si"))
    assert told["21:20"] == "load 3.2 kg put on, does not catch: too few coals"


def test_remarks_keep_numbers_with_what_they_count(scenario: Scenario, night: xr.Dataset) -> None:
    what = night["event_what"].astype("<U60")
    what[1] = "load put on, air to wide open (45 %)"  # as long as would break before the last sign
    lines = hourly(scenario, night.assign(event_what=what), "us")
    at = next(i for i, line in enumerate(lines) if line.startswith("21:20"))
    assert [line.strip() for line in lines[at + 1 : at + 3]] == ["air to wide open", "(45 %)"]


def test_summary_tells_together_what_was_fed_stick_by_stick(scenario: Scenario) -> None:
    sticks = [fake_fire.Load(15.0 * n, 0.4, 14.0) for n in range(6)]
    night = fake_fire.night(loads=(*sticks, fake_fire.Load(600.0, 1.0, 60.0)))
    told = paired(summary(scenario, night, "si"))
    assert [label for label in told if "oad" in label] == ["6 loads from 17:30", "Load of 03:30"]
    peak = max(load.peak for load in burns(night)[:6])
    last = burns(night)[5]
    assert told["6 loads from 17:30"].startswith("2.4 kg; after the last, at 18:45, flames for ")
    assert f"flames for {round(last.flame or 0.0)} min, coals relight until" in told["6 loads from 17:30"]
    assert told["6 loads from 17:30"].endswith(f"at most {int(round(peak, -1))} W")


def test_summary_tells_the_hottest(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "si"))["At the hottest"]
    for name in ("stove_temperature", "flue_gas_temperature", "pipe_temperature"):
        most = int(np.argmax(night[name].values))
        minute = (17 * 60 + 30 + 5 * most) % 1440
        assert f"{float(night[name][most]):.0f} degC at {minute // 60:02d}:{minute % 60:02d}" in told


@pytest.mark.parametrize(("kind", "where"), [("night", "to the shelter"), ("burn", "off stove and pipe")])
def test_the_woods_heat_is_the_ledgers(
    kind: str, where: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    dataset = request.getfixturevalue(kind)
    scenario = (fake_fire.scenario if kind == "night" else fake_fire.yard)(tmp_path)
    told = paired(summary(scenario, dataset, "si"))["The wood's heat"]
    final = dataset["energy"].isel(time=-1)
    whole = float(final.sel(account="fire"))
    # What came off the stove, summed up along its paths, against what the accounts leave over.
    flow = dataset["heat_flow"].sel(path=["stove_to_air", "stove_radiation"]).sum("path").values
    seconds = curve(dataset, "heat_release").seconds
    given = float(np.sum(0.5 * (flow[1:] + flow[:-1]) * np.diff(seconds)))
    assert f"{100.0 * given / whole:.0f} % {where}" in told
    lost = -float(final.sel(account="unburnt")) / whole
    assert f"{100.0 * lost:.0f} % lost unburnt" in told
    shares = [int(share) for share in re.findall(r"(\d+) %", told)]
    assert abs(sum(shares) - 100) <= len(shares) / 2


def test_summary_counts_water_boiled_off(scenario: Scenario, night: xr.Dataset) -> None:
    energy = night["energy"].rename(account="account").copy(deep=True)
    boiled = 0.1 * energy.sel(account="fire")
    energy = xr.concat([energy, (-boiled).assign_coords(account="boiling")], "account")
    told = paired(summary(scenario, night.drop_dims("account").assign(energy=energy), "si"))
    before = int(paired(summary(scenario, night, "si"))["The wood's heat"].split()[0])
    assert "10 % with water boiled off" in told["The wood's heat"]
    assert int(told["The wood's heat"].split()[0]) == pytest.approx(before - 10, abs=1)
    assert "with water boiled off on the stove" in told["Where the heat went"]


def test_every_account_has_its_words() -> None:
    always_gone, always_came = {"unburnt", "drying", "boiling"}, {"source", "people", "fire", "sun"}
    assert set(WENT) == set(schema.ACCOUNTS) - always_came
    assert set(CAME) == set(schema.ACCOUNTS) - always_gone


def test_summary_of_a_stove_in_the_open(yard: Scenario, burn: xr.Dataset) -> None:
    lines = summary(yard, burn, "us")
    assert max(map(len, lines)) <= 80
    told = paired(lines)
    assert not {"Coldest at the cot", "Usual range then", "Cot colder than asked"} & set(told)
    assert "from stove and pipe to the outdoors" in told["Where the heat went"]
    assert told["Heat used"].endswith("in the wood that burnt")
    assert heading(yard)[0].startswith("Paper yard, burn of 2031-02-14, 17:30 to 20:30.")


# The picture.


def drawn(scenario: Scenario, dataset: xr.Dataset, system: str = "us") -> figure.Figure:
    with mpl.rc_context(look.STYLE):
        picture = figure.draw(scenario, dataset, system)
        picture.canvas.draw()
    return picture


@pytest.mark.parametrize("kind", ["night", "burn"])
@pytest.mark.parametrize("system", ["us", "si"])
def test_picture_can_be_read_and_nothing_touches(
    kind: str, system: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: contrast at least 4.5 to 1.
    dataset = request.getfixturevalue(kind)
    scenario = (fake_fire.scenario if kind == "night" else fake_fire.yard)(tmp_path, "model.walls=1.2")
    picture = drawn(scenario, dataset, system)
    width, height = picture.canvas.get_width_height()
    boxes = []
    ticks = {
        id(label) for axes in picture.axes for label in (*axes.get_xticklabels(), *axes.get_yticklabels())
    }
    for text in texts_of(picture):
        box = Text.get_window_extent(text)
        ground = look.WARNING_FILL if text.get_text().startswith("Carbon") else "#ffffff"
        assert contrast(text.get_color(), ground) >= 4.5, text.get_text()
        assert text.get_fontsize() >= look.SMALLEST_TEXT
        assert box.x0 >= -1 and box.x1 <= width + 1, text.get_text()
        assert box.y0 >= -1 and box.y1 <= height + 1, text.get_text()
        if id(text) not in ticks:  # some of those are outside the view and not drawn
            boxes.append((text.get_text(), box))
    for (one, first), (other, second) in combinations(boxes, 2):
        assert not first.overlaps(second), (one, other)


def test_picture_marks_every_load(scenario: Scenario, night: xr.Dataset) -> None:
    strip = drawn(scenario, night).axes[1]
    loads, woken = (
        [hour for line in strip.lines if line.get_marker() == it for hour in line.get_xdata()] for it in "vD"
    )
    asked = [load.minute / 60.0 for load in fake_fire.LOADS]
    assert sorted([*loads, *woken]) == pytest.approx(asked)
    bed, rise = 4.0, 13.0  # hours from begin
    assert woken == pytest.approx([hour for hour in asked if bed < hour < rise])
    assert "\u25bc load  \u25c6 get up" in [text.get_text() for text in strip.texts]
    never = drawn(scenario.replace({"wish.bed": "none", "wish.rise": "none"}), night).axes[1]
    assert not [line for line in never.lines if line.get_marker() == "D"]
    assert "\u25bc load" in [text.get_text() for text in never.texts]


def test_picture_draws_wood_and_coals(scenario: Scenario, night: xr.Dataset) -> None:
    strip = drawn(scenario, night, "si").axes[2]
    wood, coals = (np.asarray(line.get_ydata(), dtype=float) for line in strip.lines[:2])
    mass = night["fuel_mass"]
    most = float(mass.sel(fuel_stage="coals").max())
    assert coals.max() == pytest.approx(5.0 * most)
    assert wood.max() == pytest.approx(3.2, abs=0.05)
    assert max(wood.max(), coals.max()) < strip.get_ylim()[1]
    told = [text.get_text() for text in strip.texts]
    assert told[0] == "wood, up to 3.2 kg"
    assert told[1] == f"coals x5, up to {most:.2f} kg"


def test_picture_of_a_stove_in_the_open(yard: Scenario, burn: xr.Dataset) -> None:
    picture = drawn(yard, burn, "si")
    names = [text.get_text().rsplit(" ", 1)[0] for text in picture.axes[0].texts]
    assert {"stove", "flue gas", "pipe", "outdoors"} <= set(names)
    labels = [tick.get_text() for tick in picture.axes[0].get_xticklabels()]
    assert labels == ["18", "19", "20"]
    told = " ".join(text.get_text() for text in texts_of(picture))
    assert "temperatures in degC" in told and "cot" not in told and "rise " not in told


def test_a_heat_tables_picture_has_one_strip_and_no_marks(tmp_path: Path) -> None:
    picture = drawn(fake_night.scenario(tmp_path), fake_night.night(minutes=5.0))
    assert len(picture.axes) == 2
    assert not [line for line in picture.axes[1].lines if line.get_marker() in ("v", "D")]
