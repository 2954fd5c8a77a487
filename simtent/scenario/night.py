"""[night] and [wish]: when, and what is wanted."""

from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo
from functools import cached_property
from typing import Annotated, Any

from simtent.errors import Fault, InputError
from simtent.scenario.around import span_of
from simtent.scenario.clock import Span, clock_text, read_clock, read_date
from simtent.scenario.quantity import Count, Quantity, Reader, Words, text_default
from simtent.scenario.section import Section
from simtent.stamps import zone_from_text

AIR = ("-70 degC", "60 degC")
PLACEHOLDER = date(2099, 1, 1)
"""The evening of a draft that nobody has dated yet: no real night."""


@dataclass(frozen=True, kw_only=True)
class Clock(Reader):
    """A clock time as text, "22:30" or "22:30:17.25"; `in_night` refuses one outside the night."""

    in_night: bool = True

    def read(self, value: Any, context: Any = None) -> str:
        """The clock time, written HH:MM, with seconds where there are some."""
        clock = read_clock(value)
        if self.in_night and (span := span_of(context)) is not None:
            span.seconds_at(clock)
        return clock_text(clock)


@dataclass(frozen=True, kw_only=True)
class Day(Reader):
    """A date as text."""

    def read(self, value: Any, _context: Any = None) -> date:
        """The date."""
        return read_date(value)


@dataclass(frozen=True, kw_only=True)
class Zone(Reader):
    """A time zone as text."""

    def read(self, value: Any, _context: Any = None) -> tzinfo:
        """The zone."""
        if not isinstance(value, str):
            raise InputError(
                Fault("a time zone in quotes is wanted", todo='Write "-07:00", "UTC" or an IANA name')
            )
        return zone_from_text(value)


class Night(Section):
    """The night: from `begin` on the evening's date to `end`, at most 24 hours later."""

    evening: Annotated[
        date, Day(meaning="date on which the night begins; clock times before `begin` belong to the next day")
    ]
    zone: Annotated[
        tzinfo, Zone(meaning="fixed offset from UTC, or an IANA name where the clock may change this night")
    ]
    begin: Annotated[str, Clock(in_night=False, meaning="clock time at which the run begins")]
    end: Annotated[str, Clock(in_night=False, meaning="clock time at which the run ends")]
    inside_at_start: Annotated[
        float | None,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("-30 degC", "25 degC"),
            meaning="temperature of air, skin and contents at the begin; without it, as outdoors",
        ),
    ] = None  # fmt: skip

    def check_together(self, _span: Span | None) -> None:
        """Both ends exist on the clock, and the night has a length."""
        if self.begin == self.end:
            todo = "Let the night end at another clock time; it may last up to 24 hours"
            raise InputError(Fault("the night has no length: it ends when it begins", key="end", todo=todo))
        for key in ("begin", "end"):
            try:
                self.seconds_at(getattr(self, key), within=False)
            except InputError as error:
                raise InputError(replace(fault, key=key) for fault in error.faults) from None

    @cached_property
    def span(self) -> Span:
        """The night on the clock."""
        return Span(self.evening, self.zone, read_clock(self.begin), read_clock(self.end))

    @property
    def begin_utc(self) -> datetime:
        """The begin, in UTC."""
        return self.span.begin_utc

    @property
    def seconds(self) -> float:
        """Length of the night [s]."""
        return self.span.seconds

    def seconds_at(self, clock: str, *, within: bool = True) -> float:
        """Seconds from begin [s] of a clock time; InputError where the night has no such time."""
        return self.span.seconds_at(read_clock(clock), within=within)


class Wish(Section):
    """What is wanted from the night."""

    bed: Annotated[str | None, Clock(meaning="clock time of going to bed")] = None
    rise: Annotated[str | None, Clock(meaning="clock time of getting up")] = None
    cot_at_least: Annotated[
        float | None,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("-10 degC", "20 degC"),
            meaning="lowest wanted temperature at the level `cot`",
        ),
    ] = None  # fmt: skip
    head_at_most: Annotated[
        float | None,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("15 degC", "40 degC"),
            meaning="highest wanted temperature at the level `head` while still up",
        ),
    ] = None  # fmt: skip
    cot_at_rise: Annotated[
        float | None,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("-10 degC", "25 degC"),
            meaning="wanted temperature at the level `cot` when getting up",
        ),
    ] = None  # fmt: skip
    wake_ups_at_most: Annotated[
        int | None,
        Count(
            allowed=(0, 12),
            usual=(0, 4),
            meaning="how often I am willing to get up between bed and rise to put wood on",
        ),
    ] = None
    fire_may_go_out: Annotated[
        bool,
        Words(
            meaning="whether the fire may go out overnight; then a night with a relight before rising is told as well"
        ),
    ] = False
    coals: Annotated[
        float,
        Quantity(
            kind="share", unit_si="%", unit_us="%", allowed=("50 %", "99 %"), usual=("60 %", "95 %"),
            meaning="how sure it must be that the coals light a load which is planned; the default is our own choice",
        ),
    ] = text_default("80 %")  # fmt: skip

    def check_together(self, span: Span | None) -> None:
        """Bed comes before rise."""
        if not (span and self.bed and self.rise):
            return
        if span.seconds_at(read_clock(self.bed)) >= span.seconds_at(read_clock(self.rise)):
            raise InputError(
                Fault("rise is not after bed", key="rise", todo="Let rise be later in the night")
            )
