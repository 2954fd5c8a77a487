"""Where on earth and by which clock the sun shines: a latitude as text, and solar noon in the night's own time."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta, tzinfo
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span, read_clock
from simtent.scenario.quantity import Quantity

NOON = time(12)
SIDE = re.compile(r"(.*[^\s])\s*\b(n|s|north|south)\.?", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class Latitude(Quantity):
    """A latitude: "47 deg", "47 deg N" and "33 deg S" are read; without a letter the south is negative."""

    def read(self, value: Any, context: Any = None) -> float:
        """The latitude [rad], positive in the north."""
        found = SIDE.fullmatch(value.strip()) if isinstance(value, str) else None
        if found is None:
            return super().read(value, context)
        size = super().read(found[1], context)
        if size < 0.0:
            todo = f'Write "{found[1].strip().lstrip("-+ ")} {found[2]}", or leave the letter out'
            raise InputError(Fault("a sign and a letter for the same thing", value=value, todo=todo))
        return -size if found[2].lower().startswith("s") else size

    def example(self) -> str:
        """How the value is written."""
        return 'Write it in degrees and quotes: "47 deg N", "33.5 deg S"'


@dataclass(frozen=True, slots=True)
class Daylight:
    """By what the sun stands where it does.

    latitude  [rad], positive in the north
    noon      solar noon on the evening's date, from the night's begin [s]; the next comes a day later
    day       that date's day of the year, from 1
    """

    latitude: float
    noon: float
    day: int


def daylight(latitude: float, solar_noon: str | None, span: Span) -> Daylight:
    """The sun of a night; without a solar noon it is 12:00 of the zone's standard time."""
    if solar_noon is None:
        noon = datetime.combine(span.evening, NOON, tzinfo=UTC) - _standard(span.zone, span.evening.year)
    else:
        noon = datetime.combine(span.evening, read_clock(solar_noon), tzinfo=span.zone).astimezone(UTC)
    day = span.evening.timetuple().tm_yday
    return Daylight(latitude, (noon - span.begin_utc).total_seconds(), day)


def _standard(zone: tzinfo, year: int) -> timedelta:
    """How far the zone is ahead of UTC without summer time: the least of the year's offsets."""
    offsets = (datetime(year, month, 15, 12, tzinfo=zone).utcoffset() for month in (1, 7))
    return min(offset or timedelta() for offset in offsets)
