"""The evening's loads: evenly spread from the first fire to bed, with the least wood that keeps the limits.

Nobody's wish speaks of the cot while people are up. The evening is laid out so that it is no colder there than in the
night, once the shelter has warmed up, as far as that goes; then the night is planned with that evening as it is.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from simtent.planning.choices import APART, GRID, Levers
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits, Value
from simtent.planning.measure import Measured
from simtent.planning.nights import Nights
from simtent.scenario.turns import Pieces

LARGE = ("head", "fullest")  # limits that larger loads break
ROUNDING = 0.05  # K


def evening_of(nights: Nights, limits: Limits) -> tuple[Put, ...]:
    """The evening's loads that need the least wood; where no evening keeps all limits, those that miss least."""
    follows = _follows(nights, limits)
    drafts: list[Draft] = []
    for between in nights.choices.between:
        for levers in nights.choices.levers:
            if levers.damper == nights.choices.wide.damper:
                drafts += _halved_in(nights, limits, follows, between, levers)
        if any(evening_value(nights, limits, it)[:2] == (0.0, 0.0) for it in drafts):
            break
    return min(drafts, key=lambda it: evening_value(nights, limits, it)).puts[:-1]


def within_reach(limits: Limits, few: Nights, whole: Nights) -> Limits:
    """The limits, but with the head as hot as the evening makes it, whatever is done at bed."""
    bed = Put(few.choices.at_bed, few.choices.loads[0], few.choices.levers[0])
    hottest = whole.of(Draft((*evening_of(few, limits), bed))).head_highest
    return as_hot(limits, hottest + ROUNDING)


def as_hot(limits: Limits, head: float) -> Limits:
    """The limits, but with the head as hot as some evening makes it anyway [degC], where that is hotter than wished.

    Else no night would keep all, none could be called enough, and hundredths of a kelvin would choose the plan.
    """
    return limits if limits.head is None else replace(limits, head=max(limits.head, head))


def _follows(nights: Nights, limits: Limits) -> float:
    """When the second load comes [s]: as the user has it, or earlier where the first one's coals would not light it."""
    choices = nights.choices
    night = nights.of(
        _laid_out(nights, choices.follows, choices.between[0], choices.loads[0], choices.levers[-1])
    )
    at = choices.follows
    while at > choices.first.at + GRID:
        before = night.lights[night.times < at - 1.0]
        if before[-1] >= limits.coals + 1.0:  # some room: what is read lies minutes before the load
            return at
        at -= GRID
    return max(at, choices.first.at + GRID)


def _halved_in(
    nights: Nights, limits: Limits, follows: float, between: float, levers: Levers
) -> Iterator[Draft]:
    """Evenings of one spacing and setting, halved in on the smallest load that keeps the limits."""
    low, high = 0, len(nights.choices.loads) - 1
    while low <= high:
        size = (low + high) // 2
        draft = _laid_out(nights, follows, between, nights.choices.loads[size], levers)
        yield draft
        night = nights.of(draft)
        broken = limits.broken(_till_bed(night))
        if broken.keys() & set(LARGE) or not (broken or night.cot_evening < limits.cot):
            high = size - 1
        else:
            low = size + 1


def _laid_out(nights: Nights, follows: float, between: float, pieces: Pieces, levers: Levers) -> Draft:
    """Equal loads from the second one to bed, at about a spacing; a load in the middle of all sizes for the night."""
    choices = nights.choices
    room = choices.at_bed - follows
    count = max(round(room / between), 1) if room >= APART else 0
    steps = (round(room * k / (count * GRID)) * GRID for k in range(count))
    times = [follows + step for step in steps if choices.at_bed - follows - step >= APART]
    middle = Put(choices.at_bed, choices.loads[len(choices.loads) // 2], choices.levers[0])
    return Draft((*(Put(at, pieces, levers) for at in times), middle))


def evening_value(nights: Nights, limits: Limits, draft: Draft) -> Value:
    """How good a draft's evening is; a cot colder than the night's wish counts as a wish missed."""
    night = nights.of(draft)
    hazards, wishes, wake_ups, wood, unevenness = limits.value(_till_bed(night), 0)
    cold = max(limits.cot - night.cot_evening, 0.0)
    return hazards, round(wishes + cold, 4), wake_ups, wood, unevenness


def _till_bed(night: Measured) -> Measured:
    """The night as far as the evening's loads are to blame."""
    return replace(night, cot_lowest=math.inf, cot_at_rise=math.inf, stove=0.0, jack=0.0, cool=0.0)
