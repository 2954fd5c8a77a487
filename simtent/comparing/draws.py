"""Draws of what nobody knows, the same for every variant: common random numbers.

Each draw moves every unknown of the scenario at once by a normal number of deviations: what logs leave open where the
scenario has [fitted], else the priors. Nights of few layers are solved for them; by what the same night undrawn misses
the whole one, theirs are mended: temperatures moment by moment, other numbers by themselves. So every variant has one
number for each draw, and differences of variants are differences of numbers, which add up.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from simtent.comparing.asked import LEVELS, NAMES, asked, outdoors, warmth
from simtent.comparing.nights import Night, two_at_a_time
from simtent.driver import SWIFT, drive
from simtent.errors import SolveError
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.scenario.moved import moved
from simtent.scenario.scenario import Scenario

FEW_LAYERS = 8
QUICK = Accuracy(SWIFT.method, 1e-5, 1e-3)
OF_THE_FIRE = ("wood", "load_interval", "coals_last", "stove_highest")


def drawn(
    nights: Sequence[Night],
    count: int,
    seed: int = 0,
    told: Callable[[int, int], None] = lambda _done, _all: None,
) -> Array:
    """What people ask of every night under every draw, shape (nights, count, numbers).

    Parameters
    ----------
    nights : sequence of Night
        The whole nights, the base first.
    count : int
        How many draws; with 0 the result is empty.
    seed : int
        Of the draws.
    told : callable
        Is told how many of the nights are done, and of how many.

    Returns
    -------
    array
        NaN for what a night does not have, such as frost: the drawn nights count no vapour.
    """
    if not count:
        return np.empty((len(nights), 0, len(NAMES)))
    few = two_at_a_time(Few.of, nights)
    moves = deviations([it.scenario for it in few], count, seed)
    jobs = [(it, row) for it in few for row in moves]
    done = 0

    def one(job: tuple[Few, Mapping[str, float]]) -> list[float]:
        nonlocal done
        found = job[0].drawn(job[1])
        done += 1
        told(done, len(jobs))
        return [found[name] for name in NAMES]

    rows: list[list[float]] = two_at_a_time(one, jobs)
    return np.array(rows).reshape(len(few), count, len(NAMES))


@dataclass(frozen=True)
class Few:
    """A night of few layers, and what it misses of the whole one.

    levels  at every time what has to be added at `LEVELS`, shape (times, 3) [K]
    others  what has to be added to each number that no level tells, by its name
    """

    scenario: Scenario
    levels: Array
    others: Mapping[str, float]

    @classmethod
    def of(cls, whole: Night) -> "Few":
        """The night on few layers, held against the whole one."""
        scenario = _few(whole.scenario)
        night = drive(scenario, accuracy=QUICK)
        names = list(whole.scenario.levels)
        own = whole.levels[:, [names.index(it) for it in LEVELS]]
        found = asked(night)
        others = {name: whole.values[name] - found[name] for name in OF_THE_FIRE}
        return cls(scenario, own - warmth(night), others)

    def drawn(self, moves: Mapping[str, float]) -> dict[str, float]:
        """What people ask of the night with every unknown moved by its deviations, mended; SolveError with them."""
        changes = moved(self.scenario, [(prior, moves[prior.key]) for prior in self.scenario.priors()])
        try:
            night = drive(self.scenario.replace(changes), accuracy=QUICK)
        except SolveError as error:
            told = ", ".join(f"{key} = {value}" for key, value in changes.items())
            raise SolveError(f"A night with {told} cannot be solved: {error}") from None
        levels = warmth(night) + self.levels
        if shares := _missed(self.scenario, moves):
            levels = levels + shares * (levels - outdoors(night)[:, None])
        found = asked(night, levels)
        return found | {name: max(found[name] + more, 0.0) for name, more in self.others.items()}


def deviations(scenarios: Sequence[Scenario], count: int, seed: int) -> list[dict[str, float]]:
    """For each draw how far every unknown of any of the scenarios is moved, by its key; antithetic in pairs."""
    keys = list(dict.fromkeys(prior.key for it in scenarios for prior in it.priors()))
    if any(it.fitted for it in scenarios):
        keys += [f"missed {level}" for level in LEVELS]
    half = np.random.default_rng(seed).standard_normal(((count + 1) // 2, len(keys)))
    rows = np.stack((half, -half), axis=1).reshape(-1, len(keys))[:count]
    return [dict(zip(keys, row.tolist(), strict=True)) for row in rows]


def _few(scenario: Scenario) -> Scenario:
    changes: dict[str, Any] = {"model.layers": min(FEW_LAYERS, scenario.model.layers)}
    return scenario.replace(changes if scenario.damp is None else {**changes, "damp": "none"})


def _missed(scenario: Scenario, moves: Mapping[str, float]) -> list[float]:
    """Share of each level's rise by which a night lies beside what logs told: one deviation times the draw's own."""
    fitted = scenario.fitted
    if fitted is None:
        return []
    air = scenario.outdoors.track("air").values
    wider = fitted.widened(fitted.outside(min(air), max(air)))
    return [wider * fitted.missed(level) * moves[f"missed {level}"] for level in LEVELS]
