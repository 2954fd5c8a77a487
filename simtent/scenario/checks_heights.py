"""Openings and a fan stand within the shelter; a jack without a stove has a height."""

from collections.abc import Iterator

from pydantic import BaseModel

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.heat import Heat
from simtent.scenario.shelter import Shelter
from simtent.scenario.tree import Origin, Path, find
from simtent.units import show

OPENINGS = ("shelter", "openings")


def check_openings(shelter: Shelter, heat: BaseModel | None, places: Places) -> Iterator[Fault]:
    """Faults of openings above the peak, and of a jack of which nothing tells the height."""
    openings, peak = shelter.openings, shelter.peak
    for name in ("low_vent", "ridge_vent", "jack"):
        opening = getattr(openings, name)
        if opening is not None and opening.at is not None and opening.at > peak:
            yield too_high((*OPENINGS, name, "at"), "the opening is above the peak", peak, places)
    door = openings.door
    if door is not None and door.top > peak:
        todo = "Lower its sill or its height" if door.sill < peak else "Lower its sill"
        allowed = f"up to {show(peak, 'length', places.units, 2)} with its sill"
        fault = Fault("the door is higher than the shelter", allowed=allowed, todo=todo)
        yield places.put(fault, (*OPENINGS, "door", "height" if door.sill < peak else "sill"))
    if openings.jack is not None and openings.jack.at is None and isinstance(heat, Heat):
        todo = "Add at = ...: without [stove] nothing tells where the pipe meets the roof"
        yield places.put(Fault("the height of the jack is missing", todo=todo), (*OPENINGS, "jack", "at"))
    fan = shelter.fan
    for key, height in (("from", fan.from_), ("to", fan.to)) if fan else ():
        if height is not None and height >= peak:
            yield too_high(("shelter", "fan", key), "the fan's height is not below the peak", peak, places)


def too_high(path: Path, what: str, peak: float, places: Places) -> Fault:
    """The fault of a height that the shelter has not; says so where it is the usual one, given by nobody."""
    node, there = find(places.given, path)
    usual = not there or node.origin == Origin("default")
    key = path[-1]
    todo = f"Add {key} = ... of your own under [{'.'.join(map(str, path[:-1]))}]" if usual else "Lower it"
    value = f"{node.value}, the usual one" if usual and there and hasattr(node, "value") else None
    return places.put(
        Fault(what, value=value, allowed=f"below {show(peak, 'length', places.units)}", todo=todo), path
    )
