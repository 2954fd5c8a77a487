"""Every draft of a coarse grid, simulated: what a search is held against."""

from collections.abc import Iterator
from itertools import combinations, product

from simtent.planning.choices import APART
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.nights import Nights


def every_draft(nights: Nights, evening: tuple[Put, ...], wake_ups: int) -> Iterator[Draft]:
    """All drafts with so many wake-ups: all times, sizes and settings of the levers."""
    choices = nights.choices
    for times in combinations(choices.times(), wake_ups):
        moments = (choices.at_bed, *times)
        if any(later - earlier < APART for earlier, later in zip(moments, times, strict=False)):
            continue
        for loads in product(product(choices.loads, choices.levers), repeat=wake_ups + 1):
            puts = (Put(at, *load) for at, load in zip(moments, loads, strict=True))
            yield Draft((*evening, *puts))


def optimum(nights: Nights, limits: Limits, evening: tuple[Put, ...], most: int) -> tuple[int, Draft] | None:
    """The fewest wake-ups with which all limits are kept, and of their drafts the best; None where none keeps all."""
    for count in range(most + 1):
        drafts = list(every_draft(nights, evening, count))
        nights.all(drafts)
        values = {draft: limits.value(nights.of(draft), count) for draft in drafts}
        kept = [draft for draft in drafts if values[draft][:2] == (0.0, 0.0)]
        if kept:
            return count, min(kept, key=values.__getitem__)
    return None
