"""Other starts where no number of wake-ups keeps all limits: the fire fed evenly, after a hotter evening too.

A search lays out the evening first, at the marks that need least wood, and lets each load follow the one before when
it is due. In a hard night both lead astray: an evening at a middling mark leaves so much wood in the firebox that a
full load at bed would overfill it, and loads that are due before the one before has caught end the chain. So the fire
is fed evenly here, by large and middling loads at each setting, after the evening as it is and after the same one
with the levers wide open. Nights that keep their limits never come here.
"""

from collections.abc import Iterator
from dataclasses import replace

from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, Put
from simtent.planning.search import BUDGET, OTHER_BUDGET, Search
from simtent.planning.seeds import evenly

SHARES = (1.0, 0.7, 0.5)  # of all sizes, from the smallest
DESCENTS = 2  # from the best starts for each number of wake-ups


def feed_evenly(search: Search, most: int) -> None:
    """Go on with a search that was ended by none of its limits kept: better drafts take their place."""
    if search.stopped or not search.evening or any(search.keeps(it) for it in search.best.values()):
        return
    search.progress("no limits kept: the fire fed evenly, after a hotter evening too")
    for count in range(1, most + 1):
        found = _found(search, count)
        if found is None:
            continue
        before = search.best.get(count)
        if before is None or search.value(found) < search.value(before):
            search.best[count] = found
        if search.keeps(search.best[count]):
            return


def _found(search: Search, count: int) -> Draft | None:
    """The best that descents from even feeding lead to; None where no start is better than what is known."""
    starts = list(_starts(search.evening, search.choices, count))
    search.nights.all(starts)
    best = min(search.value(it)[:2] for it in search.best.values())
    search.by_mean = True
    try:
        near = sorted(starts, key=search.value)[:DESCENTS]
        hopeful = [it for it in near if search.value(it)[:2] <= best]
        ends = [search.descend(it, BUDGET) for it in hopeful]
    finally:
        search.by_mean = False
    return min((search.descend(it, OTHER_BUDGET) for it in ends), key=search.value, default=None)


def _starts(evening: tuple[Put, ...], choices: Choices, count: int) -> Iterator[Draft]:
    hotter = tuple(replace(put, levers=choices.wide) for put in evening)
    for it in dict.fromkeys((evening, hotter)):
        yield from evenly(it, choices, count, SHARES)
