"""One reader of dated columns (forecasts, logs, notes): CSV in, UTC times and SI values out.

What the reader mends it tells, with counts; what could be read in two ways it refuses, with file and line.
A row in which a wanted value is missing is left out whole, since all columns share one time.
"""

import csv
import difflib
import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import groupby, islice, pairwise
from operator import itemgetter
from pathlib import Path
from typing import NoReturn, cast

from simtent.errors import Fault, InputError
from simtent.stamps import DATED, both_offsets, moment_from_text
from simtent.units import scale

_HEADER_WITHIN = 200  # lines searched for the header
_FAULTS_TOLD = 20
_MISSING = {"", "-", "--", "---", "na", "n/a", "#n/a", "nan", "null", "none", "err", "error", "ol"}
_MARKS_MISSING = {-999.0, -999.9, -9999.0, -9999.9}  # common practice of weather records, no source
# Values of one moment count as equal within these [SI], other kinds within a tenth (own choice).
_ALIKE = {"temperature": 2.0, "temperature_difference": 2.0, "speed": 2.0, "share": 0.2}
_WRITE_TIMES = 'Write times as "2031-02-14 17:00"'
_Row = tuple[datetime, tuple[float, ...], int]  # time, values, line


@dataclass(frozen=True, slots=True)
class Column:
    """A wanted column: its header in the file, the kind of quantity, the unit of its plain numbers."""

    header: str
    kind: str
    unit: str


@dataclass(frozen=True, slots=True)
class Series:
    """Dated columns as read."""

    path: str  # as the user wrote it
    times: tuple[datetime, ...]  # in UTC, strictly increasing, shape (n,)
    values: dict[str, tuple[float, ...]]  # name -> values in SI, shape (n,)
    repairs: tuple[str, ...]  # a sentence for each thing mended or passed over


@dataclass(slots=True)
class _File:
    """The file in hand: its wanted cells, its faults, and how often what was mended."""

    name: str
    lines: list[int] = field(default_factory=list)
    stamps: list[str] = field(default_factory=list)
    cells: list[list[str]] = field(default_factory=list)  # by column
    faults: list[Fault] = field(default_factory=list)
    mended: Counter[str] = field(default_factory=Counter)

    def fault(self, what: str, line: int = 0, value: str = "", todo: str = "") -> None:
        self.faults.append(Fault(what, self.name, line or None, None, value or None, None, todo or None))

    def refuse(self, what: str, line: int = 0, value: str = "", todo: str = "") -> NoReturn:
        self.fault(what, line, value, todo)
        raise InputError(self.faults)

    def stop(self) -> None:
        if more := len(self.faults[_FAULTS_TOLD:]):
            self.faults[_FAULTS_TOLD:] = [Fault(f"{more} more faults were found", self.name)]
        if self.faults:
            raise InputError(self.faults)


def read_series(
    path: str | Path,
    *,
    time: str | Sequence[str],
    columns: Mapping[str, Column],
    zone: tzinfo,
    encoding: str | None = None,
) -> Series:
    """Read a CSV file of dated columns, separated by commas, semicolons or tabs.

    time      header of the column of times; two headers where date and clock stand apart
    columns   the name each wanted column gets -> where it stands and in which unit
    zone      zone of the times that carry no offset of their own
    encoding  None: UTF-8, or what a byte-order mark says, or else Windows-1252

    Raises InputError with every fault found, each with file and line.
    """
    file = _File(str(path))
    wanted = list(columns.values())
    stamps = [time] if isinstance(time, str) else list(time)
    _split(file, _decode(file, encoding), [*stamps, *(column.header for column in wanted)], len(stamps))
    moments = _moments(file)
    table = [_numbers(file, cells, column) for cells, column in zip(file.cells, wanted, strict=True)]
    file.stop()
    times = _utc(file, moments, zone)
    file.stop()
    rows: list[_Row] = []
    for moment, values, line in zip(times, zip(*table, strict=True), file.lines, strict=True):
        if None not in values:
            rows.append((moment, cast(tuple[float, ...], values), line))
    if not rows:
        file.refuse("no row has a number in every wanted column")
    file.mended["Rows left out because a wanted value is missing"] += len(times) - len(rows)
    merged = _merged(file, rows, wanted)
    file.stop()
    _tell_gaps(file, list(merged), zone)
    series = dict(zip(columns, zip(*merged.values(), strict=True), strict=True))
    repairs = tuple(f"{what}: {count}." for what, count in file.mended.items() if count)
    return Series(file.name, tuple(merged), series, repairs)


def _decode(file: _File, encoding: str | None) -> str:
    try:
        data = Path(file.name).read_bytes()
    except FileNotFoundError:
        file.refuse(
            "the file does not exist",
            todo="Check the path: in a file it counts from that file, in a setting from the folder you are in",
        )
    except (OSError, ValueError) as error:
        file.refuse(f"the file cannot be read ({getattr(error, 'strerror', error)})")
    for mark, name in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if data.startswith(mark) and encoding is None:
            encoding = name
            file.mended["Byte-order marks at the start of the file passed over"] += 1
    if not data.strip(b"\xef\xbb\xbf \t\r\n"):
        file.refuse("the file is empty")
    if encoding != "utf-16" and re.search(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]", data[:65536]):
        file.refuse("this is not a text file", todo="Unpack it, or save the table as CSV in UTF-8")
    try:
        return data.decode(encoding or "utf-8")
    except LookupError:
        file.refuse(f'no encoding is called "{encoding}"', todo='Write "utf-8" or "cp1252"')
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        if encoding or re.search(rb"[\x81\x8d\x8f\x90\x9d]", data):  # not in Windows-1252 either
            file.refuse(f"the text is not encoded in {encoding or 'UTF-8'}", line, todo="Save it in UTF-8")
    file.mended["Lines read as Windows-1252, since the text is not in UTF-8"] += data.count(b"\n") + 1
    return data.decode("cp1252")


def heading(path: str | Path, wanted: Sequence[str]) -> tuple[list[str], list[list[str]]]:
    """The headers of a file that has most of the wanted ones, and the cells of up to three rows beneath.

    Raises InputError where the file cannot be read.
    """
    file = _File(str(path))
    text = _decode(file, None)
    names = [" ".join(name.split()) for name in wanted]
    at, separator, found = _header(islice(io.StringIO(text, newline=None), _HEADER_WITHIN), names)
    below = islice(io.StringIO(text, newline=None), at + 1, at + 4)
    return found, [next(csv.reader([line[:100_000]], delimiter=separator), []) for line in below]


@dataclass(frozen=True, slots=True)
class Texts:
    """Rows of a file as text."""

    path: str  # as the user wrote it
    names: tuple[str, ...]  # the headers, with single blanks
    rows: tuple[tuple[int, tuple[str, ...]], ...]  # line, and a cell for each header; empty rows are left out
    repairs: tuple[str, ...]  # a sentence for each thing mended or passed over


def read_texts(path: str | Path, wanted: Sequence[str]) -> Texts:
    """Read the rows of a CSV file as text; its header is the line with most of the wanted names.

    Raises InputError with file and line where it cannot be read or split.
    """
    file = _File(str(path))
    text = _decode(file, None)
    at, separator, names = _header(islice(io.StringIO(text, newline=None), _HEADER_WITHIN), wanted)
    file.mended["Lines above the header passed over"] += at
    body = islice(io.StringIO(text, newline=None), at + 1, None)
    reader = csv.reader(body, delimiter=separator, strict=True)
    rows, line = list[tuple[int, tuple[str, ...]]](), at + 2
    try:
        for row in reader:
            cells = [*map(str.strip, row), *[""] * (len(names) - len(row))]
            if any(cells[len(names) :]):
                todo = "Put a text that has the separator in it in quotation marks"
                file.fault(f"{len(row)} cells stand under {len(names)} headers", line, todo=todo)
            elif any(cells):
                rows.append((line, tuple(cells[: len(names)])))
            else:
                file.mended["Empty lines passed over"] += 1
            line = at + 2 + reader.line_num
    except csv.Error as error:
        file.refuse(f"the row cannot be split ({error})", line, todo="Look for an unclosed quotation mark")
    file.stop()
    told = tuple(f"{what}: {count}." for what, count in file.mended.items() if count)
    return Texts(file.name, tuple(names), tuple(rows), told)


def _split(file: _File, text: str, wanted: Sequence[str], stamps: int = 1) -> None:
    """Cut the text into the wanted cells, by column; the first `stamps` of them make the time."""
    wanted = [" ".join(name.split()) for name in wanted]
    at, separator, names = _header(islice(io.StringIO(text, newline=None), _HEADER_WITHIN), wanted)
    found = _places(file, at + 1, names, wanted)
    time_places, places = found[:stamps], found[stamps:]
    file.mended["Lines above the header passed over"] += at
    file.cells = [[] for _ in places]
    body = islice(io.StringIO(text, newline=None), at + 1, None)
    reader = csv.reader(body, delimiter=separator, strict=True)
    width, line = len(names), at + 2
    try:
        for row in reader:
            cells = row + [""] * (width - len(row))
            if any(cells[width:]):
                todo = "Numbers with decimal commas need semicolons or tabs between the columns"
                file.fault(f"{len(row)} cells stand under {width} headers", line, todo=todo)
            elif not file.stamps and any(cells) and not any(map(str.isdigit, "".join(cells))):
                file.mended["Lines of the header beneath its first passed over"] += 1
            elif stamp := " ".join(part for place in time_places if (part := cells[place].strip())):
                file.lines.append(line)
                file.stamps.append(stamp)
                for column, place in zip(file.cells, places, strict=True):
                    column.append(cells[place])
            else:
                file.mended["Rows without a time left out" if any(cells) else "Empty lines passed over"] += 1
            line = at + 2 + reader.line_num
    except csv.Error as error:
        file.refuse(f"the row cannot be split ({error})", line, todo="Look for an unclosed quotation mark")
    if not file.lines and not file.faults:
        file.fault("no rows with a time follow the header", at + 1)
    file.stop()


def _header(lines: Iterable[str], wanted: Sequence[str]) -> tuple[int, str, list[str]]:
    """Find the line with most of the wanted names: its index, the separator, the names in it."""
    asked = {name.casefold() for name in wanted}
    best, found = (-1, -1), (0, ",", [""])
    for at, line in enumerate(lines):
        for separator in ";\t,":
            cells = next(csv.reader([line[:100_000]], delimiter=separator), [])
            names = [" ".join(cell.split()) for cell in cells]
            rank = (len(asked & {name.casefold() for name in names}), len(names))
            if rank > best:
                best, found = rank, (at, separator, names)
        if best[0] == len(asked):
            break
    return found


def _places(file: _File, line: int, names: Sequence[str], wanted: Sequence[str]) -> list[int]:
    """Find the column of each wanted header; another case is accepted where only one column fits."""
    places: list[int] = []
    if len(names) == 1 < len(wanted):
        todo = "Columns are parted by commas, semicolons or tabs, and by nothing else"
        file.fault(f'the header is one column, "{names[0][:60]}"', line, todo=todo)
        file.stop()
    for name in wanted:
        hits = [at for at, have in enumerate(names) if have == name]
        hits = hits or [at for at, have in enumerate(names) if have.casefold() == name.casefold()]
        if len(hits) > 1:
            file.fault(f'{len(hits)} columns are called "{name}"', line, todo="Give each a header of its own")
        elif not hits:
            near = difflib.get_close_matches(name.casefold(), map(str.casefold, names), 1, 0.0)
            nearest = " or ".join(f'"{have}"' for have in names if have.casefold() in near)
            todo = f"The nearest is {nearest}; the header has: {', '.join(names)}"
            file.fault(f'no column is called "{name}"', line, todo=todo)
        places += hits
    file.stop()
    return places


def _moments(file: _File) -> list[datetime]:
    """Read the times, with an offset where they carry one."""
    day_first, moments = _day_first(file), []
    for line, stamp in zip(file.lines, file.stamps, strict=True):
        moment = moment_from_text(stamp, day_first)
        if moment is None or not 1900 <= moment.year < 2200:
            file.fault("the time cannot be read", line, stamp, _WRITE_TIMES)
        else:
            moments.append(moment)
            file.mended["Dates without an hour read as midnight"] += ":" not in stamp
    if file.faults:
        return moments
    own = [moment.tzinfo is not None for moment in moments]
    if len(set(own)) > 1:
        at = own.index(not own[0])
        what = f"times with and without an offset are mixed (lines {file.lines[0]} and {file.lines[at]})"
        file.refuse(what, file.lines[at], file.stamps[at], "Write all with their offset, or all without")
    _refuse_half_clock(file, moments)
    if sum(later < earlier for earlier, later in pairwise(moments)) * 2 > len(moments):
        for listing in (file.stamps, *file.cells):
            listing.reverse()
        file.lines.reverse()
        moments.reverse()
        file.mended["Rows turned round, since they stood newest first"] += len(moments)
    return moments


def _refuse_half_clock(file: _File, moments: list[datetime]) -> None:
    """Refuse times of a twelve-hour clock without am and pm: after 12:59 they go on at 1:00."""
    told = any(re.search("(?i)[ap]\\.?m", stamp) for stamp in file.stamps)
    if told or not all(1 <= moment.hour <= 12 for moment in moments):
        return
    for at, (earlier, later) in enumerate(pairwise(moments), 1):
        if earlier.hour == 12 and timedelta(hours=10) < earlier - later < timedelta(hours=12):
            what = f"times go on from {earlier:%H:%M} to {later:%H:%M}, and none says whether am or pm"
            file.refuse(what, file.lines[at], file.stamps[at], 'Write 24-hour times, or "1:00 pm"')


def _day_first(file: _File) -> bool:
    """Find out whether dates such as 03/04/2031 begin with the day; refuse them where nothing shows it."""
    shown: dict[str, tuple[int, str]] = {}  # what a date shows -> line and text of the first that does
    dates = [at for at, stamp in enumerate(file.stamps) if not stamp[:4].isdigit()]
    for at in dates:
        found = DATED.match(file.stamps[at])
        if found and int(found[1]) != int(found[3]):
            key = "day" if int(found[1]) > 12 else "month" if int(found[3]) > 12 else "neither"
            shown.setdefault(key, (file.lines[at], file.stamps[at]))
    if "day" in shown and "month" in shown:
        what = f"the day stands first in line {shown['day'][0]}, the month here"
        file.fault(what, *shown["month"], _WRITE_TIMES)
    elif order := next((key for key in ("day", "month") if key in shown), None):
        line, stamp = shown[order]
        file.mended[f'Dates read with the {order} first, as line {line} shows ("{stamp}")'] += len(dates)
    elif shown:
        line, stamp = shown["neither"]
        ways = [moment_from_text(stamp, first) for first in (True, False)]
        read = " or ".join(f"{moment.day} {moment:%B %Y}" for moment in ways if moment)
        what = "no date shows whether the day or the month stands first"
        file.fault(f"{what}: it may be {read}" if read else what, line, stamp, _WRITE_TIMES)
    return "day" in shown


def _utc(file: _File, moments: list[datetime], zone: tzinfo) -> list[datetime]:
    """Put times into UTC; the hour that a clock repeats is told apart by the order of the rows."""
    if moments[0].tzinfo is not None:
        if (offsets := len({moment.utcoffset() for moment in moments})) > 1:
            file.mended["Different offsets from UTC, each read as it stands"] += offsets
        return [moment.astimezone(UTC) for moment in moments]
    if (fixed := zone.utcoffset(None)) is not None:
        return [(moment - fixed).replace(tzinfo=UTC) for moment in moments]
    times, doubtful = [], []
    for at, moment in enumerate(moments):
        offset, later = both_offsets(moment, zone)
        if later > offset:
            what = f"this time does not exist in {zone}: the clock was put forward over it"
            todo = "If the instrument keeps one time all year, give its offset from UTC as the zone"
            file.fault(what, file.lines[at], file.stamps[at], todo)
        elif later < offset:
            doubtful.append(at)
        times.append((moment - offset).replace(tzinfo=UTC))
    for _, group in groupby(doubtful, lambda at: moments[at].date()):
        _tell_apart(file, list(group), moments, times, zone)
    return times


def _tell_apart(
    file: _File, rows: list[int], moments: list[datetime], times: list[datetime], zone: tzinfo
) -> None:
    """Move the second passage through a repeated hour; a step back of the clock marks where it begins."""
    back = [at for before, at in pairwise(rows) if moments[at] < moments[before]]
    if len({moments[at] for at in rows}) == 1:
        back = rows[1:2]
    where = f"{moments[rows[0]]:%Y-%m-%d} in the hour that the clock of {zone} repeats"
    if len(back) > 1 or rows[-1] - rows[0] >= len(rows):
        what = f"the times of {where} cannot be told apart, since the rows are out of order"
        file.fault(what, file.lines[rows[0]], todo="Write the times with their offset from UTC")
    elif not back:
        file.mended[f"Times of {where}, which stand only once; read as its first passage"] += len(rows)
    else:
        file.mended[f"Times of {where}, told apart by the order of the rows"] += len(rows)
        for at in rows[rows.index(back[0]) :]:
            times[at] = (moments[at] - both_offsets(moments[at], zone)[1]).replace(tzinfo=UTC)


def _plain_number(cell: str) -> float | None:
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) and cell.isascii() and "_" not in cell else None


def _numbers(file: _File, cells: Sequence[str], column: Column) -> list[float | None]:
    """Read the numbers of a column into SI; None where one is missing."""
    factor, zero = scale(column.unit, column.kind)
    name, commas = f'in column "{column.header}"', []
    numbers: list[float | None] = []
    for at, (line, cell) in enumerate(zip(file.lines, cells, strict=True)):
        value = _plain_number(cell)
        if value is None:
            text = cell.strip().replace("\u2212", "-")
            value = _plain_number(text.replace(",", ".", 1))
            if value is not None and "," in text:
                commas.append(at)
            elif value is None and text.casefold() not in _MISSING:
                file.fault(f"the number {name} cannot be read", line, cell, "Write a plain number or nothing")
            elif value is None:
                file.mended[f"Values missing {name}"] += 1
        if value in _MARKS_MISSING:
            file.mended[f"Values of -999 or -9999 {name}, taken as missing"] += 1
            value = None
        elif value is not None and column.kind == "temperature" and value * factor + zero < 0:
            file.fault(f"a temperature below absolute zero {name}", line, cell, "Check the column's unit")
        numbers.append(None if value is None else value * factor + zero)
    if commas:
        _check_commas(file, cells, commas, name)
    return numbers


def _check_commas(file: _File, cells: Sequence[str], commas: Sequence[int], name: str) -> None:
    """Accept decimal commas where the column as a whole leaves no doubt that they are not thousands."""
    line, cell = file.lines[commas[0]], cells[commas[0]]
    point = next((line for line, other in zip(file.lines, cells, strict=True) if "." in other), None)
    if point:
        file.fault(f"commas and points (line {point}) are mixed in the numbers {name}", line, cell)
    elif all(re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", cells[at].strip()) for at in commas):
        what = f"no number {name} shows whether the comma marks decimals or thousands"
        file.fault(what, line, cell, "Write the numbers with a decimal point")
    else:
        file.mended[f"Decimal commas {name} read as points"] += len(commas)


def _merged(file: _File, rows: list[_Row], wanted: Sequence[Column]) -> dict[datetime, tuple[float, ...]]:
    """Sort the rows; average those of one and the same time where they agree, refuse them where not."""
    if back := sum(later[0] < earlier[0] for earlier, later in pairwise(rows)):
        file.mended["Places where the times step back; the rows were sorted by time"] += back
        rows = sorted(rows, key=itemgetter(0))
    merged: dict[datetime, tuple[float, ...]] = {}
    for moment, group in groupby(rows, itemgetter(0)):
        same = list(group)
        if len(same) == 1:
            merged[moment] = same[0][1]
            continue
        sets = list(zip(*(row[1] for row in same), strict=True))
        for column, values in zip(wanted, sets, strict=True):
            if max(values) - min(values) > _ALIKE.get(column.kind, 0.1 * max(map(abs, values))):
                first, other = sorted(row[2] for row in same)[:2]
                what = f'different values for the same time as in line {first}, in column "{column.header}"'
                file.fault(what, other, todo="Keep the row that is right")
        merged[moment] = tuple(math.fsum(values) / len(values) for values in sets)
    file.mended["Rows with the time of another row; the values were averaged"] += len(rows) - len(merged)
    return merged


def _tell_gaps(file: _File, times: Sequence[datetime], zone: tzinfo) -> None:
    steps = [later - earlier for earlier, later in pairwise(times)]
    usual = sorted(steps)[len(steps) // 2] if steps else timedelta()
    if wide := sum(step > 3 * usual for step in steps):
        begin = times[steps.index(max(steps))].astimezone(zone)
        longest = f"the longest {max(steps)} from {begin:%Y-%m-%d %H:%M}"
        file.mended[f"Gaps of more than three usual steps ({usual}), {longest}"] = wide
