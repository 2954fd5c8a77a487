"""What keeps the rest of a night from being planned: a time at which nobody sleeps, loads that cannot have been."""

from collections.abc import Iterator

from simtent.assess.moments import clock
from simtent.errors import Fault
from simtent.planning.now_past import Seen
from simtent.readings import ZERO_CELSIUS
from simtent.scenario.checks_fire import FULLEST
from simtent.scenario.scenario import Scenario

FAR = 5.0  # K between reading and night from which something else may be wrong; own choice
UNSURE = 5.0  # K by which forecast and model may be off and a reading still be of this night; own choice


def faults_of_seen(scenario: Scenario, seen: Seen) -> list[Fault]:
    """What cannot be in a scenario that can be planned; nothing where all can."""
    if found := [*_of_time(scenario, seen), *_of_last(scenario, seen)]:
        return found
    return [*_of_load(scenario, seen), *_too_cold(scenario, seen)]


def too_hot(seen: Seen, hottest: float) -> Fault | None:
    """A reading at the cot above all air of the night so far, `hottest` [degC]."""
    if seen.cot is None or seen.cot <= hottest + UNSURE:
        return None
    return _of_cot(seen, f"hotter than any air of this night, {hottest:.0f} degC at most", hottest + UNSURE)


def unsure_of_coals(seen: Seen, beside: float) -> Fault | None:
    """A reading so far below the night, `beside` [K], that its fire may be out; nobody has looked."""
    if seen.glowing is not None or beside >= -FAR:
        return None
    what = f"the cot is {-beside:.0f} K ({-1.8 * beside:.0f} degF) colder than this night has it: the fire may be out"
    todo = "Look whether the coals glow, and give --coals glowing or --coals dead"
    return Fault(what, "--coals", allowed="glowing or dead", todo=todo)


def _of_time(scenario: Scenario, seen: Seen) -> Iterator[Fault]:
    night, wish = scenario.night, scenario.wish
    assert wish.bed and wish.rise
    bed, rise = night.seconds_at(wish.bed), night.seconds_at(wish.rise)
    if not bed <= seen.at < rise:
        what = "nobody is in bed then: there is no night's rest to plan"
        todo = "Ask between bed and rise; for the whole night leave --now out"
        yield Fault(
            what, "--at", value=clock(night, seen.at), allowed=f"{wish.bed} to {wish.rise}", todo=todo
        )


def _of_last(scenario: Scenario, seen: Seen) -> Iterator[Fault]:
    assert scenario.stoking is not None
    lit = scenario.stoking.loads[0].at
    if seen.last is None:
        return
    if seen.last > seen.at:
        what = "the last load is put on after now"
        allowed = f"{clock(scenario.night, lit)} to {clock(scenario.night, seen.at)}"
        given = clock(scenario.night, seen.last)
        todo = "Give when wood was last put on; what comes later is planned"
        yield Fault(what, "--last-load", value=given, allowed=allowed, todo=todo)
    elif seen.last < lit:
        given, allowed = clock(scenario.night, seen.last), f"{clock(scenario.night, lit)} or later"
        todo = "Give a later time, or another first load in the file"
        yield Fault("a load before the fire is lit", "--last-load", value=given, allowed=allowed, todo=todo)


def _of_load(scenario: Scenario, seen: Seen) -> Iterator[Fault]:
    stove, wood = scenario.stove, scenario.wood
    assert stove and wood
    if seen.load is None:
        return
    fills = wood.volume_of(sum(wood.load_masses(seen.load).values())) / stove.firebox.volume
    if fills > FULLEST:
        what = f"this load fills {100.0 * fills:.0f} % of the firebox"
        given = ", ".join(f"{count} {name}" for name, count in seen.load)
        todo = "Give what was put on at that time, not in the whole night"
        yield Fault(what, "--load", value=given, allowed=f"up to {100.0 * FULLEST:.0f} %", todo=todo)


def _too_cold(scenario: Scenario, seen: Seen) -> Iterator[Fault]:
    coldest = min(scenario.outdoors.track("air").values) - ZERO_CELSIUS
    if seen.cot is not None and seen.cot < coldest - UNSURE:
        yield _of_cot(seen, f"colder than any air outdoors this night, {coldest:.0f} degC", coldest - UNSURE)


def _of_cot(seen: Seen, how: str, end: float) -> Fault:
    assert seen.cot is not None
    what = f"no night of this shelter has such a cot: it is {how}"
    allowed = f"{'down' if seen.cot < end else 'up'} to {end:.0f} degC ({1.8 * end + 32.0:.0f} degF)"
    todo = "Look at unit, sign and place of the thermometer, or put tonight's weather into the file"
    return Fault(what, "--cot", value=f"{seen.cot:.1f} degC", allowed=allowed, todo=todo)
