"""Whoever tends the stove: puts wood on, turns air and damper, wakes when a rule says so.

The network's script: it names its own moments, watches the levels of the rules, and changes the state there, all by the
kernels of `deeds` on the arrays of `plan`.
"""

from dataclasses import dataclass

import numpy as np

from simtent.assembly import deeds
from simtent.assembly.deeds import LIGHTING
from simtent.assembly.loads import Woodpile
from simtent.assembly.parameters import Places, Slots
from simtent.assembly.plan import FULLEST, LIGHTING_TIME, MOST_NOTES, NOTES, RULE, WAITS, make_plan
from simtent.handle import handle
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedRule

__all__ = ["LIGHTING", "LIGHTING_TIME", "Event", "Tending"]

GRAZE = 0.2  # K by which a level may miss a rule's limit before the night is called a close call


@dataclass(frozen=True)
class Event:
    """Something that was done or happened: when [s], what, wood put on [kg], coals then [kg], on whose word."""

    time: float
    what: str
    mass: float
    coals: float
    by: str


class Tending:
    """Carries out loads, settings and rules of a scenario; what was done stands in the diary of `plan`."""

    def __init__(
        self, scenario: Scenario, pile: Woodpile, slots: Slots, places: Places, centres: Array
    ) -> None:
        assert scenario.stoking is not None
        self.watches: tuple[TimedRule, ...] = scenario.stoking.rules
        plan, self._words = make_plan(scenario, pile, slots, places, centres)
        self.plan = handle(plan)

    @property
    def events(self) -> list[Event]:
        """What was done or happened, in the order of time."""
        notes = self.plan.diary.notes[: min(self.plan.diary.counts[NOTES], MOST_NOTES)]
        return [
            Event(
                float(t), self._words[int(what)], float(mass), float(coals), "rule" if by == RULE else "clock"
            )
            for t, what, mass, coals, by in notes
        ]

    @property
    def fullest(self) -> float:
        """Largest share of the firebox that wood filled."""
        return float(self.plan.diary.marks[FULLEST])

    def next_after(self, t: float) -> float | None:
        """The next moment at which something is due [s]."""
        due = float(deeds.next_due(self.plan.diary.deeds.due, t))
        return due if np.isfinite(due) else None

    def at(self, t: float, state: Array) -> None:
        """Do what is due."""
        deeds.do_what_is_due(t, state, self.plan.orders, self.plan.diary)

    def watch(self, _t: float, state: Array) -> Array:
        """For each rule how far its level is above the limit, or, once it has called, below being armed again [K]."""
        return np.array(
            [deeds.watched(k, state, self.plan.orders, self.plan.diary) for k in range(len(self.watches))]
        )

    def noticed(self, t: float, which: int, state: Array) -> None:
        """A level fell to a rule's limit, or rose far enough after a call."""
        deeds.notice(t, which, state, self.plan.orders, self.plan.diary)

    def close_calls(self, times: Array, states: Array) -> list[TimedRule]:
        """Rules whose level came so near the limit, without reaching it, that the night hangs on a hair.

        `states` are those at `times` [s]; a minimum between two of them is taken for theirs.
        """
        return [
            rule
            for n, rule in enumerate(self.watches)
            if any(0.0 < margin < GRAZE for margin in self._lowest(n, times, states))
        ]

    def chance(self, state: Array) -> float:
        """Chance that what glows and burns now lights a load."""
        return float(deeds.chance(state, self.plan.orders.slots, self.plan.orders.places))

    def _lowest(self, which: int, times: Array, states: Array) -> list[float]:
        """Minima of a level above its rule's limit while it was armed [K]; where its hours begin or end, that too."""
        rules, diary = self.plan.orders.rules, self.plan.diary
        weights = rules.weights[which]
        levels = states[:, : weights.size] @ weights - rules.below[which]
        found: list[float] = []
        for whose, begin, end in diary.waits[: min(diary.counts[WAITS], MOST_NOTES)]:
            if whose != which:
                continue
            margins = levels[(begin <= times) & (times < end)].tolist()
            found += [b for a, b, c in zip(margins, margins[1:], margins[2:], strict=False) if a > b < c]
            if begin == rules.begin[which] and len(margins) > 1 and margins[0] <= margins[1]:
                found += margins[:1]  # with one alone it fell on, and the rule acted
            if end == rules.end[which] and margins[-2:] == sorted(margins[-2:], reverse=True):
                found += margins[-1:]
        return found
