"""Burns of the story's stove, changed one thing at a time; invented, as the story is."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat
from simtent.readings import accounts
from simtent.run import Run, run
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario

STORY = Path(__file__).parent / "story.toml"
LOADED = [{"at": "20:45", "pieces": {"kindling": "0.4 kg", "stick": "1 kg", "split": "1.6 kg"}}]
DRAUGHT = "12 Pa"  # at the collar, as stove test standards prescribe it (EN 13240, from memory)


@cache
def story() -> Scenario:
    """The story night."""
    return load(STORY)


def burn(mark: str = "wide", change: Mapping[str, Any] | None = None, *, draught: bool = False) -> Scenario:
    """One load alone, turned to a mark a quarter of an hour after it was lit."""
    steps: Sequence[Mapping[str, str]] = [{"for": "15 min", "mark": "wide"}, {"mark": mark}]
    given: dict[str, Any] = {"stoking.load": [{**LOADED[0], "air": steps}]}
    if draught:
        given["stove.pipe.draft"] = DRAUGHT
    return story().replace(given | dict(change or {}))


def flame_hours(night: Run) -> float:
    """Hours until a twentieth of the load's dry wood is left; the whole run if it burns on."""
    slots = night.model.shelter.stove.slots
    dry = night.solution.states[:, slots.first_dry : slots.first_dry + slots.dry.size].sum(axis=1)
    out = np.flatnonzero(dry < 0.05 * slots.dry.sum())
    return float(night.solution.times[out[0] if out.size else -1]) / 3600.0


def heat_of_wood(night: Run) -> float:
    """Heat of all wood put on and gone, that of what is left taken off [J]: by mass, apart from the paths.

    Wood counts with its dry heating value, coals with theirs.
    """
    state, stove = night.solution.states[-1], night.model.shelter.stove
    left = state[stove.slots.first_dry : stove.slots.first_dry + stove.slots.dry.size].sum()
    wood = night.scenario.wood
    assert wood is not None
    value = wood.species.heating_value
    assert abs((1 - CHAR_SHARE) * gas_heat(value, CHAR_SHARE) + CHAR_SHARE * COAL_HEAT - value) < 1.0
    return float((stove.slots.dry.sum() - left) * value - state[stove.places.coals] * COAL_HEAT)


def bedtime(mark: str) -> Scenario:
    """Two loads: one for the evening, wide open, and one at bedtime, turned to a mark after a quarter of an hour."""
    steps = [{"for": "15 min", "mark": "wide"}, {"mark": mark}]
    evening = {"at": "20:45", "pieces": {"kindling": "0.4 kg", "stick": "1.2 kg", "split": "1.4 kg"}}
    night = {"at": "22:45", "pieces": {"stick": "1.2 kg", "split": "2 kg"}, "air": steps}
    return story().replace("stoking.load", [evening, night])


def since_bedtime(night: Run) -> dict[str, float]:
    """Each account from the bedtime load to three hours later, over the heat of the wood that burnt then."""
    hours = night.solution.times / 3600.0
    told = {
        name: float(np.interp(5.0, hours, sums) - np.interp(2.0, hours, sums))
        for name, sums in accounts(night).items()
    }
    return {name: joules / told["fire"] for name, joules in told.items()}


def stays_inside(parts: Mapping[str, float]) -> float:
    """Share of the wood's heat that reaches the shelter: what neither leaves by the flue nor dries the wood [-]."""
    return 1.0 + sum(parts[name] for name in ("unburnt", "drying", "flue", "pipe_outside"))


def solved(scenario: Scenario) -> Run:
    """The night, solved."""
    return run(scenario)
