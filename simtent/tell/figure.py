"""The one picture of a night, for a tired person with a phone: 390 points wide, labels beside their lines."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import shorten
from typing import Any

import matplotlib as mpl
import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke
from matplotlib.text import Annotation, Text

from simtent import results
from simtent.assess.cautions import HEADLINE
from simtent.scenario.scenario import Scenario
from simtent.tell.curves import curve
from simtent.tell.wished import Wished
from simtent.tell.words import clock, degree_number, degree_unit, degrees, full_hours, local, whole
from simtent.units import System, number, unit_name

WIDTH, HEIGHT = 3.9, 7.4  # [in]; on a phone 100 points to the inch
LEFT, EDGE = 0.10, 0.035  # share of the width left of the axes, and kept clear all round
PIXELS_PER_INCH = 300
SMALLEST_TEXT = 8.0  # [pt]; 11 points of a phone's 390
NOTE_WIDTH = 0.36  # share of the axes that words beside a point take

# Every colour of a text has a contrast of at least 4.5 to white. The lines also differ by darkness and
# weight, and each carries its name, so that nothing hangs on telling two hues apart.
INK, QUIET, RULE = "#1d2327", "#5b646b", "#d5dade"
COT, COT_BAND = "#12355b", "#b9cfe4"
ABOVE = ("#b3420f", "#8d6300")  # from the highest level down to the cot
BELOW = ("#4a7a8c", "#00706a")
OUTDOORS = "#6a6a76"
HEAT, HEAT_FILL = "#a3400a", "#f0b48c"
WARNING, WARNING_FILL = "#7a1010", "#fff3d6"

STYLE: Any = {
    "font.family": "DejaVu Sans",  # comes with matplotlib: the same picture everywhere
    "font.size": 8.5,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.spines.left": False,
    "axes.edgecolor": QUIET,
    "axes.grid": True,
    "axes.grid.axis": "y",
    "axes.axisbelow": True,
    "grid.color": RULE,
    "grid.linewidth": 0.6,
    "text.color": INK,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": SMALLEST_TEXT,
    "ytick.labelsize": SMALLEST_TEXT,
    "ytick.major.size": 0.0,
}


@dataclass(frozen=True, slots=True)
class Line:
    """One curve of the picture: hours from begin, values in the shown unit, how it is drawn."""

    name: str
    hours: Any
    values: Any
    colour: str
    weight: float
    dashes: Any = "-"


def save(scenario: Scenario, dataset: xr.Dataset, path: Path, system: System) -> None:
    """Draw the night and keep it as PNG, all or nothing; OSError if the folder cannot be written."""
    with mpl.rc_context(STYLE):
        figure = draw(scenario, dataset, system)
        mark = {"Software": "simtent", "Title": scenario.name}
        with results.replacing(path) as part:
            figure.savefig(part, format="png", dpi=PIXELS_PER_INCH, metadata=mark)


def scenario_of(path: Path) -> str | None:
    """Name of the scenario whose picture stands in the file; None for any other file."""
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415  (comes with matplotlib)

    try:
        with Image.open(path) as image:
            return image.info.get("Title") if image.info.get("Software") == "simtent" else None
    except (OSError, UnidentifiedImageError):
        return None


def draw(scenario: Scenario, dataset: xr.Dataset, system: System) -> Figure:
    """The picture: caution, temperatures, heat release, and what kind of thing this is."""
    figure = Figure(figsize=(WIDTH, HEIGHT), facecolor="white")
    FigureCanvasAgg(figure)
    top = figure.add_axes((LEFT, 0.265, 0.7, 0.57))
    strip = figure.add_axes((LEFT, 0.085, 0.7, 0.125), sharex=top)
    _heading(figure, scenario, dataset, system)
    wished = Wished.of(scenario)
    lines = _lines(dataset, system)
    _band(top, dataset, system)
    for line in lines:
        top.plot(line.hours, line.values, color=line.colour, lw=line.weight, ls=line.dashes)
    top.set_xlim(0.0, scenario.night.seconds / 3600.0)
    top.margins(y=0.08)
    _wishes(top, lines, wished, system)
    _coldest(top, scenario, dataset, lines, system)
    _make_room(figure, _names(top, lines), (top, strip))
    _clock(top, strip, scenario)
    _bed_and_rise(top, strip, scenario, wished)
    _heat(strip, dataset, system)
    return figure


def _heading(figure: Figure, scenario: Scenario, dataset: xr.Dataset, system: System) -> None:
    box = {"boxstyle": "square,pad=0.45", "facecolor": WARNING_FILL, "edgecolor": WARNING, "linewidth": 0.8}
    caution: dict[str, Any] = {"color": WARNING, "weight": "bold", "size": 8.5, "ha": "center", "va": "top"}
    figure.text(0.5, 0.985, "\n".join(HEADLINE), bbox=box, **caution)
    evening = local(scenario.night, 0.0)
    what = f"night of {evening:%Y-%m-%d}, air temperature in {degree_unit(system)}"
    name = shorten(scenario.name, 40, placeholder=" ...")
    size = 11.0 if len(name) <= 28 else SMALLEST_TEXT
    figure.text(EDGE, 0.908, name, weight="bold", size=size, va="top", parse_math=False)
    figure.text(EDGE, 0.882, what, color=QUIET, size=8.5, va="top")
    kind = "Calculated, not measured."
    if "level_temperature_low" in dataset:
        kind += " Shaded: usual range at the cot."
    if scenario.invented:
        kind += "\nInvented scenario: it describes no real camp."
    figure.text(EDGE, 0.012, kind, color=QUIET, size=SMALLEST_TEXT, va="bottom", linespacing=1.35)


def _lines(dataset: xr.Dataset, system: System) -> list[Line]:
    """Outdoors and every level, each with its colour; the cot heaviest."""
    height = dict(zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True))
    names = sorted(height, key=lambda name: -height[name])
    cot = names.index("cot")
    colours = dict(zip(names[:cot], _shades(ABOVE, cot), strict=True))
    colours |= dict(zip(names[cot + 1 :], _shades(BELOW, len(names) - cot - 1), strict=True))
    colours["cot"] = COT
    outdoors = curve(dataset, "outdoor_temperature")
    hours = outdoors.seconds / 3600.0
    lines = [Line("outdoors", hours, _shown(outdoors.values, system), OUTDOORS, 1.3, (0, (4, 2)))]
    for name in names:
        values = _shown(curve(dataset, "level_temperature", level=name).values, system)
        lines.append(Line(name, hours, values, colours[name], 2.6 if name == "cot" else 1.4))
    return lines


def _shades(ends: tuple[str, str], count: int) -> list[str]:
    """That many colours from one end to the other."""
    first, last = (np.array(mpl.colors.to_rgb(end)) for end in ends)
    shares = np.linspace(0.0, 1.0, max(count, 2))[:count]
    return [mpl.colors.to_hex(first + share * (last - first)) for share in shares]


def _shown(celsius: Any, system: System) -> Any:
    return np.array([degree_number(float(value), system) for value in celsius])


def _band(axes: Axes, dataset: xr.Dataset, system: System) -> None:
    if "level_temperature_low" in dataset:
        low, high = (curve(dataset, f"level_temperature_{side}", level="cot") for side in ("low", "high"))
        hours = low.seconds / 3600.0
        axes.fill_between(
            hours, _shown(low.values, system), _shown(high.values, system), color=COT_BAND, lw=0.0
        )


def _wishes(axes: Axes, lines: Sequence[Line], wished: Wished, system: System) -> None:
    """Thin dotted lines at what was asked for, over the time it was asked for, each with its words."""
    begin, end = (moment / 3600.0 for moment in wished.in_bed)
    style: dict[str, Any] = {"ls": (0, (1, 1.6)), "lw": 1.3}
    if wished.cot_at_least is not None:
        level = degree_number(wished.cot_at_least, system)
        axes.hlines(level, begin, end, color=COT, **style)
        place = _clearest(axes, lines, begin, end, level)
        _note(axes, place, level, f"cot at least {level:.0f}", COT, (0, 2), ha="center")
    if wished.head_at_most is not None:
        level = degree_number(wished.head_at_most, system)
        up = axes.get_xlim()[1] if wished.bed is None else wished.bed / 3600.0
        axes.hlines(level, 0.0, up, color=ABOVE[0], **style)
        _note(axes, 0.0, level, f"head at most {level:.0f}", ABOVE[0], (0, 2), ha="left")
    if wished.rise is not None and wished.cot_at_rise is not None:
        level = degree_number(wished.cot_at_rise, system)
        axes.plot([end], [level], marker="D", ms=5, color="white", mec=COT, mew=1.3, zorder=5)
        _note(axes, end, level, f"asked for {level:.0f}", COT, (-6, 2), ha="right")


def _clearest(axes: Axes, lines: Sequence[Line], begin: float, end: float, level: float) -> float:
    """Hour between begin and end about which words at this level are farthest from every line."""
    half = 0.5 * NOTE_WIDTH * axes.get_xlim()[1]
    room = 0.04 * (axes.get_ylim()[1] - axes.get_ylim()[0])  # the words stand above their level
    places = np.linspace(begin + half, end - half, 25) if end - begin > 2.0 * half else [0.5 * (begin + end)]
    gaps = [
        min(np.abs(line.values[np.abs(line.hours - place) <= half] - level - room).min() for line in lines)
        for place in places
    ]
    return float(places[int(np.argmax(gaps))])


def _note(
    axes: Axes, hour: float, level: float, text: str, colour: str, offset: tuple[float, float], **how: Any
) -> None:
    """Words beside a point, with a white rim that keeps them legible where a line passes behind."""
    axes.annotate(
        text,
        (hour, level),
        xytext=offset,
        textcoords="offset points",
        color=colour,
        size=SMALLEST_TEXT,
        path_effects=[withStroke(linewidth=2.5, foreground="white")],
        zorder=6,
        **how,
    )


def _coldest(
    axes: Axes, scenario: Scenario, dataset: xr.Dataset, lines: Sequence[Line], system: System
) -> None:
    """A dot at the cot's coldest moment in bed, and its words below whatever else is drawn there."""
    wished = Wished.of(scenario)
    moment, low = curve(dataset, "level_temperature", level="cot").between(*wished.in_bed).lowest()
    hour, level = moment / 3600.0, degree_number(low, system)
    axes.plot([hour], [level], marker="o", ms=5, color=COT, zorder=5)
    half = 0.5 * NOTE_WIDTH * axes.get_xlim()[1]
    middle = min(max(hour, half), axes.get_xlim()[1] - half)
    levels = [line for line in lines if line.name != "outdoors"]
    near = [line.values[np.abs(line.hours - middle) < half].min() for line in levels]
    text = f"{degrees(low, system)} at {clock(scenario.night, moment)}"
    _note(axes, middle, min(near), text, COT, (0, -4), ha="center", va="top", weight="bold")


def _names(axes: Axes, lines: Sequence[Line]) -> list[Annotation]:
    """Each line's name and last value beside its end, moved apart where they would touch."""
    ends = [float(line.values[-1]) for line in lines]
    bottom, top = axes.get_ylim()
    inches = axes.get_position().height * HEIGHT
    apart = 1.25 * STYLE["font.size"] / 72.0 / inches * (top - bottom)
    return [
        axes.annotate(
            f"{line.name} {whole(end)}",
            (line.hours[-1], end),
            xytext=(line.hours[-1] * 1.035, place),
            color=line.colour,
            weight="bold" if line.name == "cot" else "normal",
            va="center",
            annotation_clip=False,
            parse_math=False,
            arrowprops={"arrowstyle": "-", "color": line.colour, "lw": 0.6, "shrinkA": 0, "shrinkB": 0},
        )
        for line, end, place in zip(lines, ends, _spread(ends, apart, top), strict=True)
    ]


def _make_room(figure: Figure, names: Sequence[Annotation], both: Sequence[Axes]) -> None:
    """Make the axes just so wide that the longest name beside them ends at the picture's edge."""
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    longest = max(Text.get_window_extent(name, renderer).width for name in names) / figure.dpi / WIDTH
    width = (1.0 - EDGE - LEFT - longest) / 1.035
    for axes in both:
        place = axes.get_position()
        axes.set_position((LEFT, place.y0, width, place.height))


def _spread(places: Sequence[float], apart: float, top: float) -> list[float]:
    """The places in their order, moved by as little as keeps them this far apart and below the top."""
    order = np.argsort(places)
    steps = apart * np.arange(len(places))
    wanted = np.asarray(places)[order] - steps
    fitted = _isotonic(wanted)
    fitted = np.minimum(fitted, top - steps[-1])
    result = np.empty(len(places))
    result[order] = fitted + steps
    return [float(place) for place in result]


def _isotonic(values: Any) -> Any:
    """The never-falling sequence nearest to the values (pool adjacent violators)."""
    blocks: list[list[float]] = []
    for value in values:
        blocks.append([float(value)])
        while len(blocks) > 1 and np.mean(blocks[-2]) > np.mean(blocks[-1]):
            blocks[-2:] = [blocks[-2] + blocks[-1]]
    return np.concatenate([np.full(len(block), np.mean(block)) for block in blocks])


def _clock(top: Axes, strip: Axes, scenario: Scenario) -> None:
    """Ticks where the camp's clock shows an even hour."""
    ticks = [m for m in full_hours(scenario.night) if local(scenario.night, m).hour % 2 == 0]
    strip.set_xticks([m / 3600.0 for m in ticks], [f"{local(scenario.night, m):%H}" for m in ticks])
    top.tick_params(labelbottom=True)
    top.annotate(
        "hour",
        (1.0, 0.0),
        xycoords="axes fraction",
        xytext=(6, -6),
        textcoords="offset points",
        va="top",
        color=QUIET,
        size=SMALLEST_TEXT,
    )
    strip.tick_params(labelbottom=False)


def _bed_and_rise(top: Axes, strip: Axes, scenario: Scenario, wished: Wished) -> None:
    for name, moment in (("bed", wished.bed), ("rise", wished.rise)):
        if moment is None:
            continue
        for axes in (top, strip):
            axes.axvline(moment / 3600.0, color=QUIET, lw=0.7, zorder=1)
        top.annotate(
            f"{name} {clock(scenario.night, moment)}",
            (moment / 3600.0, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, 2),
            textcoords="offset points",
            ha="center",
            color=QUIET,
            size=SMALLEST_TEXT,
        )


def _heat(strip: Axes, dataset: xr.Dataset, system: System) -> None:
    heat = curve(dataset, "heat_release")
    power = np.array([number(float(value), "power", system) for value in heat.values])
    hours = heat.seconds / 3600.0
    strip.fill_between(hours, 0.0, power, color=HEAT_FILL, lw=0.0)
    strip.plot(hours, power, color=HEAT, lw=1.2)
    strip.set_ylim(0.0, max(1.25 * float(power.max()), 1.0))
    strip.set_yticks([])
    strip.annotate(
        f"heat release, at most {whole(power.max(), -1)} {unit_name('power', system)}",
        (0.0, 1.0),
        xycoords="axes fraction",
        xytext=(0, 2),
        textcoords="offset points",
        color=HEAT,
        size=SMALLEST_TEXT,
    )
