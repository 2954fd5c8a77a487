"""The pictures of a night by heights: isotherms, profiles, and what opening a vent does."""

import re
from itertools import combinations, pairwise
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.text import Text

from simtent.assess.cautions import HEADLINE
from simtent.scenario.scenario import Scenario
from simtent.tell import frame, heights_picture, heights_vent, look
from simtent.tell.compared import Comparison, Other, felt_coldest, left_on_skin
from simtent.tell.heights_picture import Shown
from simtent.tell.isotherms import MOST_BANDS, boundaries
from simtent.tell.shades import even, to_lab
from simtent.tell.shades import to_rgb as from_lab
from simtent.units import System
from tests import fake_fire, fake_night
from tests.tell import heights_nights
from tests.test_tell import contrast, texts_of

MOMENTS = (Shown(3600.0, "head hottest"), Shown(12.0 * 3600.0, "cot coldest in bed"))
NUMBER = re.compile(r"-?\d+")


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return heights_nights.night()


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return heights_nights.scenario(tmp_path)


def drawn(scenario: Scenario, night: xr.Dataset, system: System = "us", moments=MOMENTS, more=()) -> Figure:
    with mpl.rc_context(look.STYLE):
        picture = heights_picture.draw(scenario, night, system, moments, more)
        picture.draw_without_rendering()
        return picture


def vents(scenario: Scenario, night: xr.Dataset, melted: bool = False) -> Comparison:
    nights = []
    for share in (0.0, 0.5, 1.0):
        other = night.copy(deep=True)
        other["operative_temperature"] = night["operative_temperature"] - 4.0 * share
        other["frost"] = night["frost"] * (1.5 - share)
        if not melted:
            other["condensate"] = 0.0 * night["condensate"]
        nights.append(Other(f"{100.0 * share:g} %", scenario, other, share, share == 0.5))
    return Comparison("ridge vent", tuple(nights))


def drawn_vent(comparison: Comparison, system: System = "si") -> Figure:
    with mpl.rc_context(look.STYLE):
        picture = heights_vent.draw(comparison, system)
        picture.draw_without_rendering()
        return picture


def boxes(texts: list[Text]) -> list[mpl.transforms.Bbox]:
    return [Text.get_window_extent(text) for text in texts]


def names(axes: Axes) -> list[str]:
    return [text.get_text() for text in axes.texts]


# Colours that are evenly apart.


def test_lightness_and_hue_of_known_colours() -> None:
    # White, black and red of sRGB in L*a*b* under D65: widely printed, from memory.
    assert to_lab(np.array([1.0, 1.0, 1.0])) == pytest.approx([100.0, 0.0, 0.0], abs=0.02)
    assert to_lab(np.array([0.0, 0.0, 0.0])) == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
    assert to_lab(np.array([1.0, 0.0, 0.0])) == pytest.approx([53.24, 80.09, 67.20], abs=0.03)


@pytest.mark.parametrize("colour", ["#d3e8f8", "#d8753b", "#1d2327", "#00ff00"])
def test_colours_come_back(colour: str) -> None:
    assert from_lab(to_lab(np.array(to_rgb(colour)))) == pytest.approx(to_rgb(colour), abs=1e-6)


@pytest.mark.parametrize("count", range(2, MOST_BANDS + 1))
def test_isotherms_colours_are_even_and_darken_with_warmth(count: int) -> None:
    colours = even(look.ISOTHERMS, count)
    lab = [to_lab(np.array(to_rgb(colour))) for colour in colours]
    steps = [float(np.linalg.norm(after - before)) for before, after in pairwise(lab)]
    assert len(colours) == count
    if count > 3:  # of few, a step cuts the corner where the path turns
        assert max(steps) < 1.15 * min(steps)
    assert min(steps) > 5.0  # a difference that anyone sees; 2.3 is just noticeable, from memory
    assert all(after[0] < before[0] for before, after in pairwise(lab))  # told apart without any hue
    assert min(contrast(look.INK, colour) for colour in colours) > 4.5  # numbers stand on every one of them


# Isotherms.


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("scale", [0.02, 0.3, 1.0, 3.0])
def test_isotherms_are_whole_steps_around_the_air(night: xr.Dataset, system: System, scale: float) -> None:
    air = scale * night["air_temperature"]
    levels = boundaries(night.assign(air_temperature=air), system)
    shown = air.values if system == "si" else air.values * 1.8 + 32.0
    assert levels[0] <= shown.min() + 1e-9 and levels[-1] >= shown.max() - 1e-9
    assert 2 <= levels.size <= MOST_BANDS + 1
    assert np.diff(levels) == pytest.approx(levels[1] - levels[0])
    assert np.abs(levels / (levels[1] - levels[0]) - np.round(levels / (levels[1] - levels[0]))).max() < 1e-9


@pytest.mark.parametrize("system", ["us", "si"])
def test_every_number_stands_where_the_air_has_that_temperature(
    scenario: Scenario, night: xr.Dataset, system: System
) -> None:
    axes = drawn(scenario, night, system).axes[0]
    found = [text for text in axes.texts if NUMBER.fullmatch(text.get_text())]
    levels = boundaries(night, system)
    assert {float(text.get_text()) for text in found} >= set(levels[2:-2])
    right, top = axes.get_xlim()[1], axes.get_ylim()[1]
    for text in found:
        x, y = text.get_position()
        row = [
            np.interp(x * right, np.arange(169) / 12.0, column)
            for column in night["air_temperature"].values.T
        ]
        celsius = float(np.interp(y * top, fake_night.HEIGHTS, row))
        there = celsius if system == "si" else celsius * 1.8 + 32.0
        assert there == pytest.approx(float(text.get_text()), abs=0.15 * float(levels[1] - levels[0]))


def numbers(picture: Figure) -> list[mpl.transforms.Bbox]:
    return boxes([text for text in picture.axes[0].texts if NUMBER.fullmatch(text.get_text())])


def test_numbers_do_not_touch_each_other(scenario: Scenario, night: xr.Dataset) -> None:
    found = numbers(drawn(scenario, night))
    assert len(found) > 4
    assert not any(one.overlaps(other) for one, other in combinations(found, 2))


def test_numbers_of_a_sudden_warmth_do_not_touch_either(scenario: Scenario, night: xr.Dataset) -> None:
    hours, heights = np.arange(169)[:, None] / 12.0, fake_night.HEIGHTS
    front = 40.0 / (1.0 + np.exp(-12.0 * (hours - 6.0))) * (0.95 + 0.05 * heights)
    found = numbers(drawn(scenario, night.assign(air_temperature=(("time", "height"), front))))
    assert len(found) > 4
    assert not any(one.overlaps(other) for one, other in combinations(found, 2))


def test_air_of_one_temperature_is_drawn_all_the_same(scenario: Scenario, night: xr.Dataset) -> None:
    still = night.assign(air_temperature=0.0 * night["air_temperature"] + 5.0)
    assert drawn(scenario, still).axes[0].get_xlim() == (0.0, 14.0)


# What stands around them.


def test_levels_and_compared_cots_are_named_at_their_heights(scenario: Scenario, night: xr.Dataset) -> None:
    axes = drawn(scenario, night, "si", more=(0.46, 0.25, 0.7)).axes[0]
    found = {text.get_text(): text.xy[1] for text in axes.texts if hasattr(text, "xy")}
    heights = dict(fake_night.LEVELS) | {"cot 0.25": 0.25, "cot 0.7": 0.7}
    assert {name: found[name] for name in heights} == pytest.approx(heights)
    assert not [name for name in found if name.startswith("cot 0.46")]  # it is the cot's own
    marked = boxes([text for text in axes.texts if text.get_text() in heights])
    assert not any(one.overlaps(other) for one, other in combinations(marked, 2))


def test_letters_mark_the_times_of_the_profiles(scenario: Scenario, night: xr.Dataset) -> None:
    picture = drawn(scenario, night)
    letters = {
        text.get_text(): text.xy[0] for text in picture.axes[0].texts if text.get_text() in ("A", "B", "C")
    }
    assert letters == {"A": 1.0, "B": 12.0}
    heads = [text.get_text() for text in picture.texts]
    assert "A  18:30" in heads and "B  05:30" in heads
    assert "head hottest" in heads and "cot coldest in bed" in heads


def test_letters_of_near_times_keep_apart(scenario: Scenario, night: xr.Dataset) -> None:
    for hours in ((6.0, 6.0, 6.2), (1.0, 1.9, 2.8)):
        picture = drawn(scenario, night, moments=[Shown(3600.0 * hour) for hour in hours])
        found = boxes([text for text in picture.axes[0].texts if text.get_text() in ("A", "B")])
        assert len(found) == 2 and not found[0].overlaps(found[1])


@pytest.mark.parametrize("system", ["us", "si"])
def test_profiles_are_the_datasets(scenario: Scenario, night: xr.Dataset, system: System) -> None:
    picture = drawn(scenario, night, system)
    for axes, index in zip(picture.axes[2:], (12, 144), strict=True):
        lines = {line.get_color(): line for line in axes.lines}
        for colour, name in (
            (look.AIR_LINE, "air_temperature"),
            (look.FELT_LINE, "felt_temperature"),
            (look.DEW_LINE, "dew_point"),
        ):
            values = night[name].values[index]
            shown = values if system == "si" else values * 1.8 + 32.0
            assert lines[colour].get_xdata()[1:-1] == pytest.approx(shown)
            assert lines[colour].get_ydata()[1:-1] == pytest.approx(fake_night.HEIGHTS)
        assert axes.get_xlim() == picture.axes[2].get_xlim()


def test_lines_are_named_once_and_without_damp_there_is_no_dew_point(
    scenario: Scenario, night: xr.Dataset
) -> None:
    words = [name for axes in drawn(scenario, night).axes[2:] for name in names(axes)]
    assert sorted(word for word in words if word in ("air", "felt", "dew point")) == [
        "air",
        "dew point",
        "felt",
    ]
    words = [name for axes in drawn(scenario, fake_night.night(5.0)).axes[2:] for name in names(axes)]
    assert "dew point" not in words and "felt" in words


@pytest.mark.parametrize("count", [1, 2, 3])
def test_ticks_of_neighbouring_profiles_keep_apart(scenario: Scenario, night: xr.Dataset, count: int) -> None:
    moments = [Shown(3600.0 * hour) for hour in (2, 6, 11)][:count]
    picture = drawn(scenario, night, "si", moments)
    ticks = [label for axes in picture.axes[2:] for label in axes.get_xticklabels() if label.get_text()]
    left, right = picture.axes[2].get_window_extent().x0, picture.axes[-1].get_window_extent().x1
    there = [box for box in boxes(ticks) if left - 9.0 < 0.5 * (box.x0 + box.x1) < right + 9.0]
    assert not any(one.overlaps(other) for one, other in combinations(there, 2))


def test_loads_stand_along_the_bottom(tmp_path: Path) -> None:
    fire = fake_fire.night(5.0)
    picture = drawn(fake_fire.scenario(tmp_path), fire)
    marks = [
        hour for line in picture.axes[1].lines if line.get_marker() in ("v", "D") for hour in line.get_xdata()
    ]
    assert sorted(marks) == pytest.approx([load.minute / 60.0 for load in fake_fire.LOADS])


# Both pictures.


@pytest.mark.parametrize("which", ["heights", "vent"])
@pytest.mark.parametrize("system", ["us", "si"])
def test_words_are_large_dark_and_inside(
    tmp_path: Path, night: xr.Dataset, which: str, system: System
) -> None:
    long = fake_night.scenario(tmp_path, 'name="A long name for a camp that we made up, by a brook worth $5"')
    picture = (
        drawn(
            long, night.assign_coords(level=["head", "drying line", "cot", "floor"]), system, more=(0.2, 0.3)
        )
        if which == "heights"
        else drawn_vent(vents(long, night), system)
    )
    width, height = picture.canvas.get_width_height()
    found = texts_of(picture)
    for text in found:
        box = Text.get_window_extent(text)
        assert text.get_size() >= look.SMALLEST_TEXT
        if text.get_visible() and box.width < width:
            assert box.x0 > -1.0 and box.x1 < width + 1.0 and box.y0 > -1.0 and box.y1 < height + 1.0, text
        assert contrast(mpl.colors.to_hex(text.get_color()), "#ffffff") > 4.5
    headline = [text for text in found if text.get_text().startswith(HEADLINE[0])]
    assert Text.get_window_extent(headline[0]).y1 == max(Text.get_window_extent(text).y1 for text in found)
    assert any("Calculated, not measured." in text.get_text() for text in found)


def test_the_pictures_say_whose_they_are(scenario: Scenario, night: xr.Dataset, tmp_path: Path) -> None:
    for data in (
        heights_picture.to_bytes(scenario, night, "us", MOMENTS),
        heights_vent.to_bytes(vents(scenario, night), "us"),
    ):
        (tmp_path / "picture.png").write_bytes(data)
        assert frame.scenario_of(tmp_path / "picture.png") == "Paper bench"


# The vent.


def test_a_vents_picture_shows_warmth_and_water(scenario: Scenario, night: xr.Dataset) -> None:
    given = vents(scenario, night)
    upper, lower = drawn_vent(given).axes
    assert [label.get_text() for label in upper.get_xticklabels()] == ["0 %", "50 %\nfile", "100 %"]
    felt = [felt_coldest(it) for it in given.nights]
    assert names(upper) == [f"{value:.0f}" for value in felt]
    grams = [1000.0 * sum(left_on_skin(it).values()) for it in given.nights]
    assert names(lower)[:3] == [f"{value:.0f}" for value in grams]
    assert "all of it frost" in names(lower)
    points = next(line for line in lower.lines if len(line.get_xdata()) == 3)
    assert list(points.get_xdata()) == [0.0, 50.0, 100.0] and list(points.get_ydata()) == pytest.approx(grams)


def test_frost_stands_apart_from_liquid_water(scenario: Scenario, night: xr.Dataset) -> None:
    lower = drawn_vent(vents(scenario, night, melted=True)).axes[1]
    assert "dashed: of it frost" in names(lower)


def test_temperatures_that_would_read_alike_get_a_decimal(scenario: Scenario, night: xr.Dataset) -> None:
    given = vents(scenario, night)
    close = [
        it.dataset.assign(operative_temperature=night["operative_temperature"] - 0.1 * k)
        for k, it in enumerate(given.nights)
    ]
    alike = Comparison(
        "ridge vent",
        tuple(
            Other(it.words, it.scenario, data, it.value, it.given)
            for it, data in zip(given.nights, close, strict=True)
        ),
    )
    assert all(re.fullmatch(r"-?\d+\.\d", name) for name in names(drawn_vent(alike).axes[0]))


def test_a_vents_picture_without_damp_says_so(scenario: Scenario) -> None:
    dry = fake_night.night(5.0)
    nights = tuple(
        Other(f"{share:g} %", scenario, dry, share / 100.0, share == 50.0) for share in (0.0, 50.0)
    )
    assert "damp is not counted" in names(drawn_vent(Comparison("low vent", nights)).axes[1])
