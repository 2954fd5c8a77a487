"""Files of dated columns that a scenario names: read, set on the clock of the night, refused if too short."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.night import Zone
from simtent.scenario.quantity import Quantity, Reader, Words
from simtent.scenario.section import Section
from simtent.series import Column, Series, read_series
from simtent.units import scale, show

LONGEST_GAP = 3.0 * 3600.0  # s; over a longer one a straight line says nothing about weather


@dataclass(frozen=True, kw_only=True)
class InputPath(Reader):
    """The path of a file, relative to the file that names it."""

    def read(self, value: Any, _context: Any = None) -> Path:
        """The path."""
        if not isinstance(value, str) or not value:
            raise InputError(
                Fault("the path of a file is wanted", todo='Write it in quotes, for example "forecast.csv"')
            )
        return Path(value)


class DatedFile(Section):
    """What every file of dated columns needs."""

    path: Annotated[Path, InputPath(meaning="the file, relative to the file that names it")]
    time: Annotated[str, Words(meaning="header of the column of times")] = "when"
    zone: Annotated[
        tzinfo | None, Zone(meaning="zone of the file's times where they name none; without it, the night's")
    ] = None


def read_columns(
    file: DatedFile, wanted: Mapping[str, tuple[str, str, str]], span: Span
) -> tuple[list[float], dict[str, tuple[float, ...]], tuple[str, ...]]:
    """Seconds from the begin, values in SI by name, and repairs; `wanted`: name -> header, kind, unit."""
    columns = tuple((name, Column(header=h, kind=k, unit=u)) for name, (h, k, u) in wanted.items())
    try:
        stat = file.path.stat()
    except OSError:
        stamp = (0, 0)  # the reader says what is wrong with it
    else:
        stamp = (stat.st_mtime_ns, stat.st_size)
    try:
        series = _read(str(file.path), stamp, file.time, columns, file.zone or span.zone)
    except InputError as error:
        raise InputError(_in_scenario(fault) for fault in error.faults) from None
    times = [(time - span.begin_utc).total_seconds() for time in series.times]
    return times, dict(series.values), tuple(f"{file.path.name}: {repair}" for repair in series.repairs)


def unit_faults(unit: str, kind: str, key: str) -> list[Fault]:
    """Faults of the unit of a column; none if it is known and of the kind."""
    try:
        scale(unit, kind)
    except InputError as error:
        return [replace(fault, key=key, value=unit) for fault in error.faults]
    return []


def _in_scenario(fault: Fault) -> Fault:
    """A fault of the reader; one of the file as a whole is told at the key that names the file."""
    if fault.line is None:
        return replace(fault, file=None, key="file.path", value=fault.value or fault.file)
    return replace(fault, key="file.path")


@lru_cache(maxsize=8)
def _read(
    path: str, _stamp: tuple[int, int], time: str, columns: tuple[tuple[str, Column], ...], zone: tzinfo
) -> Series:
    """The series of a file, kept while it is unchanged, since a batch builds many scenarios on one file."""
    return read_series(path, time=time, columns=dict(columns), zone=zone)


def refuse_holes(times: Sequence[float], span: Span, path: Path) -> None:
    """InputError that names the missing hours if the night is not covered or over 3 hours are left out."""
    end = span.seconds
    holes = []
    if not times or times[0] > 0.0:
        holes.append((0.0, min(times[0], end) if times else end))
    within = [(a, b) for a, b in pairwise(times) if b > 0.0 and a < end]
    holes += [(max(a, 0.0), min(b, end)) for a, b in within if b - a > LONGEST_GAP]
    if times and times[-1] < end:
        holes.append((max(times[-1], 0.0), end))
    if not holes:
        return
    missing = ", ".join(f"{span.clock_at(a):%Y-%m-%d %H:%M} to {span.clock_at(b):%H:%M}" for a, b in holes)
    todo = "Take a file that covers the night, or correct `evening` or `zone`, or give high and low instead"
    what = f"the file does not cover the night; no values from {missing}"
    raise InputError(Fault(what, value=str(path), key="file.path", allowed="no gap over 3 hours", todo=todo))


def refuse_out_of_range(
    quantity: Quantity, header: str, times: Sequence[float], values: Sequence[float], span: Span, path: Path
) -> None:
    """InputError that names the first value outside the field's range."""
    low, high = quantity.bounds() or (0.0, 0.0)
    for time, value in zip(times, values, strict=True):
        if not low <= value <= high:
            shown = show(value, quantity.kind, "si")
            what = f'column "{header}" has {shown} at {span.clock_at(time):%Y-%m-%d %H:%M}'
            todo = "Correct the value, or the unit given for the column"
            raise InputError(
                Fault(what, value=str(path), key="file.path", allowed=quantity.range_text(), todo=todo)
            )
