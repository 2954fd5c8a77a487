"""Times as people note them by their watch: a clock time of that night, sure or unsure; a date where one is given."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise

from simtent.errors import Fault, InputError
from simtent.scenario.clock import TWELVE_HOURS, clock_text, read_clock
from simtent.stamps import both_offsets, moment_from_text
from simtent.units import to_si

ABOUT = 600.0  # s, one standard deviation of "~21:30"; own choice
LARGEST = 4.0 * 3600.0  # s, of what stands behind +-
NOON, DAY = time(12), timedelta(days=1)
_UNSURE = re.compile(r"(.*?)\s*(?:\+\s*/?\s*-|±)\s*(.+)")
_ABOUT = re.compile(r"(?i)(?:~|≈|about\b|around\b|ca\.?(?=[\s\d]))\s*(.+)|(.+?)\s*\?")
_PARTS = re.compile(r"(\d{4}-\d{2}-\d{2}|\d{1,4}[./-]\d{1,2}[./-]\d{1,4})[T ,]+(.+)")
_EXAMPLE = 'Write "21:30", "21:30:15", "~21:30" or "21:30 +-10 min", with the date before it or without'


@dataclass(frozen=True, slots=True)
class Watch:
    """The watch of a night: what it shows from noon of the evening on to the next noon."""

    evening: date
    zone: tzinfo

    def moment(self, text: str) -> tuple[float, float]:
        """A noted time [s since 1970, UTC] and its standard deviation [s]; InputError for what is none.

        "~21:30" is unsure by ten minutes, "21:30 +-20 min" by so much; a bare clock time belongs to this night.
        """
        plain, unsure = _certainty(text.strip().replace("\u2212", "-"))
        local = self._dated(plain) or self._bare(plain)
        if not self._within(local):
            what = f"{local:%Y-%m-%d} {clock_text(local.time())} is not of the night of {self.evening}"
            begin = f"{self.evening} 12:00 to the next noon"
            raise InputError(Fault(what, allowed=begin, todo="Correct the date, or the log's evening"))
        return self._utc(local), unsure

    def half_clock(self, clocks: Sequence[tuple[int, str]]) -> Iterator[Fault]:
        """A fault where lines of bare clock times go on at 1:00 after 12:59 and none says am or pm."""
        plain = [(line, text, re.fullmatch(r"\D*(\d{1,2}):\d{2}.*", text)) for line, text in clocks]
        if not all(found for _, _, found in plain) or any(re.search(r"(?i)[ap]\.?m", it) for _, it in clocks):
            return
        hours = [(line, text, int(found[1])) for line, text, found in plain if found]
        if not all(1 <= hour <= 12 for _, _, hour in hours):
            return
        for (_, _, earlier), (line, text, later) in pairwise(hours):
            if earlier in (11, 12) and later < 11:
                what = f"times go on from {earlier}:00 to {later}:00, and none says whether am or pm"
                yield Fault(
                    f'in column "time": {what}',
                    None,
                    line,
                    None,
                    text,
                    None,
                    'Write 24-hour times, or "1:00 pm"',
                )
                return

    def _within(self, local: datetime) -> bool:
        noon = datetime.combine(self.evening, NOON)
        return noon <= local.replace(tzinfo=None) <= noon + DAY

    def _dated(self, text: str) -> datetime | None:
        """A time with its date; of two orders of day and month the one that is of this night."""
        found = _PARTS.fullmatch(text)
        if not found:
            return None
        day, clock = found.groups()
        ways = {moment_from_text(f"{day} {_full(clock)}", first) for first in (True, False)} - {None}
        moments = [it.astimezone(self.zone) if it.tzinfo else it for it in ways if it is not None]
        if not moments:
            raise InputError(Fault("the time cannot be read", todo=_EXAMPLE))
        return next((it for it in moments if self._within(it)), moments[0])

    def _bare(self, text: str) -> datetime:
        half = TWELVE_HOURS.fullmatch(text)
        if half:
            hour = int(half[1]) % 12 + (12 if half[4].lower() == "p" else 0)
            clock = time(hour, int(half[2] or 0), int(half[3] or 0))
        else:
            try:
                clock = read_clock(text.replace(",", "."))
            except InputError as error:
                todo = (error.faults[0].todo or "").replace(' for example "22:30"', ' for example "21:30"')
                if '"22:30"' in (error.faults[0].todo or ""):
                    todo = _EXAMPLE
                raise InputError(Fault("the time cannot be read", todo=todo)) from None
        return datetime.combine(self.evening if clock >= NOON else self.evening + DAY, clock)

    def _utc(self, local: datetime) -> float:
        if local.tzinfo is not None:
            return local.timestamp()
        offset, later = both_offsets(local, self.zone)
        if later > offset:
            what = f"{clock_text(local.time())} does not exist that night: the clocks were set forward"
            raise InputError(Fault(what, todo="Write what the watch showed after it was set"))
        return (local - offset).replace(tzinfo=UTC).timestamp()


def _certainty(text: str) -> tuple[str, float]:
    """The time without what says how sure it is, and one standard deviation [s]."""
    if found := _UNSURE.fullmatch(text):
        try:
            unsure = to_si(found[2], "duration")
        except InputError as error:
            todo = 'Write how unsure it is with its unit, for example "21:30 +-10 min"'
            raise InputError(Fault(error.faults[0].what, todo=todo)) from None
        if not 0.0 <= unsure <= LARGEST:
            raise InputError(
                Fault("so unsure a time tells nothing", allowed="up to 4 h", todo="Leave the row out")
            )
        return _certainty(found[1])[0], unsure
    if found := _ABOUT.fullmatch(text):
        return (found[1] or found[2]).strip(), ABOUT
    return text, 0.0


def _full(clock: str) -> str:
    """A clock behind a date as the reader of dates takes it: with minutes."""
    half = re.fullmatch(r"(?i)(\d{1,2})\s*([ap])\.?m\.?", clock.strip())
    return f"{half[1]}:00 {half[2]}m" if half else clock.strip()
