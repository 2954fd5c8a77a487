"""What a logged night says by itself: extremes, gaps, peaks after loads, hours against a limit. No model."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.logged import Logged, Sensor
from simtent.logbook.notes import Note

# Own choices, no source.
GAP = 3.0  # usual steps; a longer step is a gap, over which nothing is drawn or counted
PROMINENT, PROMINENT_AT_FIRE = (
    2.0,
    40.0,
)  # K that a secondary peak stands out by; at levels, at stove and pipe
ROSE = 0.5  # K that a place must rise after a load, or the load shows no peak there

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Track:
    """Readings without those that may be made up, times rising, shape (n,) each."""

    seconds: Floats  # since 1970 [s]
    kelvin: Floats

    @classmethod
    def of(cls, sensor: Sensor) -> "Track":
        """The readings of a sensor that are not suspect."""
        kept = ~np.asarray(sensor.suspect, bool)
        return cls(np.asarray(sensor.seconds)[kept], np.asarray(sensor.kelvin)[kept])

    @property
    def usual_step(self) -> float:
        """The middle step between readings [s]; 0 for a single one."""
        return float(np.median(np.diff(self.seconds))) if self.seconds.size > 1 else 0.0

    def between(self, begin: float, end: float) -> "Track":
        """The readings from one time to another."""
        within = (self.seconds >= begin) & (self.seconds <= end)
        return Track(self.seconds[within], self.kelvin[within])

    def gaps(self) -> Iterator[tuple[float, float]]:
        """Begin and end of every gap [s]."""
        wide = np.flatnonzero(np.diff(self.seconds) > GAP * self.usual_step)
        return ((float(self.seconds[at]), float(self.seconds[at + 1])) for at in wide)


@dataclass(frozen=True, slots=True)
class Reading:
    """A temperature [K] and its time [s since 1970]."""

    kelvin: float
    seconds: float


@dataclass(frozen=True, slots=True)
class Extent:
    """How far a sensor's readings go; suspect ones are only counted."""

    place: str
    count: int
    suspect: int
    lowest: Reading | None
    highest: Reading | None
    gaps: int
    longest_gap: tuple[float, float] | None


def extent(place: str, sensor: Sensor) -> Extent:
    """Lowest and highest reading of a sensor, and its gaps."""
    track = Track.of(sensor)
    gaps = list(track.gaps())
    longest = max(gaps, key=lambda it: it[1] - it[0], default=None)
    suspect = sum(sensor.suspect)
    if not track.seconds.size:
        return Extent(place, len(sensor.kelvin), suspect, None, None, 0, None)
    ends = _at(track, int(np.argmin(track.kelvin))), _at(track, int(np.argmax(track.kelvin)))
    return Extent(place, len(sensor.kelvin), suspect, *ends, len(gaps), longest)


@dataclass(frozen=True, slots=True)
class Peak:
    """What a load did at a place, from then to the next load or the last reading.

    top     the highest reading; None where nothing was logged or nothing rose
    rising  whether it still rose at the end of that time
    more    other peaks that stand out by `PROMINENT`, in the order of time
    """

    top: Reading | None
    rising: bool = False
    more: tuple[Reading, ...] = ()


def peak_after(load: Note, until: float, place: str, logged: Logged) -> Peak:
    """The peaks at a place from a load to a later time [s since 1970]."""
    if place not in logged.sensors:
        return Peak(None)
    track = Track.of(logged.sensors[place]).between(load.seconds, until)
    if track.seconds.size < 2:
        return Peak(None)
    highest = int(np.argmax(track.kelvin))
    if track.kelvin[highest] < track.kelvin[0] + ROSE:
        return Peak(None)
    rising = highest == track.seconds.size - 1
    limit = PROMINENT_AT_FIRE if place in AT_FIRE else PROMINENT
    more = (at for at in _prominent(track.kelvin, highest, limit) if at != highest)
    return Peak(_at(track, highest), rising, tuple(_at(track, at) for at in more))


def _prominent(kelvin: Floats, highest: int, limit: float) -> Sequence[int]:
    """Peaks, the highest reading among them, between each two of which it is colder than both by the limit."""
    from scipy.signal import find_peaks  # noqa: PLC0415  (slow to load, and only this needs it)

    kept: list[int] = []
    for at in sorted({highest, *find_peaks(kelvin, prominence=limit)[0].tolist()}):
        one = kept and kelvin[kept[-1] : at + 1].min() > min(kelvin[kept[-1]], kelvin[at]) - limit
        if not one:
            kept.append(at)
        elif at == highest:  # two points of one flat peak
            kept[-1] = at
    return kept


def fell_below(limit: float, begin: float, until: float, sensor: Sensor) -> float | None:
    """How long after `begin` [s since 1970] a place that had reached the limit fell below it for the first time [s].

    None where it never reached the limit, infinite where it did not fall below it until then. Where it fell in a gap,
    the first reading after the gap counts.
    """
    whole = Track.of(sensor)
    track = whole.between(begin, until)
    above = np.flatnonzero(track.kelvin >= limit)
    if not above.size:
        return None
    below = np.flatnonzero(track.kelvin[above[0] :] < limit)
    if not below.size:
        return math.inf
    at = int(above[0] + below[0])
    if track.seconds[at] - track.seconds[at - 1] > GAP * whole.usual_step:
        return float(track.seconds[at] - begin)
    before, after = track.kelvin[at - 1], track.kelvin[at]
    share = (before - limit) / (before - after)
    crossing = track.seconds[at - 1] + share * (track.seconds[at] - track.seconds[at - 1])
    return float(crossing - begin)


def at(moment: float, sensor: Sensor) -> float | None:
    """The temperature at a moment [K], on a straight line between readings; None in a gap or outside them."""
    track = Track.of(sensor)
    if not track.seconds.size or not track.seconds[0] <= moment <= track.seconds[-1]:
        return None
    if any(begin < moment < end for begin, end in track.gaps()):
        return None
    return float(np.interp(moment, track.seconds, track.kelvin))


@dataclass(frozen=True, slots=True)
class Hours:
    """Time [s] that a place was at least at a limit, below it, and not logged."""

    above: float
    below: float
    unknown: float


def hours_against(limit: float, begin: float, end: float, sensor: Sensor) -> Hours:
    """The time between two moments [s since 1970], parted at a limit [K]; straight lines between readings."""
    track = Track.of(sensor)
    above = below = 0.0
    longest = GAP * track.usual_step
    for at in range(track.seconds.size - 1):
        first, last = float(track.seconds[at]), float(track.seconds[at + 1])
        left, right = max(first, begin), min(last, end)
        if right <= left or last - first > longest:
            continue
        ends = np.interp((left, right), (first, last), (track.kelvin[at], track.kelvin[at + 1])) - limit
        share = _share_above(float(ends[0]), float(ends[1]))
        above += share * (right - left)
        below += (1.0 - share) * (right - left)
    return Hours(above, below, max(end - begin - above - below, 0.0))


def _share_above(first: float, last: float) -> float:
    """Share of a straight line that is at 0 or above."""
    if min(first, last) >= 0.0:
        return 1.0
    if max(first, last) < 0.0:
        return 0.0
    return max(first, last) / abs(last - first)


def difference(high: Sensor, low: Sensor) -> tuple[float, Reading] | None:
    """The middle of one place's rise over another [K], and the largest with its time; None without common times."""
    upper, lower = Track.of(high), Track.of(low)
    if not (upper.seconds.size and lower.seconds.size):
        return None
    common = upper.between(float(lower.seconds[0]), float(lower.seconds[-1]))
    known = np.ones(common.seconds.size, bool)
    for begin, end in lower.gaps():
        known &= ~((common.seconds > begin) & (common.seconds < end))
    seconds, kelvin = common.seconds[known], common.kelvin[known]
    if not seconds.size:
        return None
    rise = kelvin - np.interp(seconds, lower.seconds, lower.kelvin)
    largest = int(np.argmax(rise))
    return float(np.median(rise)), Reading(float(rise[largest]), float(seconds[largest]))


def loads_of(logged: Logged) -> list[tuple[Note, float]]:
    """Every load, with the time of the next or of the last reading [s since 1970]."""
    loads = [note for note in logged.notes if note.loaded]
    last = max(sensor.seconds[-1] for sensor in logged.sensors.values())
    ends = [note.seconds for note in loads[1:]] + [last] * bool(loads)
    return list(zip(loads, ends, strict=True))


def coldest(sensor: Sensor, begin: float, end: float) -> Reading | None:
    """The lowest reading between two moments [s since 1970]."""
    track = Track.of(sensor).between(begin, end)
    return _at(track, int(np.argmin(track.kelvin))) if track.seconds.size else None


def by_height(places: Sequence[str], heights: dict[str, float]) -> list[str]:
    """Named levels from the top down, then what hangs elsewhere, in the order given."""
    levels = sorted((it for it in places if it in heights), key=lambda it: -heights[it])
    return [*levels, *(it for it in places if it not in heights)]


def _at(track: Track, index: int) -> Reading:
    return Reading(float(track.kelvin[index]), float(track.seconds[index]))
