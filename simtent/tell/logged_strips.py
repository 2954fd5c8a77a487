"""The strips under a logged night: stove and pipe, wood put on, to which marks the air was turned."""

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.text import Annotation

from simtent.logbook.notes import Note
from simtent.tell import look
from simtent.tell.evening import Evening
from simtent.tell.logged_lines import HOUR, cross, line_of, plot
from simtent.tell.logged_loads import mass_text
from simtent.tell.strips import outside
from simtent.tell.temperatures import name_lines
from simtent.units import number, unit_name

NOT_ALL = ", not all named"
LANES = 4  # rows of words for the air
POSTS = 2.2  # height of the strip of wood, in its highest post: room for two rows of words
LETTER, NARROWEST = 0.62, 0.66  # width of a letter in its size; of the axes in the picture's, about


def draw_fire(strip: Axes, evening: Evening, places: Sequence[str], begin: float) -> list[Annotation]:
    """Stove and pipe in a strip of their own, named at the end."""
    lines = [line_of(evening, place, begin) for place in places]
    for place, line in zip(places, lines, strict=True):
        plot(strip, evening, place, line)
    values = np.concatenate([line.values for line in lines])
    room = 0.15 * max(float(np.ptp(values)), 1.0)
    strip.set_ylim(float(values.min()) - room, float(values.max()) + room)
    strip.set_yticks([])
    for place, line in zip(places, lines, strict=True):
        cross(strip, evening, place, line, begin)
    hottest = ", ".join(f"{line.name} at most {line.values.max():.0f}" for line in lines)
    outside(strip, hottest, (0.0, 1.0), (0, 2), color=lines[0].colour)
    return list(name_lines(strip, lines))


def draw_loads(strip: Axes, evening: Evening, loads: Sequence[Note], begin: float) -> None:
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
        if place is not None:
            strip.text(*place, text, va="bottom", ha="center", size=look.SMALLEST_TEXT, color=look.WOOD)
    title = f"wood put on [{unit_name('mass', evening.system)}]{NOT_ALL if None in places else ''}"
    outside(strip, title, (0.0, 1.0), (0, 2), color=look.WOOD)


def draw_air(strip: Axes, turned: Sequence[Note], begin: float) -> None:
    """Marks to which the air was turned, each at its time, in as many rows as keep them apart."""
    strip.set_ylim(LANES, 0.0)
    strip.set_yticks([])
    strip.grid(visible=False)
    (left, right), point = strip.get_xlim(), _points(strip)
    free, left_out = [left - 1.0] * LANES, ""
    for note in turned:
        text, hours = note.air or "", (note.seconds - begin) / HOUR
        wide = point * (LETTER * look.SMALLEST_TEXT * len(text) + 6.0)
        flip = hours + wide > right
        lane = next((at for at, until in enumerate(free) if until <= hours - flip * wide), None)
        if lane is None:
            left_out = NOT_ALL
            strip.plot([hours, hours], [0.0, LANES], color=look.QUIET, lw=0.7, zorder=1)
            continue
        free[lane] = hours + (not flip) * wide
        strip.plot([hours, hours], [lane + 0.1, lane + 0.9], color=look.INK, lw=1.4)
        strip.annotate(
            text, (hours, lane + 0.5), xytext=(-3 if flip else 3, 0), textcoords="offset points", va="center",
            ha="right" if flip else "left", size=look.SMALLEST_TEXT, color=look.INK,
        )  # fmt: skip
    outside(strip, f"air turned to{left_out}", (0.0, 1.0), (0, 2), color=look.INK)


def _named_posts(
    strip: Axes, hours: Sequence[float], heights: Sequence[float], texts: Sequence[str]
) -> list[tuple[float, float] | None]:
    """Where the words above posts stand, raised until they touch neither a post nor other words; None without room."""
    (left, right), top = strip.get_xlim(), strip.get_ylim()[1]
    line = 1.1 * look.SMALLEST_TEXT / (strip.get_position().height * look.HEIGHT * 72.0) * top
    half = [0.5 * _points(strip) * LETTER * look.SMALLEST_TEXT * max(len(text), 2) for text in texts]
    places: list[tuple[float, float] | None] = []
    for at, (own, height) in enumerate(zip(hours, heights, strict=True)):
        x, y = min(max(own, left + half[at]), right - half[at]), height
        near = [other for n, other in enumerate(hours) if n != at and abs(other - x) < half[at]]
        y = max([y, *(heights[hours.index(other)] for other in near)])
        there = [(*place, half[n]) for n, place in enumerate(places) if place is not None]
        while any(abs(x - u) < half[at] + wide and abs(y - v) < line for u, v, wide in there):
            y += 0.25 * line
        places.append((x, y) if y <= top - line else None)
    return places


def _points(strip: Axes) -> float:
    """Hours of the axes that a point of text takes, before the axes make room for names beside them."""
    left, right = strip.get_xlim()
    width = float(strip.figure.bbox.width / strip.figure.dpi)
    return (right - left) / (NARROWEST * width * 72.0)
