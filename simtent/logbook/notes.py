"""What was noted on a logged night: wood put on, levers turned, whether coals lit it, each at its time by the watch.

A CSV file with the headers time, load, air, damper, coals, remark; only `time` must be there. What a person is unsure
of becomes a standard deviation.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path
from statistics import median

from simtent.errors import Fault, InputError
from simtent.logbook.amounts import UNKNOWN, Amount, amount_from_text
from simtent.logbook.watch import Watch
from simtent.scenario.checks_fire import marks_of
from simtent.scenario.logged import of_night
from simtent.scenario.logs import Log
from simtent.scenario.nearest import nearest, nearest_words
from simtent.scenario.scenario import Scenario
from simtent.series import Texts, read_texts
from simtent.units import show

TIME, LOAD, AIR, DAMPER, COALS, REMARK = HEADERS = ("time", "load", "air", "damper", "coals", "remark")
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")
BY_THE_WAY = 900.0  # s that a note may lie outside the readings before it is doubtful; own choice
STILL_AIR = {"outdoors": {"high": "none", "low": "none", "file": "none", "steady": "0 degC"}}


@dataclass(frozen=True, slots=True)
class Note:
    """One row of the notes.

    line         its line in the file
    seconds      true time since 1970-01-01 00:00 UTC [s]
    unsure       one standard deviation of the time [s]; 0 as noted
    pieces       what was put on, by names of [wood.pieces]: a whole number counts pieces, any other is kg
    mass         wood put on, as it was [kg]; None where nothing was put on, or nobody knows how much
    mass_unsure  standard deviation of the mass's logarithm; above 0 wherever something was put on
    air, damper  the mark to which the lever was turned
    coals        True: the coals lit it; False: they did not, a match did
    """

    line: int
    seconds: float
    unsure: float = 0.0
    pieces: Mapping[str, float] | None = field(default=None, hash=False)
    mass: float | None = None
    mass_unsure: float = 0.0
    air: str | None = None
    damper: str | None = None
    coals: bool | None = None
    remark: str = ""

    @property
    def loaded(self) -> bool:
        """Whether wood was put on, known how much or not."""
        return self.mass_unsure > 0.0


@dataclass(frozen=True, slots=True)
class Noted:
    """The notes of a night in the order of time, what was mended, what a person should look at."""

    notes: tuple[Note, ...]
    repairs: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(slots=True)
class _Reading:
    """The file in hand, the scenario of its night, and what was found so far."""

    path: Path
    scenario: Scenario
    watch: Watch
    faults: list[Fault] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)

    def fault(self, line: int, column: str, value: str, fault: Fault) -> None:
        what = f'in column "{column}": {fault.what}'
        self.faults.append(replace(fault, what=what, file=str(self.path), line=line, value=value))


def read_notes(scenario: Scenario, log: Log, readings: tuple[float, float] | None = None) -> Noted:
    """Read the notes of a log; the file stays as it is.

    readings  times of the first and the last reading [s since 1970]; a note far outside is doubtful

    Raises InputError with every fault found: file, line, column, value, what to do.
    """
    if log.notes is None:
        return Noted((), (), ())
    night = of_night(scenario, log, STILL_AIR) if log.with_ or log.in_the_open else scenario
    texts = read_texts(log.notes, HEADERS)
    places, passed = _places(texts, log.notes)
    reading = _Reading(log.notes, night, Watch(log.evening, night.night.zone))
    rows = [(line, {name: cells[at] for name, at in places.items()}) for line, cells in texts.rows]
    notes, repairs = _notes(reading, rows), [*texts.repairs, *passed]
    if reading.faults:
        raise InputError(reading.faults)
    notes = _sorted(notes, log.notes, repairs)
    notes = _guessed(notes, reading)
    _doubt_outside(notes, readings, reading)
    told = (tuple(f"{log.notes.name}: {it}" for it in them) for them in (repairs, reading.doubts))
    return Noted(tuple(notes), *told)


def _places(texts: Texts, path: Path) -> tuple[dict[str, int], list[str]]:
    """Where each known column stands, and what is said of others; InputError for one that may be misspelt."""
    names, faults = [name.casefold() for name in texts.names], list[Fault]()
    places = {name: names.index(name) for name in HEADERS if name in names}
    if TIME not in places:
        todo = f"The first line names the columns: {', '.join(HEADERS)}; only time must be there"
        raise InputError(
            Fault('no column is called "time"', str(path), 1, None, ", ".join(texts.names)[:100], None, todo)
        )
    others = [name for name in texts.names if name and name.casefold() not in HEADERS]
    for name in HEADERS:
        if names.count(name) > 1:
            faults.append(
                Fault(f'{names.count(name)} columns are called "{name}"', str(path), todo="Keep one")
            )
    for name in others:
        close = [it for it in nearest_words(name, HEADERS) if it not in places]
        if close:
            todo = f'Is "{close[0]}" meant? Other columns may have any other name'
            faults.append(
                Fault(
                    f'no column of notes is called "{name}"',
                    str(path),
                    None,
                    None,
                    name,
                    ", ".join(HEADERS),
                    todo,
                )
            )
    if faults:
        raise InputError(faults)
    return places, [f"Columns passed over ({', '.join(others)}): {len(others)}."] if others else []


def _notes(reading: _Reading, rows: Sequence[tuple[int, Mapping[str, str]]]) -> list[Note]:
    """Every row as a note; faults and doubts go to the reading."""
    notes = []
    clocks = [(line, cells[TIME]) for line, cells in rows if cells[TIME]]
    reading.faults += (replace(it, file=str(reading.path)) for it in reading.watch.half_clock(clocks))
    for line, cells in rows:
        if not any(cells.values()):
            continue
        if not cells[TIME]:
            told = ", ".join(text for text in cells.values() if text)
            reading.fault(
                line,
                TIME,
                told,
                Fault("the row has no time", todo='Write when it was, or "~21:30" if unsure'),
            )
            continue
        if not any(text for name, text in cells.items() if name != TIME):
            reading.doubts.append(f"Line {line} has a time and nothing else.")
        if note := _note(reading, line, cells):
            notes.append(note)
    return notes


def _note(reading: _Reading, line: int, cells: Mapping[str, str]) -> Note | None:
    try:
        seconds, unsure = reading.watch.moment(cells[TIME])
    except InputError as error:
        for fault in error.faults:
            reading.fault(line, TIME, cells[TIME], fault)
        seconds = unsure = 0.0
    amount = _amount(reading, line, cells.get(LOAD, ""))
    levers = {lever: _mark(reading, line, lever, cells.get(lever, "")) for lever in (AIR, DAMPER)}
    coals = _coals(reading, line, cells.get(COALS, ""))
    if coals is not None and not (amount and amount.unsure):
        reading.doubts.append(f"Line {line} says whether coals lit it, and no load stands there.")
    load = (amount.pieces, amount.mass, amount.unsure) if amount else (None, None, 0.0)
    return Note(line, seconds, unsure, *load, levers[AIR], levers[DAMPER], coals, cells.get(REMARK, ""))


def _amount(reading: _Reading, line: int, text: str) -> Amount | None:
    try:
        return amount_from_text(text, reading.scenario.wood) if text else None
    except InputError as error:
        for fault in error.faults:
            reading.fault(line, LOAD, text, fault)
        return None


def _mark(reading: _Reading, line: int, lever: str, text: str) -> str | None:
    """A mark of the lever as the scenario writes it."""
    if not text:
        return None
    stove = reading.scenario.stove
    known = marks_of(stove, lever) if stove else {}
    mark = {text: text} if text in known else {name.casefold(): name for name in known}
    if found := mark.get(text) or mark.get(text.casefold()):
        return found
    what = f'unknown mark "{text}"' if known else f"the scenario of that night has no {lever} lever"
    todo = nearest(text, known) or (
        "Use one of these marks" if known else "Leave it out, or write it as a remark"
    )
    reading.fault(line, lever, text, Fault(what, allowed=", ".join(known) or None, todo=todo))
    return None


def _coals(reading: _Reading, line: int, text: str) -> bool | None:
    """Whether the coals lit it."""
    if text.casefold() in YES or text.casefold() in NO:
        return text.casefold() in YES
    if text:
        todo = "Write yes where the coals lit the load, no where a match had to, nothing where nobody saw it"
        reading.fault(line, COALS, text, Fault("neither yes nor no", allowed="yes, no", todo=todo))
    return None


def _sorted(notes: list[Note], path: Path, repairs: list[str]) -> list[Note]:
    """The notes in the order of time; InputError for two of one time."""
    if back := sum(later.seconds < earlier.seconds for earlier, later in pairwise(notes)):
        repairs.append(f"Places where the times step back; the notes were sorted by time: {back}.")
    ordered = sorted(notes, key=lambda it: (it.seconds, it.line))
    todo = "Write both in one row, keep the one that is right, or give seconds"
    faults = [
        Fault(
            f'in column "time": the same time as in line {min(a.line, b.line)}',
            str(path),
            max(a.line, b.line),
            todo=todo,
        )
        for a, b in pairwise(ordered)
        if a.seconds == b.seconds
    ]
    if faults:
        raise InputError(faults)
    return ordered


def _guessed(notes: Sequence[Note], reading: _Reading) -> list[Note]:
    """The notes with a mass where nobody knew it: the middle of that night's others, still as unsure."""
    known = [note.mass for note in notes if note.mass is not None]
    unknown = [note for note in notes if note.loaded and note.mass is None]
    if not unknown:
        return list(notes)
    lines = ", ".join(str(note.line) for note in unknown)
    if not known:
        reading.doubts.append(f"Loads of which nobody knows how much (line {lines}): {len(unknown)}.")
        return list(notes)
    middle = median(known)
    load = show(middle, "mass", reading.scenario.units, 1)
    reading.doubts.append(
        f"Loads of which nobody knows how much (line {lines}), taken as the night's middle load, "
        f"{load}, unsure by a factor of {2.718281828**UNKNOWN:.1f}: {len(unknown)}."
    )
    return [replace(note, mass=middle) if note in unknown else note for note in notes]


def _doubt_outside(notes: Sequence[Note], readings: tuple[float, float] | None, reading: _Reading) -> None:
    if readings is None:
        return
    first, last = readings
    outside = [it for it in notes if not first - BY_THE_WAY <= it.seconds <= last + BY_THE_WAY]
    if outside:
        lines = ", ".join(str(note.line) for note in outside)
        reading.doubts.append(
            f"Notes of times without readings (line {lines}; is am or pm, or the logger's clock wrong?): "
            f"{len(outside)}."
        )
