"""A night in a few lines of a terminal: head and cot as rows of marks, loads beneath, the hours, and it all in words.

A mark stands for some minutes of the camp's clock: the cot's lowest in them, the head's highest. Blocks grow with the
temperature where the output has them; elsewhere digits do, 0 at the lowest and 9 at the highest.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import xarray as xr

from simtent.assess.curves import Curve, curve, seconds_of
from simtent.assess.moments import clock, full_hours, local
from simtent.scenario.scenario import Scenario
from simtent.tell.signs import BLOCKS
from simtent.tell.wished import Wished
from simtent.tell.words import degree_number, degree_unit, degrees, paragraph, whole
from simtent.units import System

DIGITS = "0123456789"
STEPS = (10, 12, 15, 20, 30, 60)  # minutes a mark, each a part of an hour
NAME = 6  # width of the names at the left
LOAD, WAKE, BED = "L", "W", "-"
BETWEEN = 3  # columns from the begin of one hour's figures to the next, at least


@dataclass(frozen=True, slots=True)
class Grid:
    """The columns of a night: minutes of each, how far the begin is past the first one's begin [s], the night [s]."""

    minutes: int
    past: float
    seconds: float

    @property
    def columns(self) -> int:
        """How many there are."""
        return self.at(self.seconds) + 1

    def at(self, moment: float) -> int:
        """The column of a moment [s from begin]; the night's end belongs to the last.

        >>> [Grid(20, 600.0, 7200.0).at(moment) for moment in (0.0, 599.0, 600.0, 7200.0)]
        [0, 0, 1, 6]
        """
        width = 60.0 * self.minutes
        last = int((self.seconds + self.past - 1e-6) / width)
        return min(int((moment + self.past + 1e-6) / width), last)

    def spans(self) -> list[tuple[float, float]]:
        """Begin and end of each column [s from begin], within the night."""
        width = 60.0 * self.minutes
        edges = [min(max(k * width - self.past, 0.0), self.seconds) for k in range(self.columns + 1)]
        return list(pairwise(edges))


@dataclass(frozen=True, slots=True)
class Track:
    """A row of marks: its name, which of a column's temperatures it shows, moment [s from begin] and value [degC]."""

    name: str
    which: str
    points: tuple[tuple[float, float], ...]

    @property
    def values(self) -> tuple[float, ...]:
        """A temperature for each column [degC]."""
        return tuple(value for _, value in self.points)

    def least(self) -> tuple[float, float]:
        """Moment [s from begin] and value [degC] of the lowest mark."""
        return min(self.points, key=lambda it: it[1])

    def most(self) -> tuple[float, float]:
        """Moment [s from begin] and value [degC] of the highest mark."""
        return max(self.points, key=lambda it: it[1])


def marks(values: Sequence[float], signs: str) -> str:
    """A sign for each value, from the first of `signs` at the lowest to the last at the highest.

    >>> marks([3.0, 4.0, 10.0, 6.0], DIGITS)
    '0194'
    >>> marks([3.0, 3.0], BLOCKS)
    '▁▁'
    """
    low, high = min(values), max(values)
    size = (len(signs) - 1) / (high - low) if high > low else 0.0
    return "".join(signs[int((value - low) * size + 0.5)] for value in values)


def minutes_a_mark(seconds: float, room: int) -> int:
    """The shortest step by which a night [s] fits into so many columns, one more for an hour cut in two.

    >>> minutes_a_mark(14.5 * 3600.0, 57), minutes_a_mark(14.5 * 3600.0, 37)
    (20, 30)
    """
    fits = (step for step in STEPS if seconds / (60.0 * step) + 1.0 <= room)
    return next(fits, STEPS[-1])


def strip(
    scenario: Scenario, dataset: xr.Dataset, system: System, columns: int, *, blocks: bool
) -> list[str]:
    """Lines of at most so many columns: head and cot (in the open the stove), loads, hours; then all of it in words.

    blocks  whether the output takes block elements
    """
    night = scenario.night
    room = columns - NAME - 2 - len(f"-100 to -100 {degree_unit(system)}")
    first = local(night, 0.0)
    minutes = minutes_a_mark(night.seconds, room)
    grid = Grid(minutes, 60.0 * (first.minute % minutes), night.seconds)
    tracks, signs = _tracks(dataset, grid), BLOCKS if blocks else DIGITS
    lines = [f"{track.name:<{NAME}}{marks(track.values, signs)}  {_ends(track, system)}" for track in tracks]
    loads = _loads(dataset)
    wished = Wished.of(scenario)
    if loads:
        lines.append(f"{'loads':<{NAME}}{_loaded(loads, wished, grid)}".rstrip())
    lines.append(f"{'hour':<{NAME}}{_hours(scenario, grid)}")
    words = [f"A mark is {minutes} min.", *(_sentence(scenario, track, system) for track in tracks)]
    words += [_scale(len(tracks), blocks), *([_key(scenario, loads, wished)] if loads else [])]
    return [*lines, "", *paragraph(" ".join(words))]


def _tracks(dataset: xr.Dataset, grid: Grid) -> list[Track]:
    if "level" not in dataset.dims:
        return [_highest("stove", curve(dataset, "stove_temperature"), grid)]
    head, cot = (curve(dataset, "level_temperature", level=name) for name in ("head", "cot"))
    return [
        _highest("head", head, grid),
        Track("cot", "lowest", tuple(cot.between(*span).lowest() for span in grid.spans())),
    ]


def _highest(name: str, given: Curve, grid: Grid) -> Track:
    return Track(name, "highest", tuple(given.between(*span).highest() for span in grid.spans()))


def _ends(track: Track, system: System) -> str:
    """The lowest and the highest mark of a row, with their unit."""
    low = whole(degree_number(track.least()[1], system))
    return f"{low} to {degrees(track.most()[1], system)}"


def _loads(dataset: xr.Dataset) -> list[float]:
    """Moments at which wood is put on [s from begin]."""
    if "event" not in dataset.dims or "fuel_mass" not in dataset:
        return []
    moments = seconds_of(dataset, dataset["event_time"].values).tolist()
    masses = dataset["event_mass"].values.tolist()
    return [moment for moment, mass in zip(moments, masses, strict=True) if mass > 0.0]


def _woken(loads: Iterable[float], wished: Wished) -> list[float]:
    """Loads that somebody has to get up for: after going to bed, and before rising."""
    if wished.bed is None:
        return []
    return [moment for moment in loads if wished.bed < moment < wished.in_bed[1]]


def _loaded(loads: Sequence[float], wished: Wished, grid: Grid) -> str:
    """The row of loads; a wake-up hides a load in the same column, a load the dash of lying in bed."""
    row = [" "] * grid.columns
    if wished.bed is not None:
        begin, end = map(grid.at, wished.in_bed)
        row[begin : end + 1] = BED * (end + 1 - begin)
    woken = _woken(loads, wished)
    for moment in sorted(loads, key=lambda it: it in woken):
        row[grid.at(moment)] = WAKE if moment in woken else LOAD
    return "".join(row)


def _hours(scenario: Scenario, grid: Grid) -> str:
    """Full hours of the camp's clock, each where its column begins, as many as there is room for."""
    night = scenario.night
    every = -(-BETWEEN * grid.minutes // 60)
    row = ""
    for moment in full_hours(night):
        hour, column = local(night, moment).hour, grid.at(moment)
        if hour % every == 0 and column >= len(row) + (1 if row else 0):
            row = f"{row:<{column}}{hour:02d}"
    return row


def _sentence(scenario: Scenario, track: Track, system: System) -> str:
    """A row in words: from where to where it goes, and when."""
    low, high = (
        f"{degrees(value, system)} at {clock(scenario.night, moment)}"
        for moment, value in (track.least(), track.most())
    )
    return f"{track.name}, the {track.which} in each: least {low}, most {high}."


def _scale(rows: int, blocks: bool) -> str:
    ends = "lowest block least, full block most" if blocks else "0 least, 9 most"
    return f"{'Each row has a scale of its own' if rows > 1 else 'Marks'}: {ends}."


def _key(scenario: Scenario, loads: Sequence[float], wished: Wished) -> str:
    """What stands in the row of loads, in words."""
    count = f"{len(loads)} load{'s' if len(loads) != 1 else ''}"
    if wished.bed is None:
        return f"{LOAD}: {count}."
    woken = [clock(scenario.night, moment) for moment in _woken(loads, wished)]
    times = f", at {', '.join(woken)}" if woken else ""
    span = " to ".join(clock(scenario.night, moment) for moment in wished.in_bed)
    return f"{LOAD}: {count}, of which {WAKE} {len(woken)} to get up for{times}; {BED} in bed, {span}."
