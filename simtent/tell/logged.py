"""A logged night in words and tables: what was mended, sensors, loads, the night against the wish."""

from collections.abc import Iterator, Sequence

from simtent.assess.moments import duration
from simtent.logbook import measures
from simtent.logbook.doubts import AT_FIRE
from simtent.tell.evening import Evening, table
from simtent.tell.logged_loads import loads
from simtent.tell.words import paragraph
from simtent.units import unit_name

NOTHING = "-"
MINUTE = 60.0  # s


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
    yield from table(head, rows)
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


def _turned(evening: Evening) -> Iterator[str]:
    for note in evening.logged.notes:
        turns = [f"{name} {mark}" for name, mark in (("air", note.air), ("damper", note.damper)) if mark]
        words = [*turns, *([note.remark] if note.remark and not note.loaded else [])]
        if words:
            yield from paragraph(f"{evening.noted(note):6}  {', '.join(words)}", "", " " * 8)


def _night(evening: Evening) -> Iterator[str]:
    """The night against the wish, coldest at each place, head over floor; nothing of a burn in the open."""
    logged, (begin, end) = evening.logged, evening.in_bed
    if logged.in_the_open:
        return
    yield from _wished(evening, begin, end)
    places = [place for place in evening.places if place not in AT_FIRE]
    found = {place: measures.coldest(logged.sensors[place], begin, end) for place in places}
    if cold := ", ".join(f"{place} {evening.told(it)}" for place, it in found.items() if it):
        yield from paragraph(f"Coldest in that time: {cold}.")
    if "head" in logged.sensors and "floor" in logged.sensors:
        rise = measures.difference(logged.sensors["head"], logged.sensors["floor"])
        if rise:
            middle, most = map(evening.difference, (rise[0], rise[1].kelvin))
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
