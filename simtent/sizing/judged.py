"""Which of some stoves hold the wish under given weather, by interval between loads, and what stands against them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from simtent.scenario.scenario import Scenario
from simtent.sizing.classes import Size, shop_terms, sized
from simtent.sizing.hold import Held, held, marks_of
from simtent.sizing.scene import Scene, side_by_side

Word = Literal["holds", "too small", "too large"]


@dataclass(frozen=True)
class Built:
    """A stove in a shelter."""

    size: Size
    given: Scenario


@dataclass(frozen=True)
class Judged:
    """One stove filled at one interval.

    word   "holds": at some mark without trouble, and coals light the next load; "too large": only too hot, smouldering
           or near glowing; else "too small"
    used   the night at the mark that holds with the coolest head; where none does, at that of `best`
    best   the night at the mark that keeps the cot warmest, of those without trouble where there are some
    why    what stands against every mark that holds the wish, in words; empty where one is left
    """

    size: Size
    every: float
    word: Word
    used: Held
    best: Held
    why: str


def build(scene: Scene, volumes: Sequence[float], changed: Mapping[str, Any]) -> list[Built]:
    """The scenario's own stove, where it has one, and one for each firebox volume [m3], from small to large.

    changed  keys of [stove] that are the same for every class, with values as in a file
    """
    made = []
    for volume in sorted(volumes):
        given = scene.given.replace(sized(volume, scene.given, changed))
        made.append(_built(given, scene, own=False))
    return [*([_built(scene.given, scene, own=True)] if scene.own else []), *made]


def _built(given: Scenario, scene: Scene, *, own: bool) -> Built:
    assert given.stove is not None and given.wood is not None
    return Built(shop_terms(given.stove, given.wood, scene.thick, own=own), given)


def judge(
    built: Sequence[Built], every: Sequence[float], air: float, wind: float, wish: float, head: float | None
) -> list[Judged]:
    """Every stove at every interval [h] under air [K] and wind [m/s], against wish and limit at the head [K].

    head  None where no limit is to be held against them
    """
    asked = [(one, hours, mark) for one in built for hours in every for mark in _marks(one)]
    nights = side_by_side(lambda it: held(it[0].given, it[0].size, it[2], it[1], air, wind), asked)
    found = []
    for one in built:
        for hours in every:
            mine = [
                night
                for (whose, when, _), night in zip(asked, nights, strict=True)
                if whose is one and when == hours
            ]
            found.append(verdict(one.size, mine, wish, head))
    return found


def nights_of(built: Sequence[Built], every: Sequence[float]) -> int:
    """How many nights `judge` simulates: two for each mark at each interval."""
    return 2 * len(every) * sum(len(_marks(one)) for one in built)


def verdict(size: Size, nights: Sequence[Held], wish: float, head: float | None) -> Judged:
    """What the nights at all marks of one stove and interval come to."""
    fine = [night for night in nights if night.lights and not _trouble(night, head)]
    best = max(fine or nights, key=lambda night: night.coldest)
    holding = [night for night in nights if night.lights and night.coldest >= wish]
    if not holding:
        return Judged(size, best.every, "too small", best, best, "")
    if left := [night for night in holding if night in fine]:
        return Judged(size, best.every, "holds", min(left, key=lambda night: night.head), best, "")
    troubles = dict.fromkeys(_trouble(night, head) for night in holding)
    marks = {it: [night.mark for night in holding if _trouble(night, head) == it] for it in troubles}
    why = ", ".join(f"{trouble} at {' and '.join(those)}" for trouble, those in marks.items())
    return Judged(size, best.every, "too large", min(holding, key=lambda night: night.head), best, why)


def _trouble(night: Held, head: float | None) -> str:
    if night.glows:
        return "near glowing"
    if night.smoulders:
        return "smouldering"
    return "too hot at the head" if head is not None and night.head > head else ""


def _marks(one: Built) -> list[str]:
    assert one.given.stove is not None
    return marks_of(one.given.stove.air)
