"""What no section can check alone: heights under the peak, a mat on its floor."""

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.heat import Heat
from simtent.scenario.shelter import Shelter
from simtent.scenario.site import ALWAYS, Levels
from simtent.scenario.tree import Origin, Path, find
from simtent.units import show

LONGEST_LEVEL = 30


def check_whole(parts: Mapping[str, BaseModel], places: Places) -> Iterator[Fault]:
    """Faults between sections; a section that is faulty itself is left out."""
    levels, shelter, heat = parts.get("levels"), parts.get("shelter"), parts.get("heat")
    if isinstance(levels, Levels):
        yield from _levels_there(levels, places)
    if not isinstance(shelter, Shelter):
        return
    peak = shelter.peak
    if isinstance(levels, Levels):
        for name, height in levels.root.items():
            if height >= peak:
                yield _too_high(("levels", name), "the level is not below the peak", peak, places)
    if shelter.contents.height > peak:
        path: Path = ("shelter", "contents", "height")
        yield _too_high(path, "the contents are higher than the shelter", peak, places)
    if isinstance(heat, Heat) and heat.to_height > peak:
        yield _too_high(("heat", "to_height"), "to_height is above the peak", peak, places)
    area = shelter.floor.mat_area
    if area is not None and area > shelter.floor_area:
        allowed = f"up to the floor's {show(shelter.floor_area, 'area', places.units)}"
        fault = Fault(
            "the mat is larger than the floor", allowed=allowed, todo="Correct it, or leave mat_area away"
        )
        yield places.put(fault, ("shelter", "floor", "mat_area"))


def _levels_there(levels: Levels, places: Places) -> Iterator[Fault]:
    for name in levels.root:
        if not (name.strip() == name != "" and name.isprintable() and len(name) <= LONGEST_LEVEL):
            allowed = f"1 to {LONGEST_LEVEL} printable characters, no blanks at the ends"
            fault = Fault("a level's name cannot be printed", allowed=allowed, todo="Give it a short name")
            yield places.put(fault, ("levels", name))
    for name in ALWAYS:
        if name not in levels.root:
            fault = Fault(
                f"the level {name} is always there",
                todo=f"Give it a height, or leave {name} out for the usual one",
            )
            yield places.put(fault, ("levels", name))


def _too_high(path: Path, what: str, peak: float, places: Places) -> Fault:
    node, there = find(places.given, path)
    usual = not there or node.origin == Origin("default")
    key = path[-1]
    todo = f"Add {key} = ... of your own under [{'.'.join(map(str, path[:-1]))}]" if usual else "Lower it"
    value = f"{node.value}, the usual one" if usual and there and hasattr(node, "value") else None
    return places.put(
        Fault(what, value=value, allowed=f"below {show(peak, 'length', places.units)}", todo=todo), path
    )
