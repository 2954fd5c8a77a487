"""Where a search begins: nights in which every load is put on when it is due."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from simtent.planning.choices import APART, CATCHING, Choices
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured
from simtent.planning.nights import Nights

FEW = 3  # settings of the levers up to which three sizes are tried, else two
MARGIN = 0.3  # K over the limit at which a load is due, since the cot goes on cooling while it catches


def chains(nights: Nights, limits: Limits, evening: tuple[Put, ...], most: int) -> Iterator[Draft]:
    """Drafts with 0, 1, ... up to `most` wake-ups, for large and smaller loads and each setting of the levers.

    Every load is like the one before, and put on at the last time of the grid at which it is due: before the cot has
    fallen to its limit, and while the coals still light it. So one night tells one more load.
    """
    choices = nights.choices
    largest = len(choices.loads) - 1
    few = len(choices.levers) <= FEW
    sizes = (largest, (2 * largest + 1) // 3, (largest + 1) // 3) if few else (largest, (largest + 1) // 2)
    for size in dict.fromkeys(sizes):
        longest = [
            Draft((*evening, Put(choices.at_bed, choices.loads[size], levers))) for levers in choices.levers
        ]
        for _ in range(most + 1):
            yield from longest
            nights.all(longest)
            longest = [more for it in longest if (more := and_what_is_due(it, nights, limits)) is not None]


def patterns(nights: Nights, limits: Limits, like: Draft, wake_ups: int) -> Iterator[Draft]:
    """Drafts with a number of wake-ups and every order of large and middling loads, each put on when it is due.

    Evening and levers are those of a draft that is there.
    """
    choices = nights.choices
    evening = tuple(put for put in like.puts if put.at < choices.at_bed)
    sizes = (choices.loads[-1], choices.loads[len(choices.loads) // 2])
    levers = like.puts[-1].levers
    drafts = [Draft((*evening, Put(choices.at_bed, pieces, levers))) for pieces in dict.fromkeys(sizes)]
    for _ in range(wake_ups):
        nights.all(drafts)
        longer = [it for draft in drafts if (it := and_what_is_due(draft, nights, limits)) is not None]
        drafts = [
            it.with_put(len(it.puts) - 1, Put(it.puts[-1].at, pieces, levers))
            for it in longer
            for pieces in dict.fromkeys(sizes)
        ]
    yield from drafts


def evenly(
    evening: tuple[Put, ...], choices: Choices, wake_ups: int, shares: tuple[float, ...] = (1.0, 0.5)
) -> Iterator[Draft]:
    """Drafts with a number of wake-ups evenly from bed to rise, for some sizes of loads and each setting.

    For nights so cold that every load is due before the one before has caught: chains end there. The sizes are those at
    shares of all, counted from the smallest.
    """
    step = (choices.rise - choices.at_bed) / (wake_ups + 1)
    between = [
        choices.bed + round((step * k - CATCHING) / choices.grid) * choices.grid
        for k in range(1, wake_ups + 1)
    ]
    moments = [choices.at_bed, *(at for at in between if choices.bed < at < choices.rise)]
    if len(moments) != wake_ups + 1 or any(b - a < APART for a, b in pairwise(moments)):
        return
    many = len(choices.loads)
    for size in dict.fromkeys(min(int(share * many), many - 1) for share in shares):
        for levers in choices.levers:
            yield Draft((*evening, *(Put(at, choices.loads[size], levers) for at in moments)))


def with_one_more(draft: Draft, choices: Choices) -> Iterator[Draft]:
    """Drafts with a load more in the middle of one of the night's gaps: small, middling, and like the one before."""
    asleep = [put for put in draft.puts if put.at >= choices.at_bed]
    if not asleep:
        return
    ends = [*(put.at for put in asleep[1:]), choices.rise]
    middle = choices.loads[(len(choices.loads) - 1) // 2]
    for put, end in zip(asleep, ends, strict=True):
        times = [at for at in choices.times() if put.at + APART <= at <= end - APART]
        if times:
            at = min(times, key=lambda it, half=0.5 * (put.at + end): abs(it - half))  # type: ignore[misc]
            for pieces in dict.fromkeys((choices.loads[0], middle, put.pieces)):
                yield draft.and_put(Put(at, pieces, put.levers))


def and_what_is_due(chain: Draft, nights: Nights, limits: Limits) -> Draft | None:
    """The draft with the next load like the last; None where none is due before rise, or it is too late for one."""
    choices, last = nights.choices, chain.puts[-1]
    due = due_after(nights.of(chain), last.at, choices, limits)
    times = [at for at in choices.times() if last.at + APART <= at <= due]
    if due >= choices.rise or not times:
        return None
    return chain.and_put(Put(times[-1], last.pieces, last.levers))


def due_after(night: Measured, since: float, choices: Choices, limits: Limits) -> float:
    """When the load after one is due [s]: the cot falls to its limit, or the coals to their odds; infinite if never."""
    after = (night.times >= max(since + CATCHING, choices.bed)) & (night.times < choices.rise)
    falls = np.diff(night.cot, append=night.cot[-1]) < 0.0  # else it is being warmed
    due = after & (((night.cot < limits.cot + MARGIN) & falls) | (night.lights < limits.coals))
    return float(night.times[np.argmax(due)]) if due.any() else np.inf
