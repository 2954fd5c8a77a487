"""[outdoors]: air, wind, cloud and humidity outside; steady, by a high and a low, or from a file."""

from collections.abc import Iterator, Set
from datetime import UTC, datetime, timedelta
from typing import Annotated, Literal

from pydantic import PrivateAttr

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span, read_clock
from simtent.scenario.dated import DatedFile, read_columns, refuse_holes, refuse_out_of_range, unit_faults
from simtent.scenario.night import AIR, Clock
from simtent.scenario.quantity import Quantity, Spread, Words, text_default
from simtent.scenario.section import Section
from simtent.scenario.track import Track, cut

Name = Literal["air", "wind", "cloud", "humidity"]

AIR_OUTSIDE = Quantity(
    kind="temperature", unit_si="degC", unit_us="degF", allowed=AIR, usual=("-40 degC", "15 degC"),
    prior=Spread.kelvins(1.0),
    meaning="temperature of the outdoor air",
)  # fmt: skip
WIND = Quantity(
    kind="speed", unit_si="m/s", unit_us="mph", allowed=("0 m/s", "25 m/s"), usual=("0 m/s", "10 m/s"),
    prior=Spread.factor(1.6),
    meaning="wind at the height of the shelter",
)  # fmt: skip
CLOUD = Quantity(
    kind="share",
    unit_si="%",
    unit_us="%",
    allowed=("0 %", "100 %"),
    prior=Spread.points(0.2),
    meaning="share of the sky covered by cloud",
)
HUMIDITY = Quantity(
    kind="share", unit_si="%", unit_us="%", allowed=("1 %", "100 %"), usual=("40 %", "100 %"),
    prior=Spread.points(0.1),
    meaning="relative humidity of the outdoor air, over water",
)  # fmt: skip
SHIFTS = Quantity(
    kind="temperature_difference", unit_si="K", unit_us="degF", allowed=("-40 K", "40 K"), usual=("-10 K", "10 K"),
    prior=Spread.kelvins(1.0),
    meaning="added to the outdoor temperature at all times",
)  # fmt: skip
COLUMNS = {"air": AIR_OUTSIDE, "wind": WIND, "cloud": CLOUD, "humidity": HUMIDITY}


class Moment(Section):
    """A high or a low: its hour, the same every day, and its temperature."""

    at: Annotated[str, Clock(in_night=False, meaning="clock time at which it comes, every day")]
    air: Annotated[float, AIR_OUTSIDE]


class ColumnNames(Section):
    """[outdoors.file.columns]: headers of the columns."""

    air: Annotated[str, Words(meaning="header of the column of air temperatures")]
    wind: Annotated[str | None, Words(meaning="header of the column of wind speeds")] = None
    cloud: Annotated[str | None, Words(meaning="header of the column of cloud cover")] = None
    humidity: Annotated[str | None, Words(meaning="header of the column of relative humidity")] = None


class ColumnUnits(Section):
    """[outdoors.file.units]: units of the columns."""

    air: Annotated[str, Words(meaning="unit of the air temperatures")]
    wind: Annotated[str | None, Words(meaning="unit of the wind speeds")] = None
    cloud: Annotated[str | None, Words(meaning="unit of the cloud cover")] = None
    humidity: Annotated[str | None, Words(meaning="unit of the relative humidity")] = None


class OutdoorFile(DatedFile):
    """[outdoors.file]: a table of dated columns."""

    columns: Annotated[ColumnNames, Words(meaning="headers of the columns")]
    units: Annotated[ColumnUnits, Words(meaning="units of the columns")]

    def check_together(self, _span: Span | None) -> None:
        """Every column has a unit, every unit a column."""
        faults = []
        for name, quantity in COLUMNS.items():
            header, unit = getattr(self.columns, name), getattr(self.units, name)
            if unit:
                faults += unit_faults(unit, quantity.kind, f"units.{name}")
            if header and not unit:
                todo = f'Add units.{name}, for example "{quantity.unit_si}"'
                faults.append(Fault(f"the column {name} has no unit", key=f"columns.{name}", todo=todo))
            if unit and not header:
                todo = f"Add columns.{name} with the column's header, or leave the unit out"
                faults.append(
                    Fault(f"a unit for a column {name} that is not read", key=f"units.{name}", todo=todo)
                )
        if faults:
            raise InputError(faults)

    def tracks(self, span: Span) -> tuple[dict[str, Track], tuple[str, ...]]:
        """The columns as tracks through the night, and what the reader had to repair."""
        wanted = {
            name: (getattr(self.columns, name), COLUMNS[name].kind, getattr(self.units, name))
            for name in COLUMNS
            if getattr(self.columns, name)
        }
        times, values, repairs = read_columns(self, wanted, span)
        refuse_holes(times, span, self.path)
        tracks = {}
        for name, column in values.items():
            knots, kept = cut(times, column, span.seconds)
            refuse_out_of_range(COLUMNS[name], wanted[name][0], knots, kept, span, self.path)
            tracks[name] = Track(tuple(knots), tuple(kept), "lines")
        return tracks, repairs


class Outdoors(Section):
    """The weather outside."""

    steady: Annotated[float | None, AIR_OUTSIDE] = None
    high: Annotated[
        Moment | None, Words(meaning="the day's high; from each to the other a smooth passage, level at both")
    ] = None
    low: Annotated[Moment | None, Words(meaning="the night's low")] = None
    file: Annotated[OutdoorFile | None, Words(meaning="dated columns; they win over the constants here")] = (
        None
    )
    wind: Annotated[float, WIND] = text_default("1 m/s")
    cloud: Annotated[float, CLOUD] = text_default("0 %")
    humidity: Annotated[float, HUMIDITY] = text_default("80 %")
    spread: Annotated[
        float | None,
        Quantity(
            kind="temperature_difference", unit_si="K", unit_us="degF", allowed=("0 K", "20 K"),
            usual=("1 K", "5 K"),
            meaning="how far the forecast temperature may be off, one standard deviation",
        ),
    ] = None  # fmt: skip
    shift: Annotated[
        float,
        SHIFTS,
    ] = text_default("0 K")

    _tracks: dict[str, Track] = PrivateAttr(default_factory=dict)
    _repairs: tuple[str, ...] = PrivateAttr(default=())

    @classmethod
    def key_faults(cls, keys: Set[str]) -> Iterator[Fault]:
        """Exactly one way to give the air."""
        given = [name for name in ("steady", "high", "low", "file") if name in keys]
        allowed = "exactly one of: steady | high and low | file"
        if not given:
            yield Fault("no outdoor temperature", allowed=allowed, todo='Add for example steady = "-10 degC"')
        elif given in (["high"], ["low"]):
            other = "low" if given == ["high"] else "high"
            todo = f'Add {other} = {{ at = "...", air = "..." }}'
            yield Fault(f"{given[0]} without {other}", key=given[0], allowed=allowed, todo=todo)
        elif given not in (["steady"], ["high", "low"], ["file"]):
            todo = 'Keep one; an overlay takes another away with the word "none", for example steady = "none"'
            yield Fault(f"{' and '.join(given)} at once", key=given[-1], allowed=allowed, todo=todo)

    def check_together(self, span: Span | None) -> None:
        """A high above the low; a file that covers the night."""
        if self.high and self.low:
            _refuse_upside_down(self.high, self.low)
        if span:
            self._tracks, self._repairs = self._make_tracks(span)

    @property
    def repairs(self) -> tuple[str, ...]:
        """What the reader had to repair in the file, a sentence each."""
        return self._repairs

    def track(self, name: Name) -> Track:
        """A quantity through the night: "air" [K], "wind" [m/s], "cloud" [-], "humidity" [-]."""
        return self._tracks[name]

    def _make_tracks(self, span: Span) -> tuple[dict[str, Track], tuple[str, ...]]:
        tracks = {
            name: Track((0.0,), (getattr(self, name),), "steps") for name in ("wind", "cloud", "humidity")
        }
        repairs: tuple[str, ...] = ()
        if self.file:
            from_file, repairs = self.file.tracks(span)
            tracks |= from_file
        elif self.high and self.low:
            tracks["air"] = _day_and_night(self.high, self.low, span)
        elif self.steady is not None:
            tracks["air"] = Track((0.0,), (self.steady,), "steps")
        if "air" in tracks:
            tracks["air"] = tracks["air"].shifted(self.shift)
        return tracks, repairs


def _refuse_upside_down(high: Moment, low: Moment) -> None:
    if high.at == low.at:
        raise InputError(Fault("high and low at the same time", key="low.at", todo="Give each its own hour"))
    if high.air < low.air:
        raise InputError(
            Fault("the low is above the high", key="low.air", todo="Exchange them, or correct one")
        )


def _day_and_night(high: Moment, low: Moment, span: Span) -> Track:
    """Knots at every high and low from the last before the night to the first after it."""
    knots = sorted(
        ((_daily(span, day, moment.at) - span.begin_utc).total_seconds(), moment.air)
        for day in range(-1, 4)
        for moment in (high, low)
    )
    times, values = cut([time for time, _ in knots], [air for _, air in knots], span.seconds)
    return Track(tuple(times), tuple(values), "smooth")


def _daily(span: Span, day: int, at: str) -> datetime:
    """The moment of a daily clock time; one that the clocks skip is an hour later on the clock."""
    clock = read_clock(at)
    return datetime.combine(span.evening + timedelta(days=day), clock, tzinfo=span.zone).astimezone(UTC)
