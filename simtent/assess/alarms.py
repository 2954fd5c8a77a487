"""When a carbon monoxide alarm must sound and when it may, by two published patterns: intervals, never a point.

The patterns name times for a few constant concentrations. Between two of them an alarm has to sound no later than at
the lower, and does so no sooner than at the higher one. For a concentration that varies:

- it must have sound once the concentration has stayed at or above a named one, without a break, for that one's latest
  time;
- it may sound once so much time has gone by since the concentration first reached the lowest at which alarms may
  sound, as the highest concentration met until then names as its earliest.

Source of both tables: second-hand, through quotations of UL 2034 and EN 50291.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from simtent.assess.curves import Curve

MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class Point:
    """A concentration [ppm] and when an alarm sounds there: not before `earliest`, and by `latest` if given [min]."""

    ppm: float
    earliest: float
    latest: float | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """A kind of alarm.

    name    of the standard
    silent  concentration up to which it must stay silent all night [ppm]; 0 if none is named
    points  by rising concentration
    """

    name: str
    silent: float
    points: tuple[Point, ...]


UL_2034 = Pattern(
    "UL 2034", 30.0, (Point(70.0, 60.0, 240.0), Point(150.0, 10.0, 50.0), Point(400.0, 4.0, 15.0))
)
EN_50291 = Pattern(
    "EN 50291",
    0.0,
    (Point(30.0, 120.0), Point(50.0, 60.0, 90.0), Point(100.0, 10.0, 40.0), Point(300.0, 0.0, 3.0)),
)
PATTERNS = (UL_2034, EN_50291)


@dataclass(frozen=True, slots=True)
class Sounding:
    """Seconds since the night's begin between which an alarm starts to sound; None: it may stay silent.

    earliest  the first moment at which it may sound; None if it must not, or has no time to
    latest    the moment by which it must have sounded; None if it may stay silent
    """

    earliest: float | None
    latest: float | None


def earliest_minutes(pattern: Pattern, ppm: float) -> float | None:
    """Shortest time after which an alarm may sound in a constant concentration [min]; None where it must not."""
    if ppm <= pattern.silent or ppm <= 0.0:
        return None
    above = [point.earliest for point in pattern.points if point.ppm >= ppm]
    return above[0] if above else 0.0


def latest_minutes(pattern: Pattern, ppm: float) -> float | None:
    """Time within which an alarm must sound in a constant concentration [min]; None where it may stay silent."""
    times = [point.latest for point in pattern.points if point.ppm <= ppm and point.latest is not None]
    return min(times, default=None)


def sounding(pattern: Pattern, concentration: Curve) -> Sounding:
    """When an alarm of a pattern sounds in a concentration [ppm] that varies, by the rules told above."""
    must = [
        moment
        for point in pattern.points
        if point.latest is not None
        for moment in [_held(concentration.spans_above(np.nextafter(point.ppm, 0.0)), point.latest * MINUTE)]
        if moment is not None
    ]
    return Sounding(_first_possible(pattern, concentration), min(must, default=None))


def _held(spans: Sequence[tuple[float, float]], seconds: float) -> float | None:
    """The first moment by which one of the spans has lasted so long."""
    return next((begin + seconds for begin, end in spans if end - begin >= seconds), None)


def _first_possible(pattern: Pattern, concentration: Curve) -> float | None:
    spans = concentration.spans_above(pattern.silent)
    if not spans:
        return None
    begin = spans[0][0]
    # Moments at which the highest so far names another time, and what it names from there on.
    for (moment, wait), (until, _) in pairwise(_waits(pattern, concentration, begin)):
        due = max(moment, begin + wait * MINUTE)
        if due < until or (due == until == concentration.seconds[-1]):
            return due
    return None


def _waits(pattern: Pattern, concentration: Curve, begin: float) -> list[tuple[float, float]]:
    """From which moment [s] which shortest time holds [min], in order; the night's end closes the list."""
    found = [(begin, earliest_minutes(pattern, np.nextafter(pattern.silent, np.inf)) or 0.0)]
    for lower, upper in pairwise([*pattern.points, Point(np.inf, 0.0)]):
        spans = concentration.spans_above(lower.ppm)
        if spans:
            found.append((max(spans[0][0], begin), upper.earliest))
    found.append((float(concentration.seconds[-1]), np.inf))
    return found
