"""What a plan is: loads, what they promise, what other numbers of wake-ups would buy, and what stands in the way."""

from collections.abc import Iterator
from dataclasses import dataclass

import xarray as xr

from simtent.assess.findings import Finding
from simtent.planning.choices import Choices, Levers
from simtent.planning.draft import Draft
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured
from simtent.planning.relight import Relight
from simtent.planning.unsure import Ensemble
from simtent.planning.why import Why
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces


@dataclass(frozen=True)
class Line:
    """One load of a plan: when [s from the begin], what, its mass [kg], the levers once it has caught.

    chance   that the coals light it; None where it is lit by hand
    wake_up  whether somebody gets up for it between bed and rise
    """

    at: float
    pieces: Pieces
    mass: float
    levers: Levers | None
    chance: float | None
    wake_up: bool


@dataclass(frozen=True)
class Option:
    """The best draft with a number of wake-ups, and what its night comes to.

    broken  by how much it misses limits, each in its own unit; empty where it keeps all
    """

    wake_ups: int
    draft: Draft
    night: Measured
    broken: dict[str, float]

    @property
    def keeps(self) -> bool:
        """Whether it keeps every limit."""
        return not self.broken


@dataclass(frozen=True)
class Plan:
    """A stoking plan.

    scenario  with the plan laid over it: what `simtent night` would simulate
    options   the best for each number of wake-ups, by number
    chosen    the best of those with no more wake-ups than wished
    promised  its night as it is told, by SciPy, on all layers
    dataset   that night by the schema, with its findings
    stops     findings of that night that say: do not go on like this; then no plan is given
    relit     whether the user's own loads after rise have to be lit by hand
    held      how the finalists hold in nights drawn around the one foretold, by their wake-ups: the plan, and the
              option with one wake-up more; none of them where the search was ended before
    why       what stands in the way; None where the wish is reached
    relight   the night in which the fire goes out; None where that is not allowed
    nights    how many were simulated to find it
    stopped   whether the search was ended before its end
    """

    scenario: Scenario
    choices: Choices
    limits: Limits
    options: tuple[Option, ...]
    chosen: Option
    promised: Measured
    dataset: xr.Dataset
    stops: tuple[Finding, ...]
    relit: bool
    held: dict[int, Ensemble]
    why: Why | None
    relight: Relight | None
    nights: int
    stopped: bool

    @property
    def reached(self) -> bool:
        """Whether the plan keeps every limit, and no finding stops it."""
        return not self.limits.broken(self.promised) and not self.stops

    def lines(self) -> Iterator[Line]:
        """The loads in the order of time: the first, then the plan's."""
        wood, first = self.scenario.wood, self.choices.first
        assert wood is not None
        yield Line(first.at, first.pieces, sum(wood.load_masses(first.pieces).values()), None, None, False)
        for put, chance in zip(self.chosen.draft.puts, self.promised.chances, strict=True):
            mass = sum(wood.load_masses(put.pieces).values())
            wakes = self.choices.bed < put.at < self.choices.rise
            yield Line(put.at, put.pieces, mass, put.levers, chance, wakes)
