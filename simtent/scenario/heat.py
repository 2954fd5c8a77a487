"""[heat]: a known heat source, by a table or a file of its power."""

from collections.abc import Iterator, Sequence, Set
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import PrivateAttr

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span, read_clock
from simtent.scenario.dated import LONGEST_GAP, DatedFile, read_columns, refuse_out_of_range, unit_faults
from simtent.scenario.night import Clock
from simtent.scenario.quantity import Quantity, Spread, Words, text_default
from simtent.scenario.section import Section
from simtent.scenario.stands import STANDS, Stands
from simtent.scenario.track import Between, Track, cut
from simtent.units import show

POWER = Quantity(
    kind="power", unit_si="kW", unit_us="Btu/h", allowed=("0 W", "50 kW"), usual=("0 W", "10 kW"),
    meaning="heat released inside the shelter",
)  # fmt: skip


ENDS_EARLY = 1800.0  # s; a log that ends so long before the night is worth a word


class HeatEntry(Section):
    """One line of the table."""

    at: Annotated[str, Clock(meaning="clock time from which, or at which, the power holds")]
    power: Annotated[float, POWER]


class HeatFile(DatedFile):
    """[heat.file]: a table of dated powers."""

    power: Annotated[str, Words(meaning="header of the column of powers")]
    unit: Annotated[str, Words(meaning="unit of the powers")]

    def check_together(self, _span: Span | None) -> None:
        """The unit is one of power."""
        if faults := unit_faults(self.unit, POWER.kind, "unit"):
            raise InputError(faults)


class Heat(Section):
    """Heat released inside: before the first entry none, after the last it holds."""

    radiant_share: Annotated[
        float,
        Quantity(
            kind="share", unit_si="%", unit_us="%", allowed=("0 %", "100 %"), usual=("10 %", "70 %"),
            prior=Spread.points(0.1),
            meaning="share of the heat that is radiated, the rest warms the air",
        ),
    ]  # fmt: skip
    from_height: Annotated[
        float,
        Quantity(
            kind="length", unit_si="m", unit_us="ft", allowed=("0 m", "8 m"), usual=("10 cm", "60 cm"),
            meaning="lower end of the height over which the source warms the air: its plume begins there",
        ),
    ] = text_default("20 cm")  # fmt: skip
    to_height: Annotated[
        float,
        Quantity(
            kind="length", unit_si="m", unit_us="ft", allowed=("1 cm", "8 m"), usual=("30 cm", "1.5 m"),
            meaning="upper end of the height over which the source warms the air",
        ),
    ] = text_default("60 cm")  # fmt: skip
    stands: Annotated[Stands, STANDS] = "free"
    between: Annotated[
        Literal["steps", "lines"],
        Words(meaning='between entries: "steps" holds the last power, "lines" goes straight to the next'),
    ] = "steps"
    table: Annotated[tuple[HeatEntry, ...] | None, Words(meaning="entries in the order of time")] = None
    file: Annotated[HeatFile | None, Words(meaning="dated powers, in place of the table")] = None

    _track: Track | None = PrivateAttr(default=None)
    _repairs: tuple[str, ...] = PrivateAttr(default=())

    @classmethod
    def key_faults(cls, keys: Set[str]) -> Iterator[Fault]:
        """Exactly one of table and file."""
        if ("table" in keys) == ("file" in keys):
            what = "both table and file" if "table" in keys else "no heat is given"
            todo = 'Give table = [{ at = "17:30", power = "1.5 kW" }], or file; "none" takes one away'
            yield Fault(what, allowed="exactly one of: table | file", todo=todo)

    def check_together(self, span: Span | None) -> None:
        """Heights in order; entries in the order of time."""
        faults = []
        if self.to_height <= self.from_height:
            given = "to_height" in self.model_fields_set
            todo = (
                "Let to_height be higher than from_height"
                if given
                else "Add to_height = ... above from_height"
            )
            value = None if given else f"{show(self.to_height, 'length', 'si')}, the usual one"
            faults.append(
                Fault("to_height is not above from_height", key="to_height", value=value, todo=todo)
            )
        if self.table is not None and not self.table:
            todo = 'Write at least one entry, { at = "17:30", power = "0 W" } for no heat'
            faults.append(Fault("the table has no entry", key="table", todo=todo))
        if span and self.table:
            faults += _order_faults(self.table, span)
        if faults:
            raise InputError(faults)
        if span and (self.table or self.file):
            self._track, self._repairs = self._make_track(span)

    @property
    def repairs(self) -> tuple[str, ...]:
        """What the reader had to repair in the file, a sentence each."""
        return self._repairs

    def track(self) -> Track:
        """Power through the night [W]."""
        if self._track is None:
            raise ValueError("the heat has a track only as part of a scenario")
        return self._track

    def _make_track(self, span: Span) -> tuple[Track, tuple[str, ...]]:
        if self.file:
            return _from_file(self.file, self.between, span)
        entries = self.table or ()
        times = [span.seconds_at(read_clock(entry.at)) for entry in entries]
        told = _begins_late("The table of heat", times, span)
        return _from_nothing(times, [entry.power for entry in entries], self.between), told


def _from_file(file: HeatFile, between: Between, span: Span) -> tuple[Track, tuple[str, ...]]:
    wanted = {"power": (file.power, POWER.kind, file.unit)}
    times, columns, repairs = read_columns(file, wanted, span)
    if not times or times[0] > span.seconds or times[-1] < 0.0:
        todo = "Correct `evening`, or the file's `zone`"
        what = "the file has no power within the night"
        raise InputError(Fault(what, value=str(file.path), key="file.path", todo=todo))
    times, values = cut(times, columns["power"], span.seconds)
    refuse_out_of_range(POWER, file.power, times, values, span, file.path)
    told = _begins_late(file.path.name, times, span) + _leaves_out(file.path.name, times, span)
    return _from_nothing(times, values, between), repairs + told


def _begins_late(name: str, times: Sequence[float], span: Span) -> tuple[str, ...]:
    """A sentence where the entries begin after the night does."""
    if times[0] <= 0.0:
        return ()
    return (f"{name} begins at {span.clock_at(times[0]):%H:%M}: no heat is released before.",)


def _leaves_out(name: str, times: Sequence[float], span: Span) -> tuple[str, ...]:
    """Sentences where a log leaves hours out, or ends before the night does: sparse steps, or a lost log."""
    told = [
        f"{name} has no entry from {span.clock_at(a):%H:%M} to {span.clock_at(b):%H:%M}."
        for a, b in pairwise(times)
        if b - a > LONGEST_GAP
    ]
    if times[-1] < span.seconds - ENDS_EARLY:
        told.append(f"{name} ends at {span.clock_at(times[-1]):%H:%M}: its last power is held until the end.")
    return tuple(told)


def _from_nothing(times: list[float], values: list[float], between: Between) -> Track:
    """A track that is 0 W before its first entry."""
    if times[0] <= 0.0:
        return Track(tuple(times), tuple(values), between)
    # A repeated time is the jump from nothing to the first value.
    before = ([0.0], [0.0]) if between == "steps" else ([0.0, times[0]], [0.0, 0.0])
    return Track((*before[0], *times), (*before[1], *values), between)


def _order_faults(table: tuple[HeatEntry, ...], span: Span) -> list[Fault]:
    seconds = [span.seconds_at(read_clock(entry.at)) for entry in table]
    todo = "Put the entries in the order of time, each time once"
    return [
        Fault(
            f"{table[n].at} is not after {table[n - 1].at}", key=f"table.{n}.at", value=table[n].at, todo=todo
        )
        for n in range(1, len(table))
        if seconds[n] <= seconds[n - 1]
    ]
