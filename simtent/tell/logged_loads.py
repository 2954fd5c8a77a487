"""The loads of a logged night in a table: wood, peaks and how long they took, until when the cot stayed warm."""

from collections.abc import Callable, Iterator
from math import inf

from simtent.logbook import measures
from simtent.logbook.amounts import KIND_WEIGHED, UNKNOWN
from simtent.logbook.doubts import AT_FIRE
from simtent.logbook.measures import Peak
from simtent.logbook.notes import Note
from simtent.tell.evening import Evening, table
from simtent.tell.words import paragraph, wood_mass
from simtent.units import unit_name

NOTHING = "-"


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
    lines = list(table(("load", "wood", *(title for title, _ in columns)), rows))
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
            more = ", ".join(evening.told(it) for it in peak.more)
            yield from paragraph(f"other peaks at {place}: {more}", " " * 8, " " * 10)
    if load.remark:
        yield from paragraph(load.remark, " " * 8, " " * 10)


def _legend(evening: Evening) -> Iterator[str]:
    limits = (measures.PROMINENT, measures.PROMINENT_AT_FIRE, measures.ROSE)
    room, fire, rose = map(evening.difference, limits)
    unit = unit_name("temperature", evening.system)
    yield f"Temperatures in {unit}: highest until the next load, and how long after (h:mm)."
    yield f"-: rose by less than {rose}, or nothing known. >: still rising then."
    yield "~: nobody weighed it, or nobody is sure of the time. ?: nobody knows how much."
    if not evening.logged.in_the_open and evening.scenario.wish.cot_at_least is not None:
        yield "cot<: how long until the cot fell below the wish. coals: whether they lit it."
    else:
        yield "coals: whether they lit it."
    yield f"Other peaks stand out by {room}, at stove and pipe by {fire} (own choice)."


def mass_text(load: Note, mass: str) -> str:
    """A mass as sure as it is: "4.1", "~4.1" by counted pieces, "4.1 ?" where nobody knows."""
    if load.mass_unsure >= UNKNOWN:
        return f"{mass} ?"
    return f"~{mass}" if load.mass_unsure >= KIND_WEIGHED else mass


def _hours(seconds: float) -> str:
    minutes = round(seconds / 60.0)
    return f"{minutes // 60}:{minutes % 60:02d}"
