"""The picture of a logged night: readings by height, stove and pipe, wood put on, the air. Nothing simulated."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.measures import Track
from simtent.tell import frame, look
from simtent.tell.evening import Evening
from simtent.tell.figure import SHORT, make_room
from simtent.tell.logged_lines import HOUR, cross, line_of, plot
from simtent.tell.logged_strips import draw_air, draw_fire, draw_loads
from simtent.tell.placing import Trace
from simtent.tell.strips import outside
from simtent.tell.temperatures import Canvas, Line, beside, draw_wishes, name_lines, view
from simtent.tell.wished import Wished
from simtent.tell.words import degree_unit
from simtent.units import number


def to_bytes(evening: Evening, form: str = "png") -> bytes:
    """Draw the night; the picture as a file that says whose it is."""
    return frame.as_file(evening.camp, lambda: draw(evening), form)


def draw(evening: Evening) -> Figure:
    """The picture: temperatures, then strips for stove and pipe, wood, air; cautions on top."""
    figure = frame.blank()
    begin, end = _span(evening)
    fire = [place for place in AT_FIRE if place in evening.logged.sensors and not evening.logged.in_the_open]
    upper = [place for place in evening.places if place not in fire]
    if not upper:  # a burn in a shelter of which only stove or pipe was logged
        fire, upper = [], fire
    loads = [note for note in evening.logged.notes if note.loaded]
    turned = [note for note in evening.logged.notes if note.air]
    top, strips = _axes(figure, [bool(fire), bool(loads), bool(turned)])
    lines = [line_of(evening, place, begin) for place in upper]
    canvas = _temperatures(top, evening, upper, lines, (begin, end))
    names = list(name_lines(top, lines))
    below = [strip for strip in strips if strip]
    if strips[0]:
        names += draw_fire(strips[0], evening, fire, begin)
    if strips[1]:
        draw_loads(strips[1], evening, loads, begin)
    if strips[2]:
        draw_air(strips[2], turned, begin)
    make_room(figure, names, (top, *below))
    _words(canvas, evening, begin)
    _clock(top, below, evening, (begin, end))
    for note in loads:
        for axes in (top, *below):
            axes.axvline((note.seconds - begin) / HOUR, color=look.RULE, lw=0.9, zorder=0)
    what = "burn in the open" if evening.logged.in_the_open else "night"
    told = f"{what} of {evening.logged.evening}, as logged, in {degree_unit(evening.system)}"
    frame.heading(figure, evening.camp, told)
    doubtful = sum(sum(sensor.suspect) for sensor in evening.logged.sensors.values())
    crosses = f" x: doubtful readings, {doubtful}." if doubtful else ""
    frame.footing(figure, evening.camp, crosses, kind="Logged, not calculated.")
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
    heights, bottom = (0.095, 0.08, 0.085), 0.085
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


def _temperatures(
    axes: Axes, evening: Evening, places: Sequence[str], lines: Sequence[Line], span: tuple[float, float]
) -> Canvas:
    """The lines, and a cross at every doubtful reading, at the edge where it lies outside the view."""
    for place, line in zip(places, lines, strict=True):
        plot(axes, evening, place, line)
    wish = evening.scenario.wish
    asked = [] if evening.logged.in_the_open else [wish.cot_at_least, wish.cot_at_rise]
    shown = [number(it, "temperature", evening.system) for it in asked if it is not None]
    values = np.concatenate([line.values for line in lines])
    axes.set_xlim(0.0, (span[1] - span[0]) / HOUR)
    canvas = view(axes, lines, min([float(values.min()), *shown]), max([float(values.max()), *shown]))
    for place, line in zip(places, lines, strict=True):
        for point in zip(*canvas.shares(*cross(axes, evening, place, line, span[0])), strict=True):
            canvas.drawn.append(Trace(*(np.array([share]) for share in point)))
    return canvas


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
