"""Drafts that differ from one in one load of the night, or in all of them alike."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from simtent.planning.choices import APART, Choices, Levers
from simtent.planning.draft import Draft, Put

TOGETHER = tuple((size, time) for size in (-1, 0, 1) for time in (-1, 0, 1) if (size, time) != (0, 0))
FARTHER = ((0, -2), (0, 2), (0, -4), (0, 4), (-2, 0), (2, 0), (-1, -2), (1, 2))  # steps of size, of the grid
COUPLED = ((-1, -1), (-1, -2), (-1, -3), (-2, -2), (-2, -4), (1, 2))  # size of a load, time of the next


def neighbours(draft: Draft, index: int, choices: Choices) -> list[Draft]:
    """Drafts to be tried in place of one, by its load `index`: smaller, larger, earlier, later, other marks.

    No two loads come closer than half an hour, and none goes past bed or rise. The evening stays as it is.
    """
    if draft.puts[index].at <= choices.at_bed:
        found = [*_of_night(draft, choices), *_of_bed(draft, index, choices)]
    else:
        found = [*_of_wake_up(draft, index, choices)]
    return [it for it in dict.fromkeys(found) if it != draft and _apart(it)]


def with_the_next(draft: Draft, index: int, choices: Choices) -> list[Draft]:
    """Drafts with a load smaller and the next one earlier, or larger and later: for coals that last less or more."""
    if index + 1 >= len(draft.puts):
        return []
    put, following = draft.puts[index], draft.puts[index + 1]
    found = []
    for size, time in COUPLED:
        at = following.at + time * choices.grid
        if choices.bed < at < choices.rise:
            smaller = draft.with_put(index, _sized(put, size, choices))
            found.append(smaller.with_put(index + 1, replace(following, at=at)))
    return [it for it in dict.fromkeys(found) if it != draft and _apart(it)]


def _of_night(draft: Draft, choices: Choices) -> Iterator[Draft]:
    """All loads of the night at other marks; all larger or smaller."""
    night = [k for k, put in enumerate(draft.puts) if put.at >= choices.at_bed]
    for levers in _around(draft.puts[-1].levers, choices):
        yield _each_set(draft, night, levers)
    for step in (-1, 1):
        yield _each_sized(draft, night, step, choices)


def _of_bed(draft: Draft, index: int, choices: Choices) -> Iterator[Draft]:
    """The load at bed in other sizes, at other marks."""
    put = draft.puts[index]
    for step in (-2, -1, 1, 2):
        yield draft.with_put(index, _sized(put, step, choices))
    for levers in _around(put.levers, choices):
        yield draft.with_put(index, replace(put, levers=levers))


def _of_wake_up(draft: Draft, index: int, choices: Choices) -> Iterator[Draft]:
    """A load of the night earlier, later, larger, smaller, both together; at other marks."""
    put = draft.puts[index]
    for size, time in (*TOGETHER, *FARTHER):
        at = put.at + time * choices.grid
        if choices.bed < at < choices.rise:
            yield draft.with_put(index, replace(_sized(put, size, choices), at=at))
    for levers in _around(put.levers, choices):
        yield draft.with_put(index, replace(put, levers=levers))


def _around(levers: Levers, choices: Choices) -> list[Levers]:
    """Settings with one lever turned, by openness; all others where there are few."""
    if len(choices.levers) <= 3:
        return [it for it in choices.levers if it != levers]
    return [it for it in choices.levers if (it.air == levers.air) != (it.damper == levers.damper)]


def _sized(put: Put, step: int, choices: Choices) -> Put:
    """The load some sizes larger or smaller, as far as there are any."""
    index = choices.loads.index(put.pieces) + step
    return replace(put, pieces=choices.loads[min(max(index, 0), len(choices.loads) - 1)])


def _each_sized(draft: Draft, which: Sequence[int], step: int, choices: Choices) -> Draft:
    puts = draft.puts
    return Draft(tuple(_sized(put, step, choices) if k in which else put for k, put in enumerate(puts)))


def _each_set(draft: Draft, which: Sequence[int], levers: Levers) -> Draft:
    puts = draft.puts
    return Draft(tuple(replace(put, levers=levers) if k in which else put for k, put in enumerate(puts)))


def _apart(draft: Draft) -> bool:
    times = [put.at for put in draft.puts]
    return all(later - earlier >= APART for earlier, later in pairwise(times))
