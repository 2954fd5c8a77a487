"""Which tables a scenario needs together: a shelter or the open, a stove or a known heat, wood and stoking."""

from collections.abc import Iterator

from simtent.errors import Fault
from simtent.scenario.faults import Places, missing_fault
from simtent.scenario.tree import Table, find

SOURCES = "exactly one of: [heat] | [stove]"


def check_presence(places: Places) -> Iterator[Fault]:
    """Faults of tables that are missing, or there without one they need."""
    there = places.given.nodes.keys()
    if places.in_the_open:
        yield from _in_the_open("stove" in there, "heat" in there, places)
    else:
        yield from _in_a_shelter("stove" in there, "heat" in there, places)
    for name in ("wood", "stoking"):
        if "stove" in there and name not in there:
            what = {"wood": "a stove without wood", "stoking": "a stove that nobody tends"}[name]
            yield places.put(Fault(what, todo=f"Add the table [{name}]"), (name,))
        elif "heat" in there and "stove" not in there and name in there:
            todo = f'Add [stove] in place of [heat], or take it away: {name} = "none"'
            yield places.put(Fault(f"[{name}] is of no use without a stove", todo=todo), (name,))


def _in_a_shelter(stove: bool, heat: bool, places: Places) -> Iterator[Fault]:
    if stove and heat:
        todo = 'Keep one; an overlay takes the other away: heat = "none"'
        yield places.put(Fault("both [heat] and [stove]", allowed=SOURCES, todo=todo), ("heat",))
    if not stove and not heat:
        todo = "Add [stove], [wood] and [stoking]; or [heat], with a power of 0 W for a night without a fire"
        yield places.put(Fault("nothing heats the shelter", allowed=SOURCES, todo=todo), ("heat",))
    if find(places.given, ("shelter", "floor", "raised"))[1]:
        return  # above open air the ground plays no part
    site = places.given.nodes.get("site", Table())
    for key in ("ground", "ground_start"):
        if isinstance(site, Table) and key not in site.nodes:
            yield places.put(missing_fault(("site", key), places), ("site", key))


def _in_the_open(stove: bool, heat: bool, places: Places) -> Iterator[Fault]:
    if not stove:
        todo = "Add [stove], [wood] and [stoking], or give a shelter"
        yield places.put(
            Fault('shelter = "none" is a stove in the open, and there is none', todo=todo), ("shelter",)
        )
    if "damp" in places.given.nodes:
        todo = 'Take it away, damp = "none", or give a shelter'
        yield places.put(Fault("in the open there is no air that [damp] could fill", todo=todo), ("damp",))
    if heat:
        todo = 'Take it away, heat = "none", or give a shelter'
        yield places.put(Fault("in the open there is nothing that [heat] could heat", todo=todo), ("heat",))
