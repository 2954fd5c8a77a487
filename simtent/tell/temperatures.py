"""The upper part of the picture: temperatures with their names, usual range, wishes, coldest moment."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import matplotlib as mpl
import numpy as np
import xarray as xr
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from matplotlib.text import Annotation, Text

from simtent.assess.curves import Curve, Floats, curve
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell import look, placing
from simtent.tell.placing import Trace
from simtent.tell.wished import Wished
from simtent.tell.words import degree_number, degrees, whole
from simtent.units import System

BESIDE = 1.035  # where the names begin, in widths of the axes
THIN: tuple[float, Any] = (1.3, (0, (4, 2)))  # weight and dashes of what is only given
HEADROOM = 0.2  # a wish farther than this share of the view above all else is told, not drawn


@dataclass(frozen=True, slots=True)
class Line:
    """One curve of the picture: hours from begin, values in the shown unit, how it is drawn."""

    name: str
    hours: Floats
    values: Floats
    colour: str
    weight: float
    dashes: Any = "-"


@dataclass(slots=True)
class Canvas:
    """Axes with a fixed view, and what is drawn there so far, so that words keep clear of it."""

    axes: Axes
    drawn: list[Trace] = field(default_factory=list)

    def shares(self, hours: Any, values: Any) -> tuple[Floats, Floats]:
        """Hours and values in shares of the axes."""
        left, right = self.axes.get_xlim()
        bottom, top = self.axes.get_ylim()
        return (np.asarray(hours) - left) / (right - left), (np.asarray(values) - bottom) / (top - bottom)

    def keep_clear(self, hours: Any, values: Any) -> None:
        """Remember a line, given by its points."""
        x, y = self.shares(hours, values)
        dense = np.linspace(x[0], x[-1], 300)
        self.drawn.append(Trace(dense, np.interp(dense, x, y)))

    def words(self, text: str, colour: str, weight: str = "normal") -> tuple[Annotation, tuple[float, float]]:
        """Words with a white rim, to be placed, and their size in shares of the axes."""
        note = self.axes.annotate(
            text,
            (0.0, 0.0),
            xycoords="axes fraction",
            color=colour,
            weight=weight,
            size=look.SMALLEST_TEXT,
            ha="center",
            va="center",
            path_effects=[withStroke(linewidth=2.5, foreground="white")],
            zorder=6,
        )
        box = Text.get_window_extent(note)
        return note, (box.width / self.axes.bbox.width, box.height / self.axes.bbox.height)

    def place(self, note: Annotation, centre: tuple[float, float], size: tuple[float, float]) -> None:
        """Put the words there, and keep later words clear of them."""
        note.set_position(centre)
        note.xy = centre
        ends = np.linspace(centre[0] - 0.5 * size[0], centre[0] + 0.5 * size[0], 40)
        for edge in (-0.5, 0.0, 0.5):
            self.drawn.append(Trace(ends, np.full(40, centre[1] + edge * size[1])))


def lines_of(dataset: xr.Dataset, system: System) -> list[Line]:
    """Outdoors and every level, each with its colour; the cot heaviest. In the open, stove and flue."""
    outdoors = Line("outdoors", *_shown(curve(dataset, "outdoor_temperature"), system), look.OUTDOORS, *THIN)
    if "level" not in dataset.dims:
        return [outdoors, *_of_stove(dataset, system)]
    pairs = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    names = [name for name, _ in sorted(pairs, key=lambda pair: -pair[1])]
    cot = names.index("cot")
    colours = [*shades(look.ABOVE, cot), look.COT, *shades(look.BELOW, len(names) - cot - 1)]
    lines = [outdoors]
    for name, colour in zip(names, colours, strict=True):
        shown = _shown(curve(dataset, "level_temperature", level=name), system)
        lines.append(Line(name, *shown, colour, 2.6 if name == "cot" else 1.4))
    return lines


def _of_stove(dataset: xr.Dataset, system: System) -> list[Line]:
    return [
        Line(words, *_shown(curve(dataset, name), system), colour, weight)
        for words, name, colour, weight in (
            ("flue gas", "flue_gas_temperature", look.ABOVE[0], 1.4),
            ("stove", "stove_temperature", look.COT, 2.6),
            ("pipe", "pipe_temperature", look.BELOW[1], 1.4),
        )
    ]


def draw_lines(
    axes: Axes, dataset: xr.Dataset, lines: Sequence[Line], wished: Wished, system: System
) -> Canvas:
    """Draw the lines and the cot's usual range, and fix the view."""
    if "level_temperature_low" in dataset:
        hours, low = _shown(curve(dataset, "level_temperature_low", level="cot"), system)
        _, high = _shown(curve(dataset, "level_temperature_high", level="cot"), system)
        axes.fill_between(hours, low, high, color=look.COT_BAND, lw=0.0)
    for line in lines:
        axes.plot(line.hours, line.values, color=line.colour, lw=line.weight, ls=line.dashes)
    asked = [degree_number(w, system) for w in (wished.cot_at_least, wished.cot_at_rise) if w is not None]
    bottom = min(axes.dataLim.y0, *asked) if asked else axes.dataLim.y0
    top = max(axes.dataLim.y1, *asked) if asked else axes.dataLim.y1
    if wished.head_at_most is not None:
        limit = degree_number(wished.head_at_most, system)
        top = max(top, limit) if limit < top + HEADROOM * (top - bottom) else top
    axes.set_xlim(0.0, float(lines[0].hours[-1]))
    return view(axes, lines, bottom, top)


def view(axes: Axes, lines: Sequence[Line], bottom: float, top: float) -> Canvas:
    """The view from one value to another, with room for words at both ends and lines to keep clear of."""
    room = 2.1 * _line_share(axes) * max(top - bottom, 1.0)
    axes.set_ylim(bottom - 1.5 * room, top + room)
    canvas = Canvas(axes)
    for line in lines:
        canvas.keep_clear(line.hours, line.values)
    return canvas


def name_lines(axes: Axes, lines: Sequence[Line]) -> list[Annotation]:
    """Each line's name and last value beside its end, moved apart where they would touch."""
    (bottom, top), right = axes.get_ylim(), axes.get_xlim()[1]
    ends = [float(line.values[-1]) for line in lines]
    distance = _line_share(axes) * look.TEXT / look.SMALLEST_TEXT * (top - bottom)
    places = placing.apart(ends, distance, top)
    leader = {"arrowstyle": "-", "lw": 0.6, "shrinkA": 1, "shrinkB": 0, "relpos": (0.0, 0.5)}
    return [
        axes.annotate(
            f"{line.name} {whole(end)}",
            (line.hours[-1], end),
            xytext=(right * BESIDE, place),
            color=line.colour,
            weight="bold" if line.weight > 2.0 else "normal",
            va="center",
            annotation_clip=False,
            arrowprops={**leader, "color": line.colour},
        )
        for line, end, place in zip(lines, ends, places, strict=True)
    ]


def draw_wishes(canvas: Canvas, wished: Wished, system: System) -> None:
    """Dotted lines at what was asked for, over the time it was asked for, each with its words."""
    begin, end = (moment / 3600.0 for moment in wished.in_bed)
    asked = []
    if wished.cot_at_least is not None:
        limit = degree_number(wished.cot_at_least, system)
        asked.append(((begin, end), limit, f"cot at least {whole(limit)}", look.COT))
    if wished.head_at_most is not None:
        limit = degree_number(wished.head_at_most, system)
        up = canvas.axes.get_xlim()[1] if wished.bed is None else wished.bed / 3600.0
        asked.append(((0.0, up), limit, f"head at most {whole(limit)}", look.ABOVE[0]))
    top = canvas.axes.get_ylim()[1]
    for wish in sorted(asked, key=lambda it: it[1] <= top):  # what has one row to stand in goes first
        _wish(canvas, *wish)
    if wished.rise is not None and wished.cot_at_rise is not None:
        limit = degree_number(wished.cot_at_rise, system)
        canvas.axes.plot([end], [limit], marker="D", ms=5, color="white", mec=look.COT, mew=1.3, zorder=5)
        beside(canvas, (end, limit), f"asked for {whole(limit)}", look.COT)


def draw_coldest(canvas: Canvas, scenario: Scenario, dataset: xr.Dataset, system: System) -> None:
    """A dot at the cot's coldest moment in bed, with its words where they are free of lines."""
    cot = curve(dataset, "level_temperature", level="cot")
    moment, low = cot.between(*Wished.of(scenario).in_bed).lowest()
    point = (moment / 3600.0, degree_number(low, system))
    canvas.axes.plot(*([value] for value in point), marker="o", ms=5, color=look.COT, zorder=5)
    beside(canvas, point, f"{degrees(low, system)} at {clock(scenario.night, moment)}", look.COT, "bold")


def _wish(canvas: Canvas, span: tuple[float, float], limit: float, text: str, colour: str) -> None:
    if limit > canvas.axes.get_ylim()[1]:
        note, size = canvas.words(f"{text}, above this chart", colour)
        places = np.linspace(0.5 * size[0], 1.0 - 0.5 * size[0], 41)
        canvas.place(note, _clearest(canvas, places, 1.0 - size[1], size)[1], size)
        return
    canvas.axes.hlines(limit, *span, color=colour, ls=(0, (1, 1.6)), lw=1.3)
    note, size = canvas.words(text, colour)
    x, y = canvas.shares(span, limit)
    half = 0.5 * size[0]
    places = np.linspace(x[0] + half, max(x[1] - half, x[0] + half), 41)
    tried = [_clearest(canvas, places, float(y) + way * 0.75 * size[1], size) for way in (1.0, -1.0)]
    inside = [it for it in tried[1:] if it[1][1] > 0.5 * size[1]]
    if tried[0][0] < 0.0:  # it would cover a line: perhaps not below
        tried[0] = max([tried[0], *inside])
    _, centre = tried[0]
    canvas.keep_clear(span, (limit, limit))
    canvas.place(note, centre, size)


def _clearest(
    canvas: Canvas, places: Any, height: float, size: tuple[float, float]
) -> tuple[float, tuple[float, float]]:
    """Of places at one height the one with most room around words: that room, and the place."""
    best = placing.clearest(canvas.drawn, places, np.full(len(places), height), size)
    centre = float(places[best]), height
    return placing.gap(canvas.drawn, *centre, size), centre


def beside(
    canvas: Canvas, point: tuple[float, float], text: str, colour: str, weight: str = "normal"
) -> None:
    """Words at the free place nearest to a point, tied to it by a thin line."""
    note, size = canvas.words(text, colour, weight)
    x, y = (float(share) for share in canvas.shares(*point))
    box = canvas.axes.bbox
    dot = 0.5 * size[1]  # the words keep off the mark as well
    taller = (size[0], size[1] + dot)
    marks = [*canvas.drawn, Trace(np.array([x]), np.array([y]))]
    centre = placing.nearest_free(marks, (x, y), taller, box.height / box.width)
    edge = (
        min(max(x, centre[0] - 0.5 * size[0]), centre[0] + 0.5 * size[0]),
        min(max(y, centre[1] - 0.5 * size[1]), centre[1] + 0.5 * size[1]),
    )
    canvas.axes.annotate(
        "",
        (x, y),
        xytext=edge,
        xycoords="axes fraction",
        textcoords="axes fraction",
        arrowprops={"arrowstyle": "-", "lw": 0.7, "color": colour, "shrinkA": 1, "shrinkB": 3},
    )
    canvas.place(note, centre, size)


def _line_share(axes: Axes) -> float:
    """Height of a line of the smallest text in shares of the axes."""
    inches = axes.get_position().height * look.HEIGHT
    return look.LINE_HEIGHT * look.SMALLEST_TEXT / 72.0 / inches


def shades(ends: tuple[str, str], count: int) -> list[str]:
    """That many colours from one end to the other."""
    first, last = (np.array(mpl.colors.to_rgb(end)) for end in ends)
    shares = np.linspace(0.0, 1.0, max(count, 2))[:count]
    return [mpl.colors.to_hex(first + share * (last - first)) for share in shares]


def _shown(given: Curve, system: System) -> tuple[Floats, Floats]:
    """Hours from begin, and the values in the shown unit."""
    return given.seconds / 3600.0, np.array([degree_number(float(v), system) for v in given.values])
