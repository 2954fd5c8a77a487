"""What stands in the way where no plan reaches the wish, found by simulating what would have to change."""

from dataclasses import dataclass, replace

from simtent.planning.choices import APART
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured
from simtent.planning.nights import Nights
from simtent.scenario.checks_fire import FULLEST

FED = 3600.0  # s between the loads of a stove fed as much as it takes
BETTER = 0.5  # of what the walls lose: about a second skin or a liner, no more than a word for it


@dataclass(frozen=True)
class Why:
    """Why a wish is not reached; temperatures in degC.

    fed         the most that the lowest at the cot can be: the stove fed every hour with the largest load that it
                takes, levers wide open; or as some draft has it
    fed_better  the same with walls that lose half, fed every hour
    small       whether the stove is too small: even fed like that it does not hold the wish
    short       whether loads burn too short: fed like that it would
    walls       whether walls that lose half would do
    """

    fed: float
    fed_better: float
    small: bool
    short: bool
    walls: bool


def why(nights: Nights, draft: Draft, limits: Limits) -> Why:
    """What stands in the way of a wish at the cot; three nights."""
    evening = tuple(put for put in draft.puts if put.at < nights.choices.at_bed)
    _fed(nights, evening)
    warmest = max(nights.known, key=lambda it: nights.known[it].cot_lowest)
    fed = nights.known[warmest].cot_lowest
    scenario = nights.scenario
    walls = max(BETTER * scenario.model.walls, 0.3)
    thicker = replace(nights, scenario=scenario.replace("model.walls", walls), known={})
    better = max(_fed(thicker, evening).cot_lowest, thicker.of(warmest).cot_lowest)
    return Why(
        fed=fed,
        fed_better=max(better, fed),
        small=fed < limits.cot,
        short=fed >= limits.cot,
        walls=fed < limits.cot <= better,
    )


def _fed(nights: Nights, evening: tuple[Put, ...]) -> Measured:
    """A night whose stove is fed as it goes: with the largest load that finds room beside what still burns."""
    choices, loads = nights.choices, nights.choices.loads
    night = None
    for size in range(len(loads) - 1, -1, -1):
        puts, at = [*evening, Put(choices.at_bed, loads[size], choices.wide)], choices.bed + FED
        while at < choices.rise - APART:
            puts.append(Put(at, loads[size], choices.wide))
            at += FED
        night = nights.of(Draft(tuple(puts)))
        if night.fullest <= FULLEST + 1e-6:
            break
    assert night is not None
    return night
