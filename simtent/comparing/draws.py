"""Draws of what nobody knows, the same for every variant: common random numbers.

Each draw moves every unknown of the scenario at once by a normal number of deviations: what logs leave open where the
scenario has [fitted], else the priors. Nights of few layers are solved for them, and their differences from the same
nights undrawn are added to what the whole nights came to. So a difference of two variants is, draw by draw, a
difference of two numbers, and differences add up.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from simtent.comparing.asked import NAMES, asked
from simtent.comparing.nights import two_at_a_time
from simtent.driver import SWIFT, drive
from simtent.errors import SolveError
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.scenario.moved import moved
from simtent.scenario.scenario import Scenario

FEW_LAYERS = 8
QUICK = Accuracy(SWIFT.method, 1e-5, 1e-3)
LEVELS = ("head", "cot", "floor")


def drawn(
    scenarios: Sequence[Scenario],
    values: Array,
    count: int,
    seed: int = 0,
    told: Callable[[int, int], None] = lambda _done, _all: None,
) -> Array:
    """What people ask of every scenario under every draw, shape (scenarios, count, numbers).

    Parameters
    ----------
    scenarios : sequence of Scenario
        The base first.
    values : array, shape (scenarios, numbers)
        What the whole nights came to.
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
    few = [_few(it) for it in scenarios]
    moves = deviations(few, count, seed)
    jobs = [(it, row) for it in few for row in (None, *moves)] if count else []
    done = 0

    def one(job: tuple[Scenario, Mapping[str, float] | None]) -> list[float]:
        nonlocal done
        found = _asked(*job)
        done += 1
        told(done, len(jobs))
        return found

    if not jobs:
        return np.empty((len(few), 0, len(NAMES)))
    rows: list[list[float]] = two_at_a_time(one, jobs)
    found: Array = np.array(rows).reshape(len(few), count + 1, len(NAMES))
    return np.asarray(values[:, None, :] + found[:, 1:] - found[:, :1])


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


def _asked(scenario: Scenario, moves: Mapping[str, float] | None) -> list[float]:
    if moves is None:
        found = asked(drive(scenario, accuracy=QUICK))
        return [found[name] for name in NAMES]
    changes = moved(scenario, [(prior, moves[prior.key]) for prior in scenario.priors()])
    try:
        night = drive(scenario.replace(changes), accuracy=QUICK)
    except SolveError as error:
        told = ", ".join(f"{key} = {value}" for key, value in changes.items())
        raise SolveError(f"A night with {told} cannot be solved: {error}") from None
    found = asked(night, _missed(scenario, moves))
    return [found[name] for name in NAMES]


def _missed(scenario: Scenario, moves: Mapping[str, float]) -> dict[str, float]:
    """Share of each level's rise by which a night lies beside what logs told: one deviation times the draw's own."""
    fitted = scenario.fitted
    if fitted is None:
        return {}
    air = scenario.outdoors.track("air").values
    wider = fitted.widened(fitted.outside(min(air), max(air)))
    return {level: wider * fitted.missed(level) * moves[f"missed {level}"] for level in LEVELS}
