"""The air of a night in words, and the picture of it at a chosen time."""

import re
from itertools import combinations, pairwise
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
import xarray as xr
from matplotlib.colors import to_hex, to_rgb
from matplotlib.patches import Polygon, Rectangle
from matplotlib.text import Annotation, Text

from simtent.assess.air import edges_of, name_and_side, neutral_height
from simtent.assess.cautions import HEADLINE
from simtent.scenario.scenario import Scenario
from simtent.tell import flows, frame, look
from simtent.tell.streams import WIDEST, streams_of
from simtent.tell.summary import summary
from simtent.tell.ways import ways_of
from simtent.tell.words import air_flow, two_figures
from tests import fake_fire, fake_night
from tests.test_tell import contrast, luminance, paired, texts_of

# kg/s of a standard cubic foot a minute, 0.075 lb: ASHRAE Handbook, Fundamentals, from memory; the pound NIST SP 811.
SCFM = 0.075 * 0.45359237 / 60.0
HOUR = 3600.0
NONE = ("length", "width", "height")
SHAPES: dict[str, tuple[str, ...]] = {
    "box": (),
    "bell": (
        'shelter.shape="bell"',
        'shelter.diameter="4 m"',
        'shelter.wall="80 cm"',
        'shelter.peak="2.4 m"',
        *(f'shelter.{name}="none"' for name in NONE),
    ),
    "wall tent": (
        'shelter.shape="wall tent"',
        'shelter.wall="1.2 m"',
        'shelter.ridge="2.4 m"',
        'shelter.height="none"',
    ),
}


@pytest.fixture(scope="module")
def night() -> xr.Dataset:
    return fake_fire.night()


@pytest.fixture
def scenario(tmp_path: Path) -> Scenario:
    return fake_fire.scenario(tmp_path)


def reversed_at(night: xr.Dataset, index: int) -> xr.Dataset:
    """The flue of that night runs backwards at one of its times, and a fan carries air down."""
    back = night.copy(deep=True)
    back["flue_flow"][index], back["air_flow"][index] = -0.0021, -0.002
    carried = (back["interface"].values > 0.3) & (back["interface"].values < 2.0)
    back["layer_flow"][index, :, 3] = -0.012 * carried
    return back


# The neutral height.


def moment_of(pressure: np.ndarray) -> xr.Dataset:
    """One moment of a room of 16 layers, with a pressure inside over outside at their centres [Pa]."""
    return fake_night.night(60.0).isel(time=0).assign(pressure_difference=("height", pressure))


@pytest.mark.parametrize("height", [0.02, 0.5, 1.2, 2.38])
def test_neutral_height_of_a_column_of_one_temperature(height: float) -> None:
    # Hydrostatics: over a column of one density the pressure difference is straight, g (rho_out - rho_in) (z - z_n).
    lighter = 9.80665 * 101325.0 / 287.055 * (1.0 / 263.15 - 1.0 / 293.15)
    given = moment_of(lighter * (fake_night.HEIGHTS - height))
    assert neutral_height(given) == pytest.approx(height, abs=1e-12)


def test_neutral_height_of_two_temperatures() -> None:
    # Hydrostatics in two pieces: 2 Pa/m up to 1.2 m and 0.5 Pa/m above; -0.3 Pa at 1.2 m is 0 at 1.2 + 0.3 / 0.5 m.
    above = np.maximum(fake_night.HEIGHTS - 1.2, 0.0)
    given = moment_of(-2.7 + 2.0 * (fake_night.HEIGHTS - above) + 0.5 * above)
    assert neutral_height(given) == pytest.approx(1.8, abs=1e-12)


@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_there_may_be_no_neutral_height(way: float) -> None:
    assert neutral_height(moment_of(way * (3.0 + fake_night.HEIGHTS))) is None
    assert neutral_height(moment_of(1.2 - fake_night.HEIGHTS)) is None  # a cold room: out below, in above


def test_edges_end_at_floor_and_peak() -> None:
    assert edges_of(fake_night.night(60.0)) == pytest.approx(np.linspace(0.0, 2.4, 17))


def test_names_and_sides_of_openings() -> None:
    assert name_and_side("low vent, windward") == ("low vent", "windward")
    assert name_and_side("jack") == ("jack", "")
    assert name_and_side("hatch, left") == ("hatch, left", "")


# The summary.


@pytest.mark.parametrize("kilograms", [0.0, 4e-5, 0.00316, 0.00994, 0.00996, 0.0314, 0.292])
def test_flows_keep_two_figures(kilograms: float) -> None:
    text = air_flow(kilograms, "si")
    assert abs(float(text) - 1000.0 * kilograms) <= (0.5 if float(text) >= 10.0 else 0.05)
    assert not air_flow(-1e-6, "si").startswith("-")


def test_summary_counts_air_changes(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(summary(scenario, night, "us"))["Air changes"]
    changes = night["air_changes"].values
    inside = changes[4 * 12 : 13 * 12 + 1]  # 21:30 to 06:30, a value every 5 min
    usual, low, high = (float(number) for number in re.findall(r"\d+\.\d", told)[:3])
    assert usual == pytest.approx(float(np.median(inside)), abs=0.05)
    assert (low, high) == pytest.approx((changes.min(), changes.max()), abs=0.05)
    at = (17 * 60 + 30 + 5 * int(np.argmax(changes))) % 1440
    assert told.endswith(f"most at {at // 60:02d}:{at % 60:02d}")
    assert "median from 21:30 to 06:30" in told


def test_summary_says_what_comes_in_where(scenario: Scenario, night: xr.Dataset) -> None:
    lines = summary(scenario, night, "si")
    assert max(map(len, lines)) <= 80
    told = paired(lines)
    at = re.match(r".* at (\d\d:\d\d)", told["Coldest at the cot"]).group(1)  # type: ignore[union-attr]
    assert told["Air comes in"].startswith(f"at {at}, cot coldest: ")
    whole, *parts = (
        float(number) for number in re.findall(r"(\d+(?:\.\d)?) (?:g/s|by)", told["Air comes in"])
    )
    assert whole == pytest.approx(sum(parts), abs=0.05 * (len(parts) + 1) + 0.5 * (whole >= 10.0))
    assert parts == sorted(parts, reverse=True)
    assert re.search(r"; [\d.]+ go to the fire$", told["Air comes in"])
    assert told["Neutral height"].startswith("1.40 m then, without wind: ")


def test_summary_tells_of_a_flue_that_runs_backwards(scenario: Scenario, night: xr.Dataset) -> None:
    back = night.assign(air_flow=-night["air_flow"] - 0.001)
    told = paired(summary(scenario, back, "si"))["Air comes in"]
    assert "go to the fire" not in told
    assert re.search(r"; and \d\.\d down the flue, which runs backwards$", told)


def test_summary_without_a_neutral_height(scenario: Scenario, night: xr.Dataset) -> None:
    told = paired(
        summary(scenario, night.assign(pressure_difference=night["pressure_difference"] - 50.0), "us")
    )
    assert told["Neutral height"] == "none inside then: wind, flue or vents shift it beyond floor or roof"


def test_a_stove_in_the_open_has_no_air_to_tell_of(tmp_path: Path) -> None:
    told = paired(summary(fake_fire.yard(tmp_path), fake_fire.burn(), "si"))
    assert not {"Air changes", "Air comes in", "Neutral height"} & set(told)


# The picture.


def drawn(scenario: Scenario, dataset: xr.Dataset, asked: float = HOUR, system: str = "us") -> flows.Figure:
    with mpl.rc_context(look.STYLE):
        picture = flows.draw(scenario, dataset, system, asked)  # type: ignore[arg-type]
        picture.canvas.draw()
    return picture


def said(picture: flows.Figure) -> list[str]:
    return [text.get_text() for text in texts_of(picture)]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("backwards", [False, True], ids=["forwards", "backwards"])
def test_picture_can_be_read_and_nothing_touches(
    shape: str, system: str, backwards: bool, tmp_path: Path, night: xr.Dataset
) -> None:
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: contrast at least 4.5 to 1, here also
    # against the layers that words stand on. Text of at least 11 points on a screen 390 points wide: common practice.
    scenario = fake_fire.scenario(tmp_path, *SHAPES[shape])
    picture = drawn(scenario, reversed_at(night, 12) if backwards else night, HOUR, system)
    width, height = picture.canvas.get_width_height()
    boxes = []
    for text in texts_of(picture):
        box, words = Text.get_window_extent(text), text.get_text()
        inside = text.get_color() in look.STREAMS.values()
        grounds = (look.WARNING_FILL,) if words.startswith(HEADLINE[0]) else ("#ffffff",)
        if inside:
            grounds = ("#ffffff", look.COLD_AIR, look.MILD_AIR, look.WARM_AIR)
        assert min(contrast(text.get_color(), ground) for ground in grounds) >= 4.5, words
        assert text.get_fontsize() >= look.SMALLEST_TEXT
        assert box.x0 >= -1 and box.x1 <= width + 1 and box.y0 >= -1 and box.y1 <= height + 1, words
        boxes.append((words, box))
    for (one, first), (other, second) in combinations(boxes, 2):
        assert not first.overlaps(second), (one, other)


def test_every_stream_has_a_colour_that_differs_in_darkness_or_is_named(night: xr.Dataset) -> None:
    assert set(look.STREAMS) == set(night["stream"].values.tolist())
    assert len(set(look.STREAMS.values())) == len(look.STREAMS)


def test_picture_shows_the_time_nearest_to_the_one_asked(scenario: Scenario, night: xr.Dataset) -> None:
    told = said(drawn(scenario, night, HOUR + 140.0))
    assert "the air at 18:30, night of 2031-02-14" in told
    assert "the air at 18:35, night of 2031-02-14" in said(drawn(scenario, night, HOUR + 160.0))


def test_caution_stands_on_top_and_the_kind_of_thing_below(scenario: Scenario, night: xr.Dataset) -> None:
    told = sorted(texts_of(drawn(scenario, night)), key=lambda text: -Text.get_window_extent(text).y1)
    assert told[0].get_text() == "\n".join(HEADLINE)
    assert told[-1].get_text().startswith("Calculated, not measured.")
    assert "Invented scenario" in told[-1].get_text()


def test_picture_names_every_level_with_its_temperature(scenario: Scenario, night: xr.Dataset) -> None:
    picture = drawn(scenario, night, HOUR, "si")
    texts = [text for text in texts_of(picture) if isinstance(text, Text)]
    for name in night["level"].values.tolist():
        (words,) = [text for text in texts if text.get_text() == name]
        box = Text.get_window_extent(words)
        beside = [
            text.get_text()
            for text in texts
            if Text.get_window_extent(text).x1 < box.x0
            and abs(Text.get_window_extent(text).y0 + Text.get_window_extent(text).y1 - box.y0 - box.y1) < 4.0
        ]
        value = float(night["level_temperature"].sel(level=name)[12])
        assert beside == [f"{value:.0f}"], name


def test_warmer_layers_are_shaded_warmer(scenario: Scenario, night: xr.Dataset) -> None:
    picture = drawn(scenario, night)
    bands = [
        patch for patch in picture.axes[0].patches if isinstance(patch, Rectangle) and patch.get_zorder() == 1
    ]
    assert len(bands) == night.sizes["height"]
    assert [band.get_y() for band in bands] == pytest.approx(edges_of(night)[:-1])
    colours = [to_rgb(band.get_facecolor()[:3]) for band in bands]  # the fake night is the warmer the higher
    assert all(low[0] - low[2] < high[0] - high[2] for low, high in pairwise(colours))  # from blue to red
    ends = (look.COLD_AIR, look.WARM_AIR)
    assert (to_hex(colours[0]), to_hex(colours[-1])) == ends
    assert min(luminance(colour) for colour in ends) > 0.5


def test_a_room_of_one_temperature_has_one_mild_shade(scenario: Scenario, night: xr.Dataset) -> None:
    flat = night.assign(air_temperature=0.0 * night["air_temperature"] + 5.0)
    bands = [patch for patch in drawn(scenario, flat).axes[0].patches if isinstance(patch, Rectangle)][:16]
    for band in bands:
        assert to_rgb(band.get_facecolor()[:3]) == pytest.approx(to_rgb(look.MILD_AIR), abs=0.01)


def bodies(picture: flows.Figure, stream: str) -> list[np.ndarray]:
    """Corners of a stream's bands and heads, in the axes' points and metres."""
    return [
        patch.get_xy()
        for patch in picture.axes[0].patches
        if isinstance(patch, Polygon) and to_hex(patch.get_facecolor()) == look.STREAMS[stream]
    ]


def test_bands_are_as_wide_as_what_flows(scenario: Scenario, night: xr.Dataset) -> None:
    picture, moment = drawn(scenario, night), night.isel(time=12)
    most = float(np.abs(moment["layer_flow"]).max())
    plume = moment["layer_flow"].sel(stream="plume").values
    band = bodies(picture, "plume")[0][:-1]
    half = len(band) // 2
    left, right = band[:half], band[half:][::-1]
    shown = np.interp(left[:, 1], moment["interface"].values, plume)
    assert right[:, 0] - left[:, 0] == pytest.approx(np.maximum(WIDEST * shown / most, 0.8))
    falling = bodies(picture, "falling current")
    assert len(falling) == 4  # half along each wall, with a head each
    flow = -float(moment["layer_flow"].sel(stream="falling current")[0])
    assert np.ptp(falling[0][[0, -2], 0]) == pytest.approx(0.5 * WIDEST * flow / most)


@pytest.mark.parametrize("shape", SHAPES)
def test_heads_point_the_way_the_air_goes(shape: str, tmp_path: Path, night: xr.Dataset) -> None:
    picture = drawn(fake_fire.scenario(tmp_path, *SHAPES[shape]), reversed_at(night, 12))
    for stream, up in (("plume", True), ("falling current", False), ("rising current", True), ("fan", False)):
        for head in [corners for corners in bodies(picture, stream) if len(corners) == 4]:
            assert (head[1, 1] > head[0, 1]) == up, stream
    ways = {bool(head[1, 1] > head[0, 1]) for head in bodies(picture, "room air") if len(head) == 4}
    assert ways == {True, False}  # what the room's air makes up turns with the height


def test_streams_that_hardly_flow_are_left_out(scenario: Scenario, night: xr.Dataset) -> None:
    told = " ".join(said(drawn(scenario, night)))
    assert "fan" not in told
    most = float(night["layer_flow"].isel(time=12).sel(stream="plume").max())
    assert f"plume {most / SCFM:.0f}" in told
    still = night.assign(layer_flow=0.0 * night["layer_flow"])
    assert streams_of(still.isel(time=12)) == []
    assert not re.search(r"plume|falling|rising", " ".join(said(drawn(scenario, still))))


def test_all_that_comes_in_and_goes_out_is_shown_once(night: xr.Dataset) -> None:
    moment = night.isel(time=12)
    ways = ways_of(moment, neutral_height(moment))
    assert sum(way.flow for way in ways if way.inward) == pytest.approx(float(moment["leakage_flow"]))
    net = sum(way.flow * (1.0 if way.inward else -1.0) for way in ways)
    assert net == pytest.approx(float(moment["opening_flow"].sum()))
    seams = {way.inward: way.height for way in ways if (way.name, way.side) == ("seams", "lee")}
    assert seams[True] < 1.4 < seams[False]  # in below the neutral height, out above
    assert {way.height for way in ways if way.name == "low vent"} == {0.15}
    (one_way,) = [
        way
        for way in ways_of(moment.assign(opening_flow=moment["opening_inflow"]), 1.4)
        if (way.name, way.side) == ("seams", "lee")
    ]
    assert one_way.height == pytest.approx(1.2)  # its middle


def test_arrows_point_in_or_out_on_the_openings_side(scenario: Scenario, night: xr.Dataset) -> None:
    axes = drawn(scenario, night).axes[0]
    arrows = [
        note
        for note in axes.texts
        if isinstance(note, Annotation) and note.arrow_patch and not note.get_text()
    ]
    moment = night.isel(time=12)
    ways = [
        way
        for left in (True, False)
        for way in ways_of(moment, neutral_height(moment))
        if (way.side == "windward") == left
    ]
    assert len(arrows) == len(ways) + 1  # and the flue's
    most = max(way.flow for way in ways)
    for arrow, way in zip(arrows, ways, strict=False):
        assert arrow.arrow_patch is not None
        (end, height), start = arrow.xy, arrow.get_position()[0]
        assert height == pytest.approx(way.height)
        assert (end > start) == ((way.side == "windward") == way.inward), way
        assert arrow.arrow_patch.get_linewidth() == pytest.approx(0.8 + 3.4 * way.flow / most)
        words = f"{way.name}\n{'in' if way.inward else 'out'} {air_flow(way.flow, 'us')}"
        assert words in [text.get_text() for text in axes.texts]


def test_neutral_height_is_marked_where_it_is(scenario: Scenario, night: xr.Dataset) -> None:
    picture = drawn(scenario, night, system="si")
    (line,) = [line for line in picture.axes[0].lines if line.get_zorder() == 5.5]
    assert np.asarray(line.get_ydata()) == pytest.approx(1.4)
    assert "neutral" in said(picture)
    assert "Neutral height 1.40 m, without wind: in below, out above." in said(picture)
    blown = night.assign(pressure_difference=night["pressure_difference"] + 50.0)
    told = said(drawn(scenario, blown))
    assert "neutral" not in told
    assert "No neutral height inside: wind, flue or vents shift it." in told


def test_a_flue_that_runs_backwards_is_a_warning(scenario: Scenario, night: xr.Dataset) -> None:
    forwards, back = drawn(scenario, night), drawn(scenario, reversed_at(night, 12))
    flow = float(night["flue_flow"][12]) / SCFM
    assert f"flue {two_figures(flow)}" in said(forwards)
    assert not [words for words in said(forwards) if "backwards" in words]
    warned = [text for text in texts_of(back) if "backwards" in text.get_text()]
    assert {text.get_text() for text in warned} == {
        "flue backwards 3.7",
        "The flue runs backwards, into the shelter.",
    }
    assert {text.get_color() for text in warned} == {look.WARNING}
    assert not [words for words in said(back) if "go to the fire" in words]


def test_picture_of_a_known_source_has_no_flue(tmp_path: Path) -> None:
    picture = drawn(fake_night.scenario(tmp_path), fake_night.night(5.0), 3 * HOUR)
    assert not [words for words in said(picture) if re.search("flue|fire", words) and "Someone" not in words]
    blocks = [
        patch for patch in picture.axes[0].patches if isinstance(patch, Rectangle) and patch.get_hatch()
    ]
    (block,) = blocks
    assert (block.get_y(), block.get_y() + block.get_height()) == pytest.approx((0.2, 1.0))


@pytest.mark.parametrize("shape", SHAPES)
def test_heights_are_to_scale(shape: str, tmp_path: Path, night: xr.Dataset) -> None:
    axes = drawn(fake_fire.scenario(tmp_path, *SHAPES[shape]), night).axes[0]
    (shell,) = [patch for patch in axes.patches if isinstance(patch, Polygon) and not patch.get_fill()]
    assert shell.get_xy()[:, 1].min() == 0.0 and shell.get_xy()[:, 1].max() == pytest.approx(2.4)
    assert axes.get_yscale() == "linear"
    assert "Heights to scale" in " ".join(text.get_text() for text in axes.figure.texts)


def test_long_names_of_levels_stay_in_their_column(scenario: Scenario, night: xr.Dataset) -> None:
    long = night.assign_coords(level=["head", "middle of the drying line", "cot", "floor"])
    told = texts_of(drawn(scenario, long))
    (name,) = [text for text in told if text.get_text() == "middl."]
    box = Text.get_window_extent(name)
    assert not [t for t in told if t is not name and Text.get_window_extent(t).overlaps(box)]


def test_the_file_says_whose_it_is(scenario: Scenario, night: xr.Dataset, tmp_path: Path) -> None:
    path = tmp_path / "air.png"
    path.write_bytes(flows.to_bytes(scenario, night, "us", HOUR))
    assert frame.scenario_of(path) == "Paper stove"


def test_a_stove_in_the_open_has_no_such_picture(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no room"):
        flows.draw(fake_fire.yard(tmp_path), fake_fire.burn(), "us", 0.0)


def test_words_of_openings_at_one_height_keep_apart(scenario: Scenario, night: xr.Dataset) -> None:
    together = night.assign(
        {name: 0.0 * night[name] + 0.15 for name in ("opening_bottom", "opening_top")}
    )  # as low as the floor's edge
    told = [
        text for text in texts_of(drawn(scenario, together)) if re.search(r"\n(in|out) ", text.get_text())
    ]
    assert len(told) == 8
    for one, other in combinations(told, 2):
        assert not Text.get_window_extent(one).overlaps(Text.get_window_extent(other))
