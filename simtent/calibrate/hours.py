"""The hours of a logged night that are simulated, and the notes that lie within them."""

from datetime import datetime, time

from simtent.calibrate.burnt import UNSURE
from simtent.errors import Fault, InputError
from simtent.logbook.logged import Logged
from simtent.logbook.notes import Note
from simtent.scenario.clock import Span
from simtent.scenario.scenario import Scenario

FEWEST = 12  # readings of a sensor within the night
MINUTE, LONGEST = 60.0, 86340.0  # s; no night lasts longer than a day


def span_of(frame: Scenario, logged: Logged, label: str) -> Span:
    """The hours that are simulated: from the scenario's begin, or the first load, until readings end.

    A burn in the open begins with its first load whatever the scenario's night, perhaps after midnight. In the hour
    that clocks repeat, hours begin at the first time that a clock shows, and end as that hour does. InputError where
    nothing was read.
    """
    night = frame.night
    loads = [
        note.seconds - (3.0 * note.unsure if note.unsure >= UNSURE else 0.0)
        for note in logged.notes
        if note.loaded
    ]
    first = datetime.fromtimestamp(min(loads), night.zone) if loads else None
    begin, evening = night.span.begin, night.evening
    if first and (logged.in_the_open or first < night.begin_utc):
        begin, evening = first.time().replace(second=0, microsecond=0, fold=0), first.date()
    last = max(sensor.seconds[-1] for sensor in logged.sensors.values())
    start = Span(evening, night.zone, begin, night.span.end).begin_utc.timestamp()
    if last < start + MINUTE * FEWEST:
        raise nothing_read(label)
    end = night.span.end
    if logged.in_the_open or last < night.begin_utc.timestamp() + night.seconds:
        last = min(last, start + LONGEST)
        end = _clock_that_is_once(datetime.fromtimestamp(last, night.zone))
    return Span(evening, night.zone, begin, end)


def _clock_that_is_once(moment: datetime) -> time:
    """The minute of a moment; where the clock shows it for the second time, the first that is shown once."""
    while moment.fold:
        moment = datetime.fromtimestamp(moment.timestamp() + MINUTE, moment.tzinfo)
    return moment.time().replace(second=0, microsecond=0)


def within_hours(logged: Logged, span: Span, told: list[str], label: str) -> tuple[Note, ...]:
    """The notes of the hours that are simulated; what is noted later, or before them, plays no part."""
    begin = span.begin_utc.timestamp()
    notes = tuple(note for note in logged.notes if 0.0 <= note.seconds - begin <= span.seconds)
    others = [f"{note.line}" for note in logged.notes if note not in notes]
    if others:
        hours = f"{span.begin:%H:%M} to {span.end:%H:%M}"
        told.append(
            f"{label}: notes outside {hours}, where readings end, are left out: line {', '.join(others)}"
        )
    return notes


def refuse_deeds(notes: tuple[Note, ...], logged: Logged, span: Span, label: str) -> None:
    """InputError where the notes name no load, or one that the clock of the night cannot tell."""
    file = next(str(log.notes) for log in logged.log if log.notes)
    if not any(note.loaded for note in notes):
        todo = "Write a line for every load, the first too, with its time and pieces, a mass, or ? where nobody knows"
        what = f"the notes of {label} name no load from {span.begin:%H:%M} to {span.end:%H:%M}"
        raise InputError(Fault(what, file, key="log.notes", todo=todo))
    twice = [note for note in notes if span.clock_at(note.seconds - span.begin_utc.timestamp()).fold]
    if twice:
        clock = f"{span.clock_at(twice[0].seconds - span.begin_utc.timestamp()):%H:%M}"
        todo = 'Give [night] a zone without such changes, such as zone = "+01:00"'
        what = f"the clocks are set back that night: {clock} is there twice, and the second is meant"
        raise InputError(Fault(what, file, twice[0].line, "time", clock, todo=todo))


def nothing_read(label: str) -> InputError:
    """The fault of a night without readings."""
    todo = "Correct `evening`, or `begin` and `end` of that night in a file that the log names by `with`"
    what = f"no sensor has {FEWEST} readings within the night"
    return InputError(Fault(what, key="log", value=label, todo=todo))
