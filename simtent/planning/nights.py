"""Drafts simulated, each once: two at a time, for a night is one call that lets other threads run.

A night of the search goes on from one whose first loads are the same, and ends where nothing more is asked of it.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from threadpoolctl import threadpool_limits

from simtent.driver import SWIFT, drive
from simtent.network.solve import Accuracy
from simtent.onward import Course
from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, Put, replacements
from simtent.planning.measure import Measured, measured
from simtent.run import OUTPUT_STEP
from simtent.scenario.scenario import Scenario

FEW_LAYERS = 8  # of the nights that are searched
QUICK = Accuracy(
    SWIFT.method, 1e-4, 1e-2
)  # the cot within 0.03 K in nights looked at; what is told is solved closely
CORES = 2

Puts: TypeAlias = tuple[Put, ...]
Since: TypeAlias = tuple[Course, float] | None


@dataclass
class Nights:
    """The nights of one scenario under drafts.

    known  what has been simulated; it grows
    told   is called after every night with how many there are
    until  when a night ends [s]
    begun  by the loads that drafts begin with, the course of the night that stays with them for longest, and until
           when [s]; None where each night is simulated from its beginning
    """

    scenario: Scenario
    choices: Choices
    accuracy: Accuracy = QUICK
    told: Callable[[int], None] = lambda _count: None
    known: dict[Draft, Measured] = field(default_factory=dict)
    until: float = math.inf
    begun: dict[Puts, tuple[Course, float]] | None = None

    @classmethod
    def few(
        cls, scenario: Scenario, choices: Choices, told: Callable[[int], None] = lambda _count: None
    ) -> "Nights":
        """Nights of few layers, without vapour, for the search."""
        changes: dict[str, Any] = {"model.layers": min(FEW_LAYERS, scenario.model.layers)}
        if scenario.damp is not None:
            changes["damp"] = "none"
        return cls(
            scenario.replace(changes), choices, QUICK, told, until=_asked_till(scenario, choices), begun={}
        )

    @classmethod
    def whole(cls, scenario: Scenario, choices: Choices) -> "Nights":
        """Nights of all layers, as close as a night is told."""
        return cls(scenario, choices, SWIFT)

    def of(self, draft: Draft) -> Measured:
        """What a draft comes to."""
        return self.all([draft])[draft]

    def all(self, drafts: Iterable[Draft]) -> Mapping[Draft, Measured]:
        """What several drafts come to; SolveError if a night cannot be solved."""
        new = [draft for draft in dict.fromkeys(drafts) if draft not in self.known]
        since = [self._since(draft) for draft in new]  # before any of them is there: threads must not choose
        if len(new) == 1:
            self._add(new[0], self._one(new[0], since[0]))
        elif new:
            with threadpool_limits(limits=1, user_api="blas"), ThreadPoolExecutor(CORES) as threads:
                for draft, night in zip(new, threads.map(self._one, new, since), strict=True):
                    self._add(draft, night)
        return self.known

    def _one(self, draft: Draft, since: Since) -> tuple[Measured, Course]:
        scenario = self.scenario.replace(replacements(draft, self.scenario, self.choices))
        night = drive(scenario, accuracy=self.accuracy, until=self.until, onward=since, rates=False)
        return measured(night, draft, self.choices), Course.of(night.model, night.solution)

    def _add(self, draft: Draft, night: tuple[Measured, Course]) -> None:
        self.known[draft], course = night
        self.told(len(self.known))
        if self.begun is None:
            return
        ends = [*(put.at for put in draft.puts), math.inf]
        for k, end in enumerate(ends):
            if end > self.begun.get(draft.puts[:k], (None, -math.inf))[1]:
                self.begun[draft.puts[:k]] = course, end

    def _since(self, draft: Draft) -> Since:
        """A night that begins with most of the same loads, and until when the draft's is the same [s]."""
        ends = [*(put.at for put in draft.puts), math.inf]
        for k in range(len(draft.puts), -1, -1):
            if self.begun and (found := self.begun.get(draft.puts[:k])) is not None:
                return found[0], min(found[1], ends[k])
        return None


def _asked_till(scenario: Scenario, choices: Choices) -> float:
    """Until when a plan's night is looked at [s]: rise, and whether coals light what the user puts on after it."""
    assert scenario.stoking is not None
    later = [load.at for load in scenario.stoking.loads if load.at >= choices.rise]
    return max([choices.rise, *later]) + OUTPUT_STEP
