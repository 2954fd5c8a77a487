"""What a night's fire takes: by the scenario's own stoking, or by a stoking plan that is handed in."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from simtent.assembly.tending import Event
from simtent.assess.findings import Finding, from_dataset
from simtent.driver import drive
from simtent.felt import air_at
from simtent.readings import ZERO_CELSIUS
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedRule
from simtent.simulate import judged
from simtent.supply.pile import Pile

if TYPE_CHECKING:  # plans come from above
    from simtent.planning.outcome import Plan


@dataclass(frozen=True)
class Burnt:
    """What a night takes, and what it is like with that.

    scenario  the night with its loads
    pile      all that is put on
    lit       fires lit by hand
    wake_ups  times that somebody gets up for it between bed and rise
    coldest   at the cot from bed to rise, or in the whole night [degC]
    missed    what of the wish, or of a plan's limits, is not kept
    findings  of that night
    stopped   whether the search for a plan was ended before its end
    """

    scenario: Scenario
    pile: Pile
    lit: int
    wake_ups: int
    coldest: float
    missed: tuple[str, ...]
    findings: tuple[Finding, ...]
    stopped: bool = False

    @property
    def kept(self) -> bool:
        """Whether the night is as wished, and no finding says stop."""
        return not self.missed and not self.stops

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that say: do not go on like this."""
        return tuple(it for it in self.findings if it.level == "stop")


def as_stoked(scenario: Scenario) -> Burnt:
    """One night simulated with the scenario's own loads and rules; SolveError where it cannot be solved."""
    night = drive(scenario)
    assert scenario.wood and scenario.stoking and night.tending
    loads = [(load.at, load.pieces) for load in scenario.stoking.loads]
    loads += [(event.time, rule.pieces) for event, rule in _called(night)]
    bed, rise = in_bed(scenario)
    return Burnt(
        scenario=scenario,
        pile=Pile.of((pieces for _, pieces in loads), scenario.wood),
        lit=_lit(scenario),
        wake_ups=sum(bed < at < rise for at, _ in loads),
        coldest=coldest(night),
        missed=tuple(_missed(night)),
        findings=from_dataset(judged(night)),
    )


def as_planned(plan: "Plan") -> Burnt:
    """What a plan's night takes: its loads, the first, and what the scenario has from rise on."""
    scenario = plan.scenario
    assert scenario.wood and scenario.stoking
    return Burnt(
        scenario=scenario,
        pile=Pile.of((load.pieces for load in scenario.stoking.loads), scenario.wood),
        lit=_lit(scenario),
        wake_ups=plan.chosen.wake_ups,
        coldest=plan.promised.cot_lowest,
        missed=tuple(plan.limits.broken(plan.promised)),
        findings=from_dataset(plan.dataset),
        stopped=plan.stopped,
    )


def in_bed(scenario: Scenario) -> tuple[float, float]:
    """Bed and rise [s from the begin]; where they are not given, the night's ends."""
    wish, night = scenario.wish, scenario.night
    bed = 0.0 if wish.bed is None else night.seconds_at(wish.bed)
    return bed, night.seconds if wish.rise is None else night.seconds_at(wish.rise)


def coldest(night: Run) -> float:
    """Lowest at the cot from bed to rise [degC]."""
    times, cot = night.solution.times, _level(night, "cot")
    bed, rise = in_bed(night.scenario)
    return float(cot[(times >= bed) & (times <= rise)].min())


def mean(night: Run) -> float:
    """Mean at the cot from bed to rise [degC]."""
    times, cot = night.solution.times, _level(night, "cot")
    bed, rise = in_bed(night.scenario)
    return float(cot[(times >= bed) & (times <= rise)].mean())


def _level(night: Run, name: str) -> np.ndarray:
    return air_at(night, [night.scenario.levels[name]])[:, 0] - ZERO_CELSIUS


def _missed(night: Run) -> Iterator[str]:
    """Which wishes a night does not keep."""
    wish, times = night.scenario.wish, night.solution.times
    bed, rise = in_bed(night.scenario)
    cot, head = _level(night, "cot") + ZERO_CELSIUS, _level(night, "head") + ZERO_CELSIUS
    if wish.cot_at_least is not None and coldest(night) + ZERO_CELSIUS < wish.cot_at_least:
        yield "cot"
    if wish.cot_at_rise is not None and float(np.interp(rise, times, cot)) < wish.cot_at_rise:
        yield "rise"
    if wish.head_at_most is not None and head[times <= bed].max() > wish.head_at_most:
        yield "head"


def _lit(scenario: Scenario) -> int:
    assert scenario.stoking is not None
    return sum(n == 0 or load.lit for n, load in enumerate(scenario.stoking.loads))


def _called(night: Run) -> Iterator[tuple[Event, TimedRule]]:
    """Every load that the cold called for, with its rule: that of its hours and its mass."""
    scenario, tending = night.scenario, night.tending
    assert scenario.wood and scenario.stoking and tending
    for event in tending.events:
        if event.by != "rule" or event.mass <= 0.0:
            continue
        yield event, min(scenario.stoking.rules, key=lambda rule: _unlike(scenario, rule, event))


def _unlike(scenario: Scenario, rule: TimedRule, event: Event) -> tuple[bool, float]:
    """How little an event is a rule's: outside its hours, and by how much its mass differs [kg]."""
    assert scenario.wood is not None
    late = not rule.begin <= event.time <= rule.end + rule.wake + 1.0
    return late, abs(sum(scenario.wood.load_masses(rule.pieces).values()) - event.mass)
