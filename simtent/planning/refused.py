"""What keeps a night from being planned: nothing to plan with, wishes that contradict each other."""

from collections.abc import Iterator

from simtent.errors import Fault
from simtent.planning.choices import APART, CATCHING, loads_of
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import find


def faults_of(scenario: Scenario) -> list[Fault]:
    """What keeps a scenario from being planned, all of it; nothing where it can be."""
    if scenario.stove is None or scenario.wood is None or scenario.stoking is None:
        todo = "Give it [stove], [wood] and [stoking] in place of [heat]"
        return [_fault(scenario, "there is no stove whose fire could be planned", "stove", todo)]
    if scenario.shelter is None:
        what = "a stove in the open warms nobody's cot: there is nothing to plan for"
        return [_fault(scenario, what, "shelter", "Give it a shelter, or ask: simtent night")]
    return [*_missing(scenario), *_contradicting(scenario), *_of_times(scenario), *_of_wood(scenario)]


def _missing(scenario: Scenario) -> Iterator[Fault]:
    examples = {"bed": '"21:30"', "rise": '"06:30"', "cot_at_least": '"4 degC" or "40 degF"'}
    for key, example in examples.items():
        if getattr(scenario.wish, key) is None:
            todo = f"Add {key} = {example} under [wish]"
            yield _fault(scenario, "a plan needs this wish", f"wish.{key}", todo)


def _contradicting(scenario: Scenario) -> Iterator[Fault]:
    wish = scenario.wish
    for key in ("cot_at_least", "cot_at_rise"):
        cot = getattr(wish, key)
        if cot is not None and wish.head_at_most is not None and cot >= wish.head_at_most:
            what = "the cot is wished as warm as the head may be at most, and it is the colder of the two"
            todo = "Wish for a colder cot, or allow a warmer head_at_most"
            yield _fault(scenario, what, f"wish.{key}", todo)


def _of_times(scenario: Scenario) -> Iterator[Fault]:
    wish, stoking = scenario.wish, scenario.stoking
    if wish.bed is None or stoking is None:
        return
    bed, lit = scenario.night.seconds_at(wish.bed), stoking.loads[0].at
    if bed - CATCHING < lit + APART:
        what = f"the fire is lit {(bed - lit) / 60.0:.0f} min before bed: the load for the night needs coals"
        todo = "Light it earlier (the first of [[stoking.load]]), or go to bed later"
        least = f"{(CATCHING + APART) / 60.0:.0f} min or more"
        yield _fault(scenario, what, "wish.bed", todo, allowed=least)


def _of_wood(scenario: Scenario) -> Iterator[Fault]:
    stove, wood, stoking = scenario.stove, scenario.wood, scenario.stoking
    assert stove and wood and stoking
    loads = loads_of(stove, wood)
    if not loads:
        what = "no piece leaves room in the firebox: there is no load to plan with"
        yield _fault(scenario, what, "wood.pieces", "Add a thinner or shorter kind of pieces")
    elif wood.at_hand is not None:
        least = sum(sum(wood.load_masses(it).values()) for it in (stoking.loads[0].pieces, loads[0]))
        if wood.at_hand < least:
            what = "there is not wood enough at hand to light the fire and put one load on"
            todo = "Bring more, or give smaller pieces"
            yield _fault(scenario, what, "wood.at_hand", todo, allowed=f"{least:.1f} kg or more")


def _fault(scenario: Scenario, what: str, key: str, todo: str, allowed: str | None = None) -> Fault:
    """A fault at a key, with the line where it, or the nearest table above it, was given."""
    origin = find(scenario.tree, tuple(key.split(".")))[0].origin
    return Fault(what, origin.file or str(scenario.path), origin.line, key, allowed=allowed, todo=todo)
