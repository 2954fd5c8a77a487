"""Drafts that differ from one in one load, or in all loads of the evening or of the night alike."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from simtent.planning.choices import APART, Choices, Levers
from simtent.planning.draft import Draft, Put

TOGETHER = tuple((size, time) for size in (-1, 0, 1) for time in (-1, 0, 1) if (size, time) != (0, 0))
FARTHER = ((0, -2), (0, 2), (0, -4), (0, 4), (-2, 0), (2, 0), (-1, -2), (1, 2))  # steps of size, of the grid


def neighbours(draft: Draft, index: int, choices: Choices) -> list[Draft]:
    """Drafts to be tried in place of one, by its load `index`: smaller, larger, earlier, later, other marks.

    No two loads come closer than half an hour, and none goes past bed or rise.
    """
    put = draft.puts[index]
    if put.at < choices.at_bed:
        found = [*_of_evening(draft, index, choices)]
    elif put.at == choices.at_bed:
        found = [*_of_night(draft, choices), *_of_bed(draft, index, choices)]
    else:
        found = [*_of_wake_up(draft, index, choices)]
    return [it for it in dict.fromkeys(found) if it != draft and _apart(it)]


def _of_evening(draft: Draft, index: int, choices: Choices) -> Iterator[Draft]:
    """One load or all of the evening larger or smaller, at other marks; one left out."""
    awake = [levers for levers in choices.levers if levers.damper == choices.wide.damper]
    for step in (-1, 1):
        yield draft.with_put(index, _sized(draft.puts[index], step, choices))
        yield _each(draft, lambda put: put.at < choices.at_bed, lambda put, s=step: _sized(put, s, choices))
    for levers in awake:
        yield _each(draft, lambda put: put.at < choices.at_bed, lambda put, it=levers: replace(put, levers=it))
    yield Draft((*draft.puts[:index], *draft.puts[index + 1 :]))


def _of_night(draft: Draft, choices: Choices) -> Iterator[Draft]:
    """All loads of the night at other marks; all larger or smaller."""
    for levers in _around(draft.puts[-1].levers, choices):
        yield _each(draft, lambda put: put.at >= choices.at_bed, lambda put, it=levers: replace(put, levers=it))
    for step in (-1, 1):
        yield _each(draft, lambda put: put.at >= choices.at_bed, lambda put, s=step: _sized(put, s, choices))


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


def _each(draft: Draft, which: Callable[[Put], bool], change: Callable[[Put], Put]) -> Draft:
    return Draft(tuple(change(put) if which(put) else put for put in draft.puts))


def _apart(draft: Draft) -> bool:
    times = [put.at for put in draft.puts]
    return all(later - earlier >= APART for earlier, later in zip(times, times[1:], strict=False))
