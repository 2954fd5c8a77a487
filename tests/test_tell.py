"""Words, hourly table, summary and picture of a night."""

import re
import sys
import unicodedata
from datetime import datetime
from itertools import combinations, pairwise
from math import erf, sqrt
from pathlib import Path
from subprocess import run

import matplotlib as mpl
import numpy as np
import pint
import pytest
import xarray as xr
from matplotlib.colors import to_rgb
from matplotlib.text import Text
from PIL import Image

from simtent import files
from simtent.assess.cautions import HEADLINE
from simtent.assess.curves import Curve, curve
from simtent.assess.moments import clock, duration, full_hours, local
from simtent.scenario.scenario import Scenario
from simtent.tell import figure, frame, look, placing, words
from simtent.tell.summary import heading, summary
from simtent.tell.table import hourly
from tests import fake_night

SYSTEMS = ("us", "si")


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return fake_night.night()


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_night.scenario(tmp_path)


def paired(lines: list[str]) -> dict[str, str]:
    """The summary by its labels."""
    found: dict[str, str] = {}
    for line in lines:
        label, text = line[:25].strip(), line[25:]
        if label:
            found[label] = text
        else:
            found[list(found)[-1]] += f" {text}"
    return found


# Curves, against closed forms.


def test_time_above_a_limit_on_a_triangle() -> None:
    # Up from 0 to 10 in 100 s and down again: above the share s of its height for (1 - s) of the time.
    triangle = Curve(np.array([0.0, 100.0, 200.0]), np.array([0.0, 10.0, 0.0]))
    for limit in (0.0, 2.5, 9.0, 10.0):
        assert triangle.time_above(limit) == pytest.approx(200.0 * (1.0 - limit / 10.0), abs=1e-12)
        assert triangle.time_below(limit) == pytest.approx(200.0 * limit / 10.0, abs=1e-12)


def test_time_above_a_limit_on_a_sine() -> None:
    # sin x > 1/2 for a third of its period.
    x = np.linspace(0.0, 2.0 * np.pi, 2001)
    assert Curve(x, np.sin(x)).time_above(0.5) == pytest.approx(2.0 * np.pi / 3.0, abs=1e-5)


def test_a_curve_at_the_limit_is_neither_above_nor_below() -> None:
    flat = Curve(np.array([0.0, 60.0]), np.array([5.0, 5.0]))
    assert flat.time_above(5.0) == 0.0
    assert flat.time_below(5.0) == 0.0


def test_part_of_a_curve_keeps_its_values() -> None:
    part = Curve(np.array([0.0, 10.0, 20.0]), np.array([0.0, 1.0, 4.0])).between(5.0, 15.0)
    assert part.seconds.tolist() == [5.0, 10.0, 15.0]
    assert part.values.tolist() == [0.5, 1.0, 2.5]
    assert part.lowest() == (5.0, 0.5)
    assert part.highest() == (15.0, 2.5)


# Words.


@pytest.mark.parametrize("celsius", [-40.0, -17.7, 0.0, 4.4, 35.0])
def test_degrees_agree_with_pint(celsius: float) -> None:
    ureg = pint.UnitRegistry()
    fahrenheit = ureg.Quantity(celsius, "degC").to("degF").magnitude
    assert words.degrees(celsius, "us") == f"{fahrenheit:.0f} degF".replace("-0 ", "0 ")
    assert words.degrees(celsius, "si") == f"{celsius:.0f} degC"


def test_nothing_is_shown_as_minus_nought() -> None:
    assert words.degrees(-0.2, "si") == "0 degC"
    assert words.whole(-0.2) == "0"


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0.0, "0 min"), (20.0, "under 1 min"), (2400.0, "40 min"), (3600.0, "1 h"), (11400.0, "3 h 10 min")],
)
def test_durations(seconds: float, text: str) -> None:
    assert duration(seconds) == text


def test_numbers_stay_with_what_they_count() -> None:
    lines = words.paragraph("word " * 14 + "then 22 kWh and 4 % of it", rest="    ")
    assert max(map(len, lines)) <= 80
    assert not [line for line in lines if re.search(r"\d$", line)]


def test_the_clock_is_the_camps_where_clocks_go_forward(tmp_path: Path) -> None:
    # Directive 2000/84/EC: summer time begins at 01:00 UTC on the last Sunday of March, 30 March in 2031.
    scenario = fake_night.scenario(tmp_path, 'night.evening="2031-03-29"', 'night.zone="Europe/Berlin"')
    shown = [clock(scenario.night, m) for m in full_hours(scenario.night)]
    assert shown[:2] == ["18:00", "19:00"] and shown[-1] == "07:00"
    assert "02:00" not in shown
    assert len(shown) == 13
    assert local(scenario.night, 0.0).utcoffset() != local(scenario.night, 4e4).utcoffset()


def test_the_clock_is_the_camps_where_clocks_go_back(tmp_path: Path) -> None:
    # Directive 2000/84/EC: it ends at 01:00 UTC on the last Sunday of October, 26 October in 2031.
    scenario = fake_night.scenario(tmp_path, 'night.evening="2031-10-25"', 'night.zone="Europe/Berlin"')
    shown = [clock(scenario.night, m) for m in full_hours(scenario.night)]
    assert shown.count("02:00") == 2


# The hourly table.


def rows_of(lines: list[str]) -> list[list[str]]:
    return [line.split() for line in lines if re.match(r"\d\d:\d\d", line)]


@pytest.mark.parametrize("system", SYSTEMS)
def test_table_rows_are_the_curves(scenario: Scenario, night: xr.Dataset, system: words.System) -> None:
    lines = hourly(scenario, night, system)
    assert max(map(len, lines)) <= 80
    assert lines[0].split() == ["time", "outdoors", "floor", "cot", "waist", "head", "heat"]
    rows = rows_of(lines)
    assert [row[0] for row in rows[:6]] == ["17:30", "18:00", "19:00", "20:00", "21:00", "21:30"]
    assert rows[-1][0] == "07:30"
    cot = curve(night, "level_temperature", level="cot")
    for row in rows:
        clock = datetime.strptime(row[0], "%H:%M")
        seconds = ((clock.hour - 17) * 3600 + (clock.minute - 30) * 60) % 86400
        assert int(row[3]) == round(words.degree_number(cot.at(seconds), system))


def test_table_heat_adds_up_to_the_heat_used(scenario: Scenario, night: xr.Dataset) -> None:
    lines = hourly(scenario, night, "si")
    rows = rows_of(lines)
    hours = [int(row[0][:2]) + int(row[0][3:]) / 60 for row in rows]
    spans = [(after - now) % 24 for now, after in pairwise(hours)]
    total = sum(span * float(row[6]) for span, row in zip(spans, rows, strict=False)) / 1000.0
    used = float(night["energy"].sel(account="source")[-1]) / 3.6e6
    assert total == pytest.approx(used, abs=0.005 * 14)  # each row is rounded to 10 W


def test_table_marks_what_was_not_as_asked(scenario: Scenario, night: xr.Dataset) -> None:
    lines = {line[:5]: line for line in hourly(scenario, night, "us")}
    assert lines["21:30"].endswith("bed")
    assert lines["05:00"].endswith("cot too cold")
    assert "cot too cold" not in lines["20:00"] and "cot too cold" not in lines["07:30"]
    hot = scenario.replace("wish.head_at_most", "50 degF")
    assert {"18:00", "19:00"} <= {row[:5] for row in hourly(hot, night, "us") if row.endswith("head too hot")}


def test_levels_without_room_are_named_below_the_table(scenario: Scenario, night: xr.Dataset) -> None:
    renamed = night.assign_coords(level=["head", "middle of the drying line", "cot", "floor"])
    lines = hourly(scenario, renamed, "us")
    assert max(map(len, lines)) <= 80
    assert lines[0].split() == ["time", "outdoors", "floor", "cot", "head", "heat"]
    assert " ".join(lines).endswith("Levels only in the file: middle of the drying line.")


# The summary.


@pytest.mark.parametrize("system", SYSTEMS)
def test_summary_tells_the_cots_coldest_moment(
    scenario: Scenario, night: xr.Dataset, system: words.System
) -> None:
    told = paired(summary(scenario, night, system))
    inside = night.isel(time=slice(4 * 60, 13 * 60 + 1)).sel(level="cot")  # 21:30 to 06:30, a value a minute
    coldest = inside.isel(time=int(np.argmin(inside["level_temperature"].values)))
    at = (int((coldest["time"].values - fake_night.BEGIN) / np.timedelta64(1, "m")) + 17 * 60 + 30) % 1440
    expected = words.degrees(float(coldest["level_temperature"]), system)
    assert told["Coldest at the cot"].startswith(f"{expected} at {at // 60:02d}:{at % 60:02d}")
    low = words.degrees(float(coldest["level_temperature_low"]), system)
    high = words.degrees(float(coldest["level_temperature_high"]), system)
    assert told["Usual range then"].startswith(f"{low} to {high}: two nights in three, from ")


def test_summary_says_what_the_range_counts_and_what_not(scenario: Scenario, night: xr.Dataset) -> None:
    # Two in three: a normal distribution lies within one standard deviation with 0.683 (closed form, erf).
    assert erf(sqrt(0.5)) == pytest.approx(2.0 / 3.0, abs=0.02)
    for given in (scenario, scenario.replace("outdoors.spread", "4 degF")):
        text = paired(summary(given, night, "us"))["Usual range then"]
        labels = [prior.label for prior in given.priors()]
        assert f"from {', '.join(labels)}; plumes and currents are not counted" in text
    assert "forecast" in text


def test_summary_says_what_the_checked_sums_are_worth(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night.assign_attrs(energy_residual=3.2e-9), "us"))
    assert told["Sums checked"] == "heat in and out agree to 3e-09: that checks the sums, not the model"
    assert not [label for label in told if "ccounts" in label]


def test_heading_says_which_night_it_is(scenario: Scenario) -> None:
    assert " ".join(heading(scenario)) == (
        "Paper bench, night of 2031-02-14, 17:30 to 07:30. Invented scenario: it describes no real camp."
    )
    real = scenario.replace("invented", False)
    first, *changed = heading(real)
    assert first == "Paper bench, night of 2031-02-14, 17:30 to 07:30."
    assert changed == ["Changed from the file: invented = false"]


def test_heading_keeps_to_the_width_of_the_screen(scenario: Scenario) -> None:
    long = scenario.replace({"name": "Long " * 20, "shelter.skin.wall": ["10 oz/yd2 cotton canvas"] * 4})
    lines = heading(long)
    assert max(map(len, lines)) <= 80
    for change in long.changes:
        assert f"Changed from the file: {change}" in " ".join(lines)


def test_summary_counts_hours_against_the_wishes(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "us"))
    inside = night["level_temperature"].sel(level="cot").isel(time=slice(4 * 60, 13 * 60 + 1))
    minutes = int((inside < (40.0 - 32.0) / 1.8).sum())
    hours, rest = re.match(r"(?:(\d+) h)? ?(?:(\d+) min)?", told["Cot colder than asked"]).groups()  # type: ignore[union-attr]
    assert abs(60 * int(hours or 0) + int(rest or 0) - minutes) <= 1
    assert told["Cot colder than asked"].endswith("of 9 h below 40 degF")
    assert told["Head hotter than asked"].endswith("above 95 degF before 21:30")
    assert told["Cot at 06:30"].endswith("asked for 50 degF")


def test_summary_shares_are_the_ledgers(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "si"))
    final = night["energy"].isel(time=-1)
    income = float(final.sel(account="source") + final.sel(account="people"))
    assert told["Heat used"].startswith(f"{float(final.sel(account='source')) / 3.6e6:.1f} kWh")
    shares = re.findall(
        r"(\d+) % (through the skin to the outdoor air|with leaking air)", told["Where the heat went"]
    )
    expected = {"outside_convection": shares[0][0], "leakage": shares[1][0]}
    for account, share in expected.items():
        assert round(-100 * float(final.sel(account=account)) / income) == int(share)
    every = [int(share) for share in re.findall(r"(\d+) %", told["Where the heat went"])]
    assert abs(sum(every) - 100) <= len(every)


def test_summary_books_what_cools_as_income(scenario: Scenario, night: xr.Dataset) -> None:
    energy = night["energy"].copy(deep=True)
    energy.loc[{"account": "stored_ground"}] *= -1.0
    energy.loc[{"account": "leakage"}] -= 2.0 * night["energy"].sel(account="stored_ground")
    told = paired(summary(scenario, night.assign(energy=energy), "us"))
    assert "floor and ground as they cooled" in told["Where heat came from"]
    assert "into floor and ground" not in told["Where the heat went"]


def test_summary_without_wishes_looks_at_the_whole_night(tmp_path: Path, night: xr.Dataset) -> None:
    names = ("bed", "rise", "cot_at_least", "head_at_most", "cot_at_rise")
    bare = fake_night.scenario(tmp_path, *(f'wish.{name}="none"' for name in names))
    lines = summary(bare, night.drop_vars(["level_temperature_low", "level_temperature_high"]), "us")
    told = paired(lines)
    assert "from 17:30 to 07:30" in told["Coldest at the cot"]
    assert not {"Usual range then", "Cot colder than asked", "Head hotter than asked"} & set(told)
    assert max(map(len, lines)) <= 80


# Places for words.


def test_places_far_apart_stay_and_close_ones_part_about_their_middle() -> None:
    assert placing.apart([1.0, 5.0, 9.0], 1.0, 100.0) == [1.0, 5.0, 9.0]
    assert placing.apart([5.0, 5.0], 1.0, 100.0) == [4.5, 5.5]
    assert placing.apart([5.2, 5.0, 20.0], 1.0, 100.0) == pytest.approx([5.6, 4.6, 20.0])
    assert placing.apart([9.9, 10.0], 1.0, 10.0) == [9.0, 10.0]


def test_words_go_to_the_nearest_free_place() -> None:
    x = np.linspace(0.0, 1.0, 200)
    floor = placing.Trace(x, np.full(200, 0.5))
    wall = placing.Trace(x[100:], np.full(100, 0.56))
    size = (0.2, 0.04)
    left, height = placing.nearest_free([floor, wall], (0.8, 0.5), size, 1.0)
    assert height < 0.5 - 0.5 * size[1]  # above, the other trace is in the way
    assert abs(left - 0.8) < 0.05
    blocked = [placing.Trace(x, np.full(200, share)) for share in np.linspace(0.0, 0.8, 30)]
    assert placing.nearest_free(blocked, (0.8, 0.1), size, 1.0)[1] > 0.82


def test_words_move_along_their_line_to_where_no_other_passes() -> None:
    x = np.linspace(0.0, 1.0, 200)
    falling = placing.Trace(x, 1.0 - x)
    places = np.linspace(0.1, 0.9, 9)
    assert placing.clearest([falling], places, np.full(9, 0.9), (0.1, 0.04)) == 8


# The picture.


def drawn(scenario: Scenario, night: xr.Dataset, system: words.System = "us") -> figure.Figure:
    with mpl.rc_context(look.STYLE):
        picture = figure.draw(scenario, night, system)
        picture.canvas.draw()
    return picture


def texts_of(picture: figure.Figure) -> list[Text]:
    found = [item for item in picture.findobj(Text) if item.get_visible() and item.get_text().strip()]
    return [item for item in found if Text.get_window_extent(item).width > 0]


def luminance(colour: str) -> float:
    channels = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return float(np.dot(channels, (0.2126, 0.7152, 0.0722)))


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula() -> None:
    # W3C, Web Content Accessibility Guidelines 2.2: contrast of black and white is 21 to 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


def test_every_text_can_be_read_on_a_phone(scenario: Scenario, night: xr.Dataset) -> None:
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: contrast at least 4.5 to 1.
    # Text of at least 11 points on a screen 390 points wide: common practice, no source.
    picture = drawn(scenario, night)
    points = 390.0 / (look.WIDTH * 72.0)
    for text in texts_of(picture):
        ground = look.WARNING_FILL if text.get_text().startswith(HEADLINE[0]) else "#ffffff"
        assert contrast(text.get_color(), ground) >= 4.5, text.get_text()
        assert text.get_fontsize() * points >= 10.8, text.get_text()


def beside(picture: figure.Figure) -> list[Text]:
    """The names beside the lines' ends."""
    return [
        text
        for text in texts_of(picture)
        if re.match(r"(head|waist|cot|floor|outdoors) -?\d+$", text.get_text())
    ]


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_line_is_named_beside_it_and_nothing_touches(
    scenario: Scenario, night: xr.Dataset, system: words.System
) -> None:
    picture = drawn(scenario, night, system)
    names = beside(picture)
    assert {text.get_text().split()[0] for text in names} == {"head", "waist", "cot", "floor", "outdoors"}
    assert not picture.legends and not any(axes.get_legend() for axes in picture.axes)
    boxes = [Text.get_window_extent(text) for text in names]
    for one, other in combinations(boxes, 2):
        assert not one.overlaps(other)


@pytest.mark.parametrize("shift", [0.0, 6.0, 11.0])
def test_the_coldest_moments_words_cover_no_line(scenario: Scenario, night: xr.Dataset, shift: float) -> None:
    picture = drawn(scenario, night.assign(outdoor_temperature=night["outdoor_temperature"] + shift))
    (words_,) = [text for text in texts_of(picture) if re.fullmatch(r"-?\d+ degF at 05:30", text.get_text())]
    box = Text.get_window_extent(words_)
    for line in picture.axes[0].lines[:5]:
        points = picture.axes[0].transData.transform(np.asarray(line.get_xydata()))
        inside = points[(points[:, 0] > box.x0) & (points[:, 0] < box.x1)]
        assert not ((inside[:, 1] > box.y0) & (inside[:, 1] < box.y1)).any()


def test_a_wish_far_above_is_told_without_squeezing_the_lines(scenario: Scenario, night: xr.Dataset) -> None:
    far = drawn(scenario.replace("wish.head_at_most", "135 degF"), night)
    assert "head at most 135, above this chart" in [text.get_text() for text in texts_of(far)]
    assert far.axes[0].get_ylim()[1] < 110.0


def test_names_keep_apart_where_lines_end_together(scenario: Scenario, night: xr.Dataset) -> None:
    flat = night.assign(level_temperature=night["level_temperature"] * 0.0 + night["outdoor_temperature"])
    boxes = [Text.get_window_extent(text) for text in beside(drawn(scenario, flat))]
    assert len(boxes) == 5
    assert not any(one.overlaps(other) for one, other in combinations(boxes, 2))


def test_everything_is_inside_the_picture(tmp_path: Path, night: xr.Dataset) -> None:
    long = fake_night.scenario(tmp_path, 'name="A long name for a camp that we made up, by a brook worth $5"')
    picture = drawn(long, night.assign_coords(level=["head", "drying line", "cot", "floor"]))
    width, height = picture.canvas.get_width_height()
    for text in texts_of(picture):
        box = Text.get_window_extent(text)
        assert box.x0 >= -1 and box.x1 <= width + 1, text.get_text()
        assert box.y0 >= -1 and box.y1 <= height + 1, text.get_text()


def test_caution_stands_on_top_and_the_kind_of_thing_below(scenario: Scenario, night: xr.Dataset) -> None:
    told = sorted(texts_of(drawn(scenario, night)), key=lambda text: -Text.get_window_extent(text).y1)
    assert told[0].get_text() == "\n".join(HEADLINE)
    assert "Invented scenario" in told[-1].get_text()
    real = scenario.replace("invented", False)
    assert "Invented" not in " ".join(text.get_text() for text in texts_of(drawn(real, night)))


def test_picture_file_is_whole_and_says_whose_it_is(
    scenario: Scenario, night: xr.Dataset, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "paper.night.png"
    files.write_all({path: figure.to_bytes(scenario, night, "us")})
    with Image.open(path) as image:
        assert image.size[0] == 1170  # three pixels to a phone's point
    assert frame.scenario_of(path) == "Paper bench"
    before = path.read_bytes()

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        files.write_all({path: figure.to_bytes(scenario, night, "si")})
    assert path.read_bytes() == before
    assert sorted(file.name for file in tmp_path.iterdir()) == ["paper.night.png", "paper.toml"]


def test_a_name_that_the_font_lacks_is_drawn_without_a_warning(scenario: Scenario, night: xr.Dataset) -> None:
    name = unicodedata.lookup("TAMIL LETTER A") * 3  # warnings are errors here
    assert figure.to_bytes(scenario.replace("name", name), night, "us").startswith(b"\x89PNG")


def test_picture_says_what_was_changed_from_the_file(scenario: Scenario, night: xr.Dataset) -> None:
    def footing(given: Scenario) -> str:
        told = [text.get_text() for text in texts_of(drawn(given, night)) if "Changed" in text.get_text()]
        return told[0].splitlines()[-1] if told else ""

    assert footing(scenario) == ""
    changed = scenario.replace("model.walls", 1.2)
    assert footing(changed) == "Changed: model.walls = 1.2"
    many = footing(changed.replace({"outdoors.wind": "3 m/s", "wish.bed": "21:00", "model.layers": 20}))
    assert many.startswith("Changed: ") and many.endswith(" ...")


def test_the_longest_name_and_many_changes_stay_inside_and_apart(
    scenario: Scenario, night: xr.Dataset
) -> None:
    changed = scenario.replace(
        {"name": "Wide " * 19 + "camp", "model.walls": 1.2, "outdoors.wind": "3 m/s", "wish.bed": "21:00"}
    )
    picture = drawn(changed, night)
    width, height = picture.canvas.get_width_height()
    boxes = {text.get_text(): Text.get_window_extent(text) for text in texts_of(picture)}
    for text, box in boxes.items():
        assert box.x0 >= -1 and box.x1 <= width + 1, text
        assert box.y0 >= -1 and box.y1 <= height + 1, text
    (foot,) = [box for text, box in boxes.items() if "Changed" in text]
    assert not [text for text, box in boxes.items() if box is not foot and box.overlaps(foot)]


def test_other_files_are_nobodys(tmp_path: Path) -> None:
    text, picture = tmp_path / "a.png", tmp_path / "b.png"
    text.write_text("no picture")
    Image.new("RGB", (2, 2)).save(picture)
    assert frame.scenario_of(text) is None
    assert frame.scenario_of(picture) is None


def test_drawing_leaves_pyplot_alone() -> None:
    code = "import sys; import simtent.tell.figure; sys.exit('matplotlib.pyplot' in sys.modules)"
    assert run([sys.executable, "-c", code], check=False).returncode == 0
