"""A logged night in words and tables: what was mended, sensors, loads, the night against the wish."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf

from simtent.assess.moments import duration
from simtent.logbook import measures
from simtent.logbook.amounts import KIND_WEIGHED, UNKNOWN
from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.logged import Logged
from simtent.logbook.measures import Peak, Reading
from simtent.logbook.notes import Note
from simtent.scenario.scenario import Scenario
from simtent.tell.words import paragraph, whole, wood_mass
from simtent.units import System, number, show, unit_name

NOTHING = "-"
MINUTE = 60.0  # s
Cells = Sequence[str]


@dataclass(frozen=True, slots=True)
class Evening:
    """A logged night, the scenario of that night, the scenario that names it, and the units to show."""

    logged: Logged
    scenario: Scenario
    camp: Scenario
    system: System

    def clock(self, moment: float) -> str:
        """A moment [s since 1970] on the camp's clock, to the minute."""
        rounded = 60.0 * round(moment / 60.0)
        return f"{datetime.fromtimestamp(rounded, UTC).astimezone(self.scenario.night.zone):%H:%M}"

    def noted(self, note: Note) -> str:
        """When something was noted: "~21:30" where nobody is sure."""
        return f"{'~' if note.unsure else ''}{self.clock(note.seconds)}"

    def degrees(self, kelvin: float) -> str:
        """A temperature in whole degrees with its unit."""
        return show(kelvin, "temperature", self.system, 0)

    def plain(self, kelvin: float) -> str:
        """A temperature in whole degrees."""
        return whole(number(kelvin, "temperature", self.system))

    @property
    def places(self) -> list[str]:
        """Where sensors hung: levels from the top down, then the others."""
        return measures.by_height(list(self.logged.sensors), dict(self.scenario.levels))

    def moment(self, clock: str | None, otherwise: str) -> float:
        """A clock time of the night [s since 1970], or another one where none is given."""
        night = self.scenario.night
        return night.begin_utc.timestamp() + night.seconds_at(clock or otherwise)

    @property
    def in_bed(self) -> tuple[float, float]:
        """From bed to rise [s since 1970]; from the scenario's begin, to its end, where no time is wished."""
        wish, night = self.scenario.wish, self.scenario.night
        return self.moment(wish.bed, night.begin), self.moment(wish.rise, night.end)


def told(evening: Evening) -> list[str]:
    """Lines of at most 80 characters: which night, what was mended and is doubtful, sensors, loads, the night."""
    parts = [
        heading(evening),
        _listed("READ AND MENDED", evening.logged.repairs, "Nothing had to be mended."),
        _listed("DOUBTFUL, look at it", evening.logged.doubts, "Nothing looks doubtful."),
        [f"SENSORS, temperatures in {unit_name('temperature', evening.system)}", *sensors(evening)],
        ["LOADS", *loads(evening)],
        *([["LEVERS AND REMARKS", *turned]] if (turned := list(_turned(evening))) else []),
        *([["THE NIGHT", *night]] if (night := list(_night(evening))) else []),
    ]
    return [line for part in parts for line in (*part, "")][:-1]


def heading(evening: Evening) -> list[str]:
    """Which night this is, and from which files."""
    logged, scenario = evening.logged, evening.camp
    what = "burn in the open" if logged.in_the_open else "night"
    files = dict.fromkeys(
        path.name for log in logged.log for path in (log.file, log.notes, log.with_) if path
    )
    text = (
        f"{scenario.name}, {what} of {logged.evening}, as logged ({', '.join(files)}). Nothing is simulated."
    )
    if scenario.invented:
        text += " Invented scenario: it describes no real camp."
    changed = [f"Changed from the file: {change}" for change in scenario.changes]
    return [line for words in (text, *changed) for line in paragraph(words)]


def _listed(title: str, texts: Sequence[str], nothing: str) -> list[str]:
    return [title, *(line for text in texts or [nothing] for line in paragraph(text, "  ", "    "))]


def sensors(evening: Evening) -> Iterator[str]:
    """A row for each sensor: readings, lowest, highest, gaps, doubtful ones."""
    head = ("sensor", "readings", "lowest", "at", "highest", "at", "gaps", "longest", "doubtful")
    rows = [list(_extent(evening, place)) for place in evening.places]
    yield from _table(head, rows)
    yield from paragraph(
        f"A gap is a step of more than {measures.GAP:.0f} usual ones. Doubtful readings count nowhere."
    )


def _extent(evening: Evening, place: str) -> Iterator[str]:
    found = measures.extent(place, evening.logged.sensors[place])
    yield from (place, str(found.count))
    for end in (found.lowest, found.highest):
        yield from (evening.plain(end.kelvin), evening.clock(end.seconds)) if end else (NOTHING, "")
    longest = found.longest_gap
    yield from (str(found.gaps or NOTHING), duration(longest[1] - longest[0]) if longest else "")
    yield str(found.suspect or NOTHING)


def loads(evening: Evening) -> list[str]:
    """A row for each load: wood, peaks and how long they took, until when the cot stayed warm, what lit it."""
    found = measures.loads_of(evening.logged)
    if not found:
        todo = 'Nothing was noted: name a file by notes = "..." under [[log]], with time, load, air, damper, coals.'
        return paragraph(todo if not any(log.notes for log in evening.logged.log) else "No load was noted.")
    columns = list(_columns(evening))
    rows, below = [], list[list[str]]()
    for load, until in found:
        peaks = {place: measures.peak_after(load, until, place, evening.logged) for place in _peaked(evening)}
        rows.append(
            [evening.noted(load), _wood(load, evening), *(cell(load, until, peaks) for _, cell in columns)]
        )
        below.append(list(_remarks(evening, load, peaks)))
    lines = list(_table(("load", "wood", *(title for title, _ in columns)), rows))
    merged = lines[:1]
    for line, remarks in zip(lines[1:], below, strict=True):
        merged += [line, *remarks]
    return [*merged, *(line for text in _legend(evening) for line in paragraph(text, "", "  "))]


Cell = Callable[[Note, float, dict[str, Peak]], str]


def _peaked(evening: Evening) -> list[str]:
    """The places whose peaks are told."""
    wanted = AT_FIRE if evening.logged.in_the_open else ("head", "cot", *AT_FIRE)
    return [place for place in wanted if place in evening.logged.sensors]


def _columns(evening: Evening) -> Iterator[tuple[str, Cell]]:
    for place in _peaked(evening):
        yield place, lambda _load, _until, peaks, place=place: _top(evening, peaks[place])  # type: ignore[misc]
        if place not in AT_FIRE or evening.logged.in_the_open:
            yield "after", lambda load, _until, peaks, place=place: _after(load, peaks[place])  # type: ignore[misc]
    limit = evening.scenario.wish.cot_at_least
    if limit is not None and "cot" in evening.logged.sensors and not evening.logged.in_the_open:
        sensor = evening.logged.sensors["cot"]
        yield (
            f"cot<{evening.plain(limit)}",
            lambda load, until, _peaks: _fell(measures.fell_below(limit, load.seconds, until, sensor)),
        )
    yield "coals", lambda load, _until, _peaks: {None: NOTHING, True: "yes", False: "no"}[load.coals]


def _top(evening: Evening, peak: Peak) -> str:
    if peak.top is None:
        return NOTHING
    return f"{'>' if peak.rising else ''}{evening.plain(peak.top.kelvin)}"


def _after(load: Note, peak: Peak) -> str:
    return _hours(peak.top.seconds - load.seconds) if peak.top else NOTHING


def _fell(seconds: float | None) -> str:
    if seconds is None:
        return "never up"
    return "stayed" if seconds == inf else _hours(seconds)


def _wood(load: Note, evening: Evening) -> str:
    if load.mass is None:
        return "?"
    return mass_text(load, wood_mass(load.mass, evening.system))


def _remarks(evening: Evening, load: Note, peaks: dict[str, Peak]) -> Iterator[str]:
    """What else is to be said of a load, beneath its row."""
    for place, peak in peaks.items():
        if peak.more:
            more = ", ".join(_told(evening, it) for it in peak.more)
            yield from paragraph(f"other peaks at {place}: {more}", " " * 8, " " * 10)
    if load.remark:
        yield from paragraph(load.remark, " " * 8, " " * 10)


def _legend(evening: Evening) -> Iterator[str]:
    limits = (measures.PROMINENT, measures.PROMINENT_AT_FIRE, measures.ROSE)
    room, fire, rose = (f"{_kelvin(it, evening):.2g} {_per(evening)}" for it in limits)
    unit = unit_name("temperature", evening.system)
    yield f"Temperatures in {unit}: highest until the next load, and how long after (h:mm)."
    yield f"-: rose by less than {rose}, or nothing known. >: still rising then."
    yield "~: nobody weighed it, or nobody is sure of the time. ?: nobody knows how much."
    if not evening.logged.in_the_open and evening.scenario.wish.cot_at_least is not None:
        yield "cot<: how long until the cot fell below the wish. coals: whether they lit it."
    else:
        yield "coals: whether they lit it."
    yield f"Other peaks stand out by {room}, at stove and pipe by {fire} (own choice)."


def _turned(evening: Evening) -> Iterator[str]:
    for note in evening.logged.notes:
        turns = [f"{name} {mark}" for name, mark in (("air", note.air), ("damper", note.damper)) if mark]
        words = [*turns, *([note.remark] if note.remark and not note.loaded else [])]
        if words:
            yield from paragraph(f"{evening.noted(note):6} {', '.join(words)}", "", " " * 7)


def _night(evening: Evening) -> Iterator[str]:
    """The night against the wish, coldest at each place, head over floor; nothing of a burn in the open."""
    logged, (begin, end) = evening.logged, evening.in_bed
    if logged.in_the_open:
        return
    yield from _wished(evening, begin, end)
    places = [place for place in evening.places if place not in AT_FIRE]
    found = {place: measures.coldest(logged.sensors[place], begin, end) for place in places}
    if cold := ", ".join(f"{place} {_told(evening, it)}" for place, it in found.items() if it):
        yield from paragraph(f"Coldest in that time: {cold}.")
    if "head" in logged.sensors and "floor" in logged.sensors:
        rise = measures.difference(logged.sensors["head"], logged.sensors["floor"])
        if rise:
            middle, most = (f"{_kelvin(it, evening):.0f} {_per(evening)}" for it in (rise[0], rise[1].kelvin))
            when = evening.clock(rise[1].seconds)
            yield from paragraph(
                f"Head over floor: {middle} in the middle of all readings, {most} at most, at {when}."
            )


def _wished(evening: Evening, begin: float, end: float) -> Iterator[str]:
    """Hours against the wish: the cot in bed, the head while people were up, the cot at rise."""
    logged, wish = evening.logged, evening.scenario.wish
    first, last = ("bed" if wish.bed else "begin"), ("rise" if wish.rise else "end")
    span = f"From {first} {evening.clock(begin)} to {last} {evening.clock(end)}"
    cot, head = logged.sensors.get("cot"), logged.sensors.get("head")
    if cot and wish.cot_at_least is not None:
        hours = measures.hours_against(wish.cot_at_least, begin, end, cot)
        text = (
            f"{span} the cot was at {evening.degrees(wish.cot_at_least)} or more for {duration(hours.above)}"
        )
        unknown = f", not logged for {duration(hours.unknown)}" if hours.unknown >= MINUTE else ""
        yield from paragraph(f"{text}, below it for {duration(hours.below)}{unknown}.")
    else:
        yield from paragraph(f"{span}; no temperature of the cot is {'wished' if cot else 'logged'}.")
    if head and wish.head_at_most is not None and wish.bed:
        hours = measures.hours_against(wish.head_at_most, head.seconds[0], begin, head)
        limit = evening.degrees(wish.head_at_most)
        yield from paragraph(f"Before bed the head was at {limit} or more for {duration(hours.above)}.")
    if cot and wish.rise and wish.cot_at_rise is not None and (there := measures.at(end, cot)) is not None:
        wanted = evening.degrees(wish.cot_at_rise)
        yield from paragraph(f"At rise the cot was at {evening.degrees(there)}; {wanted} were asked for.")


def _kelvin(kelvin: float, evening: Evening) -> float:
    """A difference of temperatures in the unit that is shown."""
    return number(kelvin, "temperature_difference", evening.system)


def _per(evening: Evening) -> str:
    return unit_name("temperature_difference", evening.system)


def mass_text(load: Note, mass: str) -> str:
    """A mass as sure as it is: "4.1", "~4.1" by counted pieces, "4.1 ?" where nobody knows."""
    if load.mass_unsure >= UNKNOWN:
        return f"{mass} ?"
    return f"~{mass}" if load.mass_unsure >= KIND_WEIGHED else mass


def _told(evening: Evening, reading: Reading) -> str:
    return f"{evening.degrees(reading.kelvin)} at {evening.clock(reading.seconds)}"


def _hours(seconds: float) -> str:
    minutes = round(seconds / 60.0)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _table(head: Cells, rows: Iterable[Cells]) -> Iterator[str]:
    """Columns as wide as they must be, the first to the left, the others to the right."""
    every = [head, *rows]
    widths = [max(len(row[at]) for row in every) for at in range(len(head))]
    for row in every:
        cells = (cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True))
        yield "  ".join([row[0].ljust(widths[0]), *cells]).rstrip()
