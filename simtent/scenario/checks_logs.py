"""What [[log]] says, held against the levels of the scenario."""

from collections.abc import Iterable, Iterator
from typing import Any

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.logs import PLACES, Log
from simtent.scenario.names import level_of_ones_own
from simtent.scenario.nearest import nearest


def check_logs(logs: Iterable[Log], levels: Iterable[str], places: Places) -> Iterator[Fault]:
    """Faults of what logs say: columns, and places that the scenario does not know."""
    for number, log in enumerate(logs):
        path: tuple[Any, ...] = ("log", number)
        known = PLACES if log.in_the_open else (*levels, *PLACES)
        if not log.sensors:
            todo = 'Write sensors = { "CH1" = "head" }'
            yield places.put(Fault("no column is named", todo=todo), (*path, "sensors"))
        for column, place in log.sensors.items():
            if place not in known:
                own = None if log.in_the_open else level_of_ones_own(place)
                fault = Fault(
                    f'no place is called "{place}"',
                    allowed=", ".join(known),
                    todo=nearest(place, known) or own,
                )
                yield places.put(fault, (*path, "sensors", column))
            elif list(log.sensors.values()).index(place) != list(log.sensors).index(column):
                fault = Fault(
                    f'two columns are from "{place}"', todo="Give one of them another level, or leave it out"
                )
                yield places.put(fault, (*path, "sensors", column))
