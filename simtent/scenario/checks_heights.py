"""Openings and a fan stand within the shelter; a jack without a stove has a height."""

from collections.abc import Iterator

from pydantic import BaseModel

from simtent.errors import Fault
from simtent.geometry.face import JUST_BELOW
from simtent.scenario.faults import Places
from simtent.scenario.heat import Heat
from simtent.scenario.shelter import Shelter
from simtent.scenario.tree import Origin, Path, find
from simtent.units import show

OPENINGS = ("shelter", "openings")


def check_openings(shelter: Shelter, heat: BaseModel | None, places: Places) -> Iterator[Fault]:
    """Faults of openings above the peak, and of a jack of which nothing tells the height."""
    openings, peak = shelter.openings, shelter.peak
    for path, height in _heights(shelter):
        if height > peak:
            yield too_high((*OPENINGS, *path, "at"), "the opening is above the peak", peak, places)
    door = openings.door
    if door is not None and door.top > peak:
        todo = "Lower its sill or its height" if door.sill < peak else "Lower its sill"
        allowed = f"up to {show(peak, 'length', places.units, 2)} with its sill"
        fault = Fault("the door is higher than the shelter", allowed=allowed, todo=todo)
        yield places.put(fault, (*OPENINGS, "door", "height" if door.sill < peak else "sill"))
    if openings.jack is not None and openings.jack.at is None and isinstance(heat, Heat):
        todo = "Add at = ...: without [stove] nothing tells where the pipe meets the roof"
        yield places.put(Fault("the height of the jack is missing", todo=todo), (*OPENINGS, "jack", "at"))
    yield from _in_a_wall(shelter, places)
    fan = shelter.fan
    for key, level in (("from", fan.from_), ("to", fan.to)) if fan else ():
        if level is not None and level >= peak:
            yield too_high(("shelter", "fan", key), "the fan's height is not below the peak", peak, places)


def _heights(shelter: Shelter) -> Iterator[tuple[Path, float]]:
    """The keys of every opening that lies at one height, and that height [m]."""
    openings = shelter.openings
    fixed = {"low_vent": openings.low_vent, "ridge_vent": openings.ridge_vent}
    for name, opening in fixed.items():
        if opening is not None:
            yield (name,), opening.at
    if openings.jack is not None and openings.jack.at is not None:
        yield ("jack",), openings.jack.at
    for name, vent in openings.vents.items():
        yield ("vents", name), vent.at


def _in_a_wall(shelter: Shelter, places: Places) -> Iterator[Fault]:
    """A jack in a wall has one at its height."""
    jack, outline = shelter.openings.jack, shelter.outline
    if jack is None or jack.through == "roof" or jack.at is None or jack.at > outline.peak:
        return
    if not outline.area("wall", max(jack.at - JUST_BELOW, 0.0), max(jack.at, JUST_BELOW)):
        top = f"its roof begins at {show(shelter.eaves, 'length', places.units, 2)}"
        todo = 'Lower it, or let the pipe pass the roof: through = "roof"'
        fault = Fault("the shelter has no wall at the height of the jack", allowed=top, todo=todo)
        yield places.put(fault, (*OPENINGS, "jack", "at"))


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
