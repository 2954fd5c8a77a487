"""The night on the clock: dates and times of a place turned into seconds from the night's begin, and back."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cached_property

from simtent.errors import Fault, InputError

CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)(?::([0-5]\d)(?:\.(\d{1,6}))?)?")
TWELVE_HOURS = re.compile(r"(1[0-2]|0?[1-9])(?:[:.]([0-5]\d)(?::([0-5]\d))?)?\s*([ap])\.?m\.?", re.IGNORECASE)
LOOKS_LIKE_A_CLOCK = re.compile(r"(\d{1,2})[:.h ]?(\d{2})(?::\d{2})?")


def read_clock(text: object) -> time:
    """A clock time written "22:30" or "22:30:17.25", 00:00 to 23:59:59; InputError with the rewritten text otherwise.

    Seconds are kept to the microsecond.
    """
    if not isinstance(text, str):
        raise InputError(Fault("a clock time is wanted", todo='Write it in quotes, for example "22:30"'))
    found = CLOCK.fullmatch(text.strip())
    if found:
        return time(int(found[1]), int(found[2]), int(found[3] or 0), int((found[4] or "").ljust(6, "0")))
    raise InputError(
        Fault(
            f'"{text}" is no clock time',
            value=text,
            allowed='"00:00" to "23:59"',
            todo=f'Write it on the 24-hour clock, for example "{_rewritten(text)}"',
        )
    )


def clock_text(clock: time) -> str:
    """A clock time as `read_clock` reads it: HH:MM, and seconds only where there are some."""
    if not (clock.second or clock.microsecond):
        return f"{clock:%H:%M}"
    return f"{clock:%H:%M:%S.%f}".rstrip("0").rstrip(".") if clock.microsecond else f"{clock:%H:%M:%S}"


def read_date(text: object) -> date:
    """A date written "2031-02-14"; InputError with what to do otherwise."""
    todo = 'Write year, month and day, for example "2031-02-14"'
    if not isinstance(text, str):
        raise InputError(Fault("a date in quotes is wanted", todo=todo))
    try:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(Fault(f'the calendar has no day "{text}"', value=text, todo=todo)) from None
    raise InputError(Fault(f'"{text}" is no date', value=text, todo=todo))


@dataclass(frozen=True)
class Span:
    """A night at a place: from a clock time on the evening's date to one at most 24 hours later.

    A clock time before `begin` belongs to the next day. Seconds are true seconds: they count the hour that is
    repeated when the clocks are set back, and leave out the one that is skipped. Of a repeated clock time the
    first is meant.
    """

    evening: date
    zone: tzinfo
    begin: time
    end: time

    @cached_property
    def begin_utc(self) -> datetime:
        """The begin, in UTC."""
        return self.moment(self.evening, self.begin)

    @cached_property
    def seconds(self) -> float:
        """Length of the night [s]."""
        return (self._at(self.end) - self.begin_utc).total_seconds()

    def seconds_at(self, clock: time, *, within: bool = True) -> float:
        """Seconds from begin [s] of a clock time; InputError if the clocks skip it.

        Also InputError if it is not within the night, unless `within` is off.
        """
        seconds = (self._at(clock) - self.begin_utc).total_seconds()
        if within and not 0.0 <= seconds <= self.seconds:
            span = f"{clock_text(self.begin)} to {clock_text(self.end)}"
            raise InputError(
                Fault(
                    f"{clock_text(clock)} is outside the night",
                    value=clock_text(clock),
                    allowed=span,
                    todo="Move it into the night, or change begin or end under [night]",
                )
            )
        return seconds

    def moment(self, day: date, clock: time) -> datetime:
        """A clock time of a day in UTC; InputError if the clocks skip it that day."""
        local = datetime.combine(day, clock, tzinfo=self.zone)
        moment = local.astimezone(UTC)
        back = moment.astimezone(self.zone)
        if back.replace(tzinfo=None) != local.replace(tzinfo=None):
            raise InputError(
                Fault(
                    f"{clock_text(clock)} does not exist on {day}: the clocks are set forward",
                    value=clock_text(clock),
                    todo=f'One hour of the clock is skipped; perhaps "{clock_text(back.time())}" is meant',
                )
            )
        return moment

    def clock_at(self, seconds: float) -> datetime:
        """Local time of a moment given in seconds from begin [s]."""
        return (self.begin_utc + timedelta(seconds=seconds)).astimezone(self.zone)

    def _at(self, clock: time) -> datetime:
        day = self.evening if clock >= self.begin else self.evening + timedelta(days=1)
        return self.moment(day, clock)


def _rewritten(text: str) -> str:
    """The likeliest 24-hour time behind a text that is none."""
    twelve = TWELVE_HOURS.fullmatch(text.strip())
    if twelve:
        hour = int(twelve[1]) % 12 + (12 if twelve[4].lower() == "p" else 0)
        return f"{hour:02d}:{twelve[2] or '00'}{f':{twelve[3]}' if twelve[3] else ''}"
    if CLOCK.fullmatch(point := text.strip().replace(",", ".")):
        return point
    found = LOOKS_LIKE_A_CLOCK.fullmatch(text.strip())
    if found and int(found[1]) <= 24 and int(found[2]) <= 59:
        return f"{int(found[1]) % 24:02d}:{found[2]}"
    return "22:30"
