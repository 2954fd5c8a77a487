"""The picture of a logged night: readings by height, stove and pipe, wood put on, levers turned. Nothing simulated."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Annotation

from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.logged import Sensor
from simtent.logbook.measures import Floats, Track
from simtent.logbook.notes import Note
from simtent.tell import frame, look
from simtent.tell.figure import SHORT, make_room
from simtent.tell.logged import Evening, mass_text
from simtent.tell.placing import Trace
from simtent.tell.strips import outside
from simtent.tell.temperatures import THIN, Canvas, Line, beside, draw_wishes, name_lines, shades, view
from simtent.tell.wished import Wished
from simtent.tell.words import degree_unit
from simtent.units import number, unit_name

HOUR = 3600.0
OUTDOORS = "outdoors"
MOST_CROSSES = 12  # of a sensor, about
LANES = 3  # rows of words for levers
POSTS = 2.2  # height of the strip of wood, in its highest post: room for two rows of words
LETTER, NARROWEST = 0.62, 0.66  # width of a letter in its size; of the axes in the picture's, about
COLOURS = {"stove": look.HEAT, "pipe": look.STREAMS["fan"], OUTDOORS: look.OUTDOORS}


def to_bytes(evening: Evening) -> bytes:
    """Draw the night; the picture as a PNG file that says whose it is."""
    return frame.as_png(evening.camp, lambda: draw(evening))


def draw(evening: Evening) -> Figure:
    """The picture: temperatures, then strips for stove and pipe, wood, levers; cautions on top."""
    figure = frame.blank()
    begin, end = _span(evening)
    fire = [place for place in AT_FIRE if place in evening.logged.sensors and not evening.logged.in_the_open]
    upper = [place for place in evening.places if place not in fire]
    if not upper:  # a burn in a shelter of which only stove or pipe was logged
        fire, upper = [], fire
    loads = [note for note in evening.logged.notes if note.loaded]
    turned = [note for note in evening.logged.notes if note.air or note.damper]
    top, strips = _axes(figure, [bool(fire), bool(loads), bool(turned)])
    lines = [_line(evening, place, begin) for place in upper]
    canvas = _temperatures(top, evening, upper, lines, (begin, end))
    names = list(name_lines(top, lines))
    below = [strip for strip in strips if strip]
    if strips[0]:
        names += _fire(strips[0], evening, fire, begin)
    if strips[1]:
        _loads(strips[1], evening, loads, begin)
    if strips[2]:
        _levers(strips[2], evening, turned, begin)
    make_room(figure, names, (top, *below))
    _words(canvas, evening, begin)
    _clock(top, below, evening, (begin, end))
    for note in loads:
        for axes in (top, *below):
            axes.axvline((note.seconds - begin) / HOUR, color=look.RULE, lw=0.9, zorder=0)
    what = "burn in the open" if evening.logged.in_the_open else "night"
    told = f"{what} of {evening.logged.evening}, as logged, in {degree_unit(evening.system)}"
    frame.heading(figure, evening.camp, told)
    frame.footing(figure, evening.camp, kind="Logged, not calculated.")
    return figure


def _span(evening: Evening) -> tuple[float, float]:
    """From the first reading or note to the last reading [s since 1970]."""
    sensors, notes = evening.logged.sensors.values(), evening.logged.notes
    first = min([it.seconds[0] for it in sensors] + [it.seconds for it in notes[:1]])
    last = max(it.seconds[-1] for it in sensors)
    first = max(first, min(it.seconds[0] for it in sensors) - HOUR)
    return first, max(last, first + 60.0)


def _axes(figure: Figure, wanted: Sequence[bool]) -> tuple[Axes, list[Axes | None]]:
    """The upper axes, and those of the strips that are wanted, from the foot up."""
    heights, bottom = (0.095, 0.08, 0.072), 0.09
    places: list[float | None] = [None, None, None]
    for at in (2, 1, 0):
        if wanted[at]:
            places[at] = bottom
            bottom += heights[at] + 0.032
    bottom += 0.03  # the clock stands beneath the upper axes
    top = figure.add_axes((look.LEFT, bottom, 0.7, 0.835 - bottom))
    strips = [
        None if place is None else figure.add_axes((look.LEFT, place, 0.7, height), sharex=top)
        for place, height in zip(places, heights, strict=True)
    ]
    return top, strips


def _track(sensor: Sensor) -> Track:
    """The readings to draw as a line: those that are not doubtful, or all where all are."""
    track = Track.of(sensor)
    return track if track.seconds.size else Track(np.asarray(sensor.seconds), np.asarray(sensor.kelvin))


def _line(evening: Evening, place: str, begin: float) -> Line:
    """The readings of a place without doubtful ones, broken at gaps, hours from the picture's begin."""
    sensor = evening.logged.sensors[place]
    track, doubtful = _track(sensor), all(sensor.suspect)
    hours, values = (track.seconds - begin) / HOUR, _shown(track.kelvin, evening)
    name = f"{place} ?" if doubtful else place
    levels = [it for it in evening.places if it in evening.scenario.levels]
    if place not in levels:
        weight, dashes = THIN if place == OUTDOORS else (2.2 if place == "stove" else 1.6, "-")
        return Line(name, hours, values, COLOURS[place], weight, dashes)
    return Line(name, hours, values, _colour(levels, place), 2.6 if place == "cot" else 1.4)


def _colour(levels: Sequence[str], place: str) -> str:
    """The colour of a level: the cot's own, from the top down to it and from it to the floor."""
    if place == "cot":
        return look.COT
    cot = levels.index("cot") if "cot" in levels else (len(levels) + 1) // 2
    at = levels.index(place)
    if at < cot:
        return shades(look.ABOVE, cot)[at]
    after = cot + ("cot" in levels)
    return shades(look.BELOW, len(levels) - after)[at - after]


def _plot(axes: Axes, evening: Evening, place: str, line: Line) -> None:
    """A line with its gaps left open."""
    track = _track(evening.logged.sensors[place])
    ends = [int(np.searchsorted(track.seconds, after)) for _, after in track.gaps()]
    hours, values = (np.insert(it, ends, np.nan) for it in (line.hours, line.values))
    axes.plot(hours, values, color=line.colour, lw=line.weight, ls=line.dashes, solid_capstyle="round")


def _temperatures(
    axes: Axes, evening: Evening, places: Sequence[str], lines: Sequence[Line], span: tuple[float, float]
) -> Canvas:
    """The lines, and a cross at every doubtful reading, at the edge where it lies outside the view."""
    for place, line in zip(places, lines, strict=True):
        _plot(axes, evening, place, line)
    wish = evening.scenario.wish
    asked = [] if evening.logged.in_the_open else [wish.cot_at_least, wish.cot_at_rise]
    shown = [number(it, "temperature", evening.system) for it in asked if it is not None]
    values = np.concatenate([line.values for line in lines])
    axes.set_xlim(0.0, (span[1] - span[0]) / HOUR)
    canvas = view(axes, lines, min([float(values.min()), *shown]), max([float(values.max()), *shown]))
    doubtful = 0
    for place, line in zip(places, lines, strict=True):
        hours, values = _cross(axes, evening, place, line, span[0])
        doubtful += hours.size
        for point in zip(*canvas.shares(hours, values), strict=True):
            canvas.drawn.append(Trace(*(np.array([share]) for share in point)))
    if doubtful:
        outside(axes, f"x doubtful: {doubtful}", (1.0, 1.0), (0, 10), ha="right", color=look.INK)
    return canvas


def _cross(axes: Axes, evening: Evening, place: str, line: Line, begin: float) -> tuple[Floats, Floats]:
    """Crosses at doubtful readings, of long runs a few; their hours and values, no farther than the axes' edge."""
    sensor = evening.logged.sensors[place]
    flagged = np.asarray(sensor.suspect, bool)
    hours = (np.asarray(sensor.seconds)[flagged] - begin) / HOUR
    values = np.clip(_shown(np.asarray(sensor.kelvin)[flagged], evening), *axes.get_ylim())
    every = max(hours.size // MOST_CROSSES, 1)
    how: dict[str, Any] = {"ls": "", "marker": "x", "ms": 5, "mew": 1.4, "clip_on": False, "zorder": 7}
    axes.plot(hours, values, color=line.colour, markevery=every, **how)
    return hours, values


def _words(canvas: Canvas, evening: Evening, begin: float) -> None:
    """Wishes as dotted lines, and the cot's coldest moment in bed; nothing of either in the open."""
    if evening.logged.in_the_open:
        return
    wished, shift = Wished.of(evening.scenario), evening.scenario.night.begin_utc.timestamp() - begin
    moved = {key: value + shift for key in ("bed", "rise") if (value := getattr(wished, key)) is not None}
    last = canvas.axes.get_xlim()[1] * HOUR
    in_bed = (min(max(wished.in_bed[0] + shift, 0.0), last), min(max(wished.in_bed[1] + shift, 0.0), last))
    draw_wishes(canvas, replace(wished, **moved, in_bed=in_bed), evening.system)
    if "cot" not in evening.logged.sensors:
        return
    track = Track.of(evening.logged.sensors["cot"]).between(begin + in_bed[0], begin + in_bed[1])
    if track.seconds.size:
        at = int(np.argmin(track.kelvin))
        point = (
            float(track.seconds[at] - begin) / HOUR,
            number(float(track.kelvin[at]), "temperature", evening.system),
        )
        canvas.axes.plot(*([it] for it in point), marker="o", ms=5, color=look.COT, zorder=5)
        text = f"{evening.degrees(float(track.kelvin[at]))} at {evening.clock(float(track.seconds[at]))}"
        beside(canvas, point, text, look.COT, "bold")
    for name, moment in (("bed", moved.get("bed")), ("rise", moved.get("rise"))):
        right = canvas.axes.get_xlim()[1]
        if moment is not None and 0.0 <= moment / HOUR <= right:
            canvas.axes.axvline(moment / HOUR, color=look.QUIET, lw=0.7, zorder=1)
            outside(
                canvas.axes,
                f"{name} {evening.clock(begin + moment)}",
                (moment / HOUR / right, 1.0),
                (0, 1),
                ha="center",
            )


def _fire(strip: Axes, evening: Evening, places: Sequence[str], begin: float) -> list[Annotation]:
    """Stove and pipe in a strip of their own, named at the end."""
    lines = [_line(evening, place, begin) for place in places]
    for place, line in zip(places, lines, strict=True):
        _plot(strip, evening, place, line)
    values = np.concatenate([line.values for line in lines])
    room = 0.15 * max(float(np.ptp(values)), 1.0)
    strip.set_ylim(float(values.min()) - room, float(values.max()) + room)
    strip.set_yticks([])
    for place, line in zip(places, lines, strict=True):
        _cross(strip, evening, place, line, begin)
    hottest = ", ".join(f"{line.name} at most {line.values.max():.0f}" for line in lines)
    outside(strip, hottest, (0.0, 1.0), (0, 2), color=lines[0].colour)
    return list(name_lines(strip, lines))


def _loads(strip: Axes, evening: Evening, loads: Sequence[Note], begin: float) -> None:
    """A post for each load, as high as its mass, named above; a bar across where its time is unsure."""
    masses = [None if it.mass is None else number(it.mass, "mass", evening.system) for it in loads]
    top = max((it for it in masses if it is not None), default=1.0)
    hours = [(note.seconds - begin) / HOUR for note in loads]
    heights = [0.35 * top if mass is None else mass for mass in masses]
    strip.set_ylim(0.0, POSTS * top)
    strip.set_yticks([])
    texts = [
        "?" if mass is None else mass_text(it, f"{mass:.1f}") for it, mass in zip(loads, masses, strict=True)
    ]
    places = _named_posts(strip, hours, heights, texts)
    for note, at, height, text, place in zip(loads, hours, heights, texts, places, strict=True):
        strip.plot([at, at], [0.0, height], color=look.WOOD, lw=4.0, solid_capstyle="butt")
        unsure = note.unsure / HOUR
        strip.plot([at - unsure, at + unsure], [height, height], color=look.INK, lw=1.2)
        strip.text(*place, text, va="bottom", ha="center", size=look.SMALLEST_TEXT, color=look.WOOD)
    outside(strip, f"wood put on [{unit_name('mass', evening.system)}]", (0.0, 1.0), (0, 2), color=look.WOOD)


def _named_posts(
    strip: Axes, hours: Sequence[float], heights: Sequence[float], texts: Sequence[str]
) -> list[tuple[float, float]]:
    """Where the words above posts stand: raised until they touch neither a post nor other words."""
    (left, right), top = strip.get_xlim(), strip.get_ylim()[1]
    line = 1.1 * look.SMALLEST_TEXT / (strip.get_position().height * look.HEIGHT * 72.0) * top
    half = [0.5 * _points(strip) * LETTER * look.SMALLEST_TEXT * max(len(text), 2) for text in texts]
    places: list[tuple[float, float]] = []
    for at, (own, height) in enumerate(zip(hours, heights, strict=True)):
        x, y = min(max(own, left + half[at]), right - half[at]), height
        near = [other for n, other in enumerate(hours) if n != at and abs(other - x) < half[at]]
        y = max([y, *(heights[hours.index(other)] for other in near)])
        while any(abs(x - u) < half[at] + half[n] and abs(y - v) < line for n, (u, v) in enumerate(places)):
            y += 0.5 * line
        places.append((x, min(y, top)))
    return places


def _points(strip: Axes) -> float:
    """Hours of the axes that a point of text takes, before the axes make room for names beside them."""
    left, right = strip.get_xlim()
    return (right - left) / (NARROWEST * look.WIDTH * 72.0)


def _levers(strip: Axes, evening: Evening, turned: Sequence[Note], begin: float) -> None:
    """Marks to which levers were turned, each at its time, in as many rows as keep them apart."""
    strip.set_ylim(LANES, 0.0)
    strip.set_yticks([])
    strip.grid(visible=False)
    (left, right), wide = strip.get_xlim(), _points(strip)
    free = [left - 1.0] * LANES
    for note in turned:
        text = " / ".join([note.air or "", *([note.damper] if note.damper else [])]).strip()
        hours = (note.seconds - begin) / HOUR
        lane = next((at for at, until in enumerate(free) if until <= hours), int(np.argmin(free)))
        free[lane] = hours + wide * (LETTER * look.SMALLEST_TEXT * len(text) + 6.0)
        flip = free[lane] > right
        strip.plot([hours, hours], [lane + 0.1, lane + 0.9], color=look.INK, lw=1.4)
        strip.annotate(
            text, (hours, lane + 0.5), xytext=(-3 if flip else 3, 0), textcoords="offset points", va="center",
            ha="right" if flip else "left", size=look.SMALLEST_TEXT, color=look.INK,
        )  # fmt: skip
    both = " / damper" if any(note.damper for note in turned) else ""
    outside(strip, f"turned to: air{both}", (0.0, 1.0), (0, 2), color=look.INK)


def _clock(top: Axes, below: Sequence[Axes], evening: Evening, span: tuple[float, float]) -> None:
    """Ticks where the camp's clock shows an even hour; every hour of a short log."""
    every = 2 if span[1] - span[0] > SHORT else 1
    ticks = [(moment, local) for moment, local in _full_hours(evening, span) if local.hour % every == 0]
    top.set_xticks([(moment - span[0]) / HOUR for moment, _ in ticks], [f"{local:%H}" for _, local in ticks])
    for strip in below:
        strip.tick_params(labelbottom=False)
    outside(top, "hour", (1.0, 0.0), (12, -6), va="top")


def _full_hours(evening: Evening, span: tuple[float, float]) -> Iterator[tuple[float, datetime]]:
    zone = evening.scenario.night.zone
    for quarter in range(int(span[0] // 900.0) + 1, int(span[1] // 900.0) + 1):
        local = datetime.fromtimestamp(900.0 * quarter, UTC).astimezone(zone)
        if local.minute == 0:
            yield 900.0 * quarter, local


def _shown(kelvin: Floats, evening: Evening) -> Floats:
    return np.array([number(float(it), "temperature", evening.system) for it in kelvin])
