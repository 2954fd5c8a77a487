"""What [[trip]] says, night against night."""

from collections.abc import Iterable, Iterator
from datetime import date

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.trip import TripNight


def check_trip(nights: Iterable[TripNight], places: Places) -> Iterator[Fault]:
    """A fault for every evening that was given before."""
    seen = set[date]()
    for number, night in enumerate(nights):
        if night.evening in seen:
            fault = Fault("this evening is in the trip twice", todo="Keep one of the two")
            yield places.put(fault, ("trip", number, "evening"))
        seen.add(night.evening)
