"""Logged readings as lines: each place its colour, gaps left open, crosses at what is doubtful."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from simtent.logbook.logged import Sensor
from simtent.logbook.measures import Floats, Track
from simtent.tell import look
from simtent.tell.evening import Evening
from simtent.tell.temperatures import THIN, Line, shades
from simtent.units import number

HOUR = 3600.0
OUTDOORS = "outdoors"
COLOURS = {"stove": look.HEAT, "pipe": look.PIPE, OUTDOORS: look.OUTDOORS}
MOST_CROSSES = 5  # of a sensor, about
INSIDE = 0.02  # share of the axes that a cross keeps from their edge


def line_of(evening: Evening, place: str, begin: float) -> Line:
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


def plot(axes: Axes, evening: Evening, place: str, line: Line) -> None:
    """A line with its gaps left open."""
    track = _track(evening.logged.sensors[place])
    ends = [int(np.searchsorted(track.seconds, after)) for _, after in track.gaps()]
    hours, values = (np.insert(it, ends, np.nan) for it in (line.hours, line.values))
    axes.plot(hours, values, color=line.colour, lw=line.weight, ls=line.dashes, solid_capstyle="round")


def cross(axes: Axes, evening: Evening, place: str, line: Line, begin: float) -> tuple[Floats, Floats]:
    """Crosses at doubtful readings, of long runs a few; their hours and values, no farther than the axes' edge."""
    sensor = evening.logged.sensors[place]
    flagged = np.asarray(sensor.suspect, bool)
    hours = (np.asarray(sensor.seconds)[flagged] - begin) / HOUR
    low, high = axes.get_ylim()
    edge = INSIDE * (high - low)
    values = np.clip(_shown(np.asarray(sensor.kelvin)[flagged], evening), low + edge, high - edge)
    every = max(hours.size // MOST_CROSSES, 1)
    how: dict[str, Any] = {"ls": "", "marker": "x", "ms": 5, "mew": 1.4, "clip_on": False, "zorder": 7}
    axes.plot(hours, values, color=line.colour, markevery=every, **how)
    return hours, values


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


def _track(sensor: Sensor) -> Track:
    """The readings to draw as a line: those that are not doubtful, or all where all are."""
    track = Track.of(sensor)
    return track if track.seconds.size else Track(np.asarray(sensor.seconds), np.asarray(sensor.kelvin))


def _shown(kelvin: Floats, evening: Evening) -> Floats:
    return np.array([number(float(it), "temperature", evening.system) for it in kelvin])
