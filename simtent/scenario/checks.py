"""What no section can check alone: heights under the peak, a mat on its floor, a fire in its stove."""

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from simtent.errors import Fault
from simtent.scenario.checks_asleep import check_asleep
from simtent.scenario.checks_fire import check_levels, check_loads, check_marks, check_pieces, check_pipe
from simtent.scenario.checks_fit import check_fit
from simtent.scenario.checks_fitted import check_fitted
from simtent.scenario.checks_heights import check_openings, too_high
from simtent.scenario.checks_logs import check_logs
from simtent.scenario.checks_trip import check_trip
from simtent.scenario.checks_windows import check_windows
from simtent.scenario.damp import Damp
from simtent.scenario.fabric import PARTS
from simtent.scenario.faults import Places, missing_fault
from simtent.scenario.fields import Heading
from simtent.scenario.heat import Heat
from simtent.scenario.names import PRINTABLE, printable
from simtent.scenario.night import Night, Wish
from simtent.scenario.shelter import Shelter
from simtent.scenario.site import ALWAYS, Levels
from simtent.scenario.stoking import Stoking
from simtent.scenario.stove import Stove
from simtent.scenario.tree import Path
from simtent.scenario.wood import Wood
from simtent.units import show


def check_whole(parts: Mapping[str, BaseModel], places: Places) -> Iterator[Fault]:
    """Faults between sections; a section that is faulty itself is left out."""
    levels, shelter, heat = parts.get("levels"), parts.get("shelter"), parts.get("heat")
    damp = parts.get("damp")
    if isinstance(levels, Levels):
        yield from _levels_there(levels, places)
        if isinstance(heading := parts.get("heading"), Heading):
            yield from check_logs(heading.log, levels.root, places)
    if isinstance(shelter, Shelter):
        yield from _in_the_shelter(shelter, levels, heat, places)
        if isinstance(damp, Damp) and damp.gear_at is not None and damp.gear_at > shelter.peak:
            yield too_high(("damp", "gear_at"), "wet gear hangs above the peak", shelter.peak, places)
    if isinstance(heading := parts.get("heading"), Heading):
        yield from check_trip(heading.trip, places)
    yield from _of_the_fire(parts, places)
    yield from check_fit(parts, places)
    yield from check_fitted(parts, places)


def _of_the_fire(parts: Mapping[str, BaseModel], places: Places) -> Iterator[Fault]:
    stove, wood, stoking = parts.get("stove"), parts.get("wood"), parts.get("stoking")
    shelter, levels, night, wish = (parts.get(name) for name in ("shelter", "levels", "night", "wish"))
    if isinstance(stove, Stove) and isinstance(shelter, Shelter):
        yield from check_pipe(stove, shelter, places)
    if isinstance(stove, Stove) and isinstance(wood, Wood):
        yield from check_pieces(stove, wood, places)
    if isinstance(stoking, Stoking) and isinstance(levels, Levels):
        yield from check_levels(levels.root, stoking, places)
    if not (isinstance(stove, Stove) and isinstance(stoking, Stoking)):
        return
    yield from check_marks(stove, stoking, places)
    if isinstance(wood, Wood):
        yield from check_loads(stove, wood, stoking, places)
    if isinstance(night, Night) and isinstance(wish, Wish) and not places.in_the_open:
        yield from check_asleep(stove, stoking, wish, night.span, places)


def _in_the_shelter(
    shelter: Shelter, levels: BaseModel | None, heat: BaseModel | None, places: Places
) -> Iterator[Fault]:
    peak = shelter.peak
    if isinstance(levels, Levels):
        for name, height in levels.root.items():
            if height >= peak:
                yield too_high(("levels", name), "the level is not below the peak", peak, places)
    if shelter.contents.height > peak:
        path: Path = ("shelter", "contents", "height")
        yield too_high(path, "the contents are higher than the shelter", peak, places)
    if isinstance(heat, Heat) and heat.to_height > peak:
        yield too_high(("heat", "to_height"), "to_height is above the peak", peak, places)
    yield from _skin_there(shelter, places)
    yield from check_windows(shelter, places)
    yield from check_openings(shelter, heat, places)
    area = shelter.floor.mat_area
    if area is not None and area > shelter.floor_area:
        allowed = f"up to the floor's {show(shelter.floor_area, 'area', places.units)}"
        fault = Fault(
            "the mat is larger than the floor", allowed=allowed, todo="Correct it, or leave mat_area out"
        )
        yield places.put(fault, ("shelter", "floor", "mat_area"))


def _skin_there(shelter: Shelter, places: Places) -> Iterator[Fault]:
    """Layers of every part that the shape has, and of no other."""
    for part in PARTS:
        path: Path = ("shelter", "skin", part)
        there = shelter.outline.has(part)
        if there and not shelter.skin.of(part):
            yield places.put(missing_fault(path, places), path)
        elif not there and getattr(shelter.skin, part) is not None:
            todo = f'Leave it out (in an overlay: {part} = "none")'
            yield places.put(Fault(f"this shelter has no {part}", todo=todo), path)


def _levels_there(levels: Levels, places: Places) -> Iterator[Fault]:
    for name in levels.root:
        if not printable(name):
            fault = Fault("a level's name cannot be printed", allowed=PRINTABLE, todo="Give it a short name")
            yield places.put(fault, ("levels", name))
    missing = [name for name in ALWAYS if name not in levels.root]
    if len(missing) == len(ALWAYS):
        what, todo = "there are no levels", "Leave levels out for the usual ones, or give them heights"
        yield places.put(Fault(what, allowed=f"{', '.join(ALWAYS)} are always there", todo=todo), ("levels",))
        return
    for name in missing:
        fault = Fault(
            f"the level {name} is always there",
            todo=f"Give it a height, or leave {name} out for the usual one",
        )
        yield places.put(fault, ("levels", name))
