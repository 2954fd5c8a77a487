"""Drafts simulated, each once: two at a time, for a night is one call that lets other threads run."""

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from threadpoolctl import threadpool_limits

from simtent.driver import SWIFT, drive
from simtent.network.solve import Accuracy
from simtent.planning.choices import Choices
from simtent.planning.draft import Draft, replacements
from simtent.planning.measure import Measured, measured
from simtent.scenario.scenario import Scenario

FEW_LAYERS = 8  # of the nights that are searched
QUICK = Accuracy(
    SWIFT.method, 1e-4, 1e-2
)  # the cot within 0.03 K in nights looked at; what is told is solved closely
CORES = 2


@dataclass
class Nights:
    """The nights of one scenario under drafts.

    known  what has been simulated; it grows
    told   is called after every night with how many there are
    """

    scenario: Scenario
    choices: Choices
    accuracy: Accuracy = QUICK
    told: Callable[[int], None] = lambda _count: None
    known: dict[Draft, Measured] = field(default_factory=dict)

    @classmethod
    def few(
        cls, scenario: Scenario, choices: Choices, told: Callable[[int], None] = lambda _count: None
    ) -> "Nights":
        """Nights of few layers, without vapour, for the search."""
        changes: dict[str, Any] = {"model.layers": min(FEW_LAYERS, scenario.model.layers)}
        if scenario.damp is not None:
            changes["damp"] = "none"
        return cls(scenario.replace(changes), choices, QUICK, told)

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
        if len(new) == 1:
            self.known[new[0]] = self._one(new[0])
            self.told(len(self.known))
        elif new:
            with threadpool_limits(limits=1, user_api="blas"), ThreadPoolExecutor(CORES) as threads:
                for draft, night in zip(new, threads.map(self._one, new), strict=True):
                    self.known[draft] = night
                    self.told(len(self.known))
        return self.known

    def _one(self, draft: Draft) -> Measured:
        scenario = self.scenario.replace(replacements(draft, self.scenario, self.choices))
        return measured(drive(scenario, accuracy=self.accuracy), draft, self.choices)
