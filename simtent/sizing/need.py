"""The heat that keeps a shelter's cot at the wish: a constant power in place of the stove, in steady weather."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.optimize import brentq

from simtent.readings import level_temperatures
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.sizing.scene import solved, weather

ZERO_CELSIUS = 273.15
HOURS = 12.0  # until cot and power have settled; the ground still warms, as in any night
LAST = 3600.0  # s at the end over which the cot is averaged
MOST = 5.0e4  # W, as [heat] allows
CLOSE = 5.0  # W to which a need is found

# As a stove would give it: the engine's own radiate 60 to 65 % of what they give the room (18 and 40 L in a bell tent);
# with 40 % the same cot takes a seventh more heat, the head is 16 K warmer. Over body and lower pipe: an assumption.
RADIANT, OVER = "62 %", 0.9  # share; m


@dataclass
class Heater:
    """A shelter with a constant heat where its stove stands; what was found is kept.

    given  the shelter under its wish, from `scene.stripped`
    """

    given: Scenario
    nights: int = 0
    _kept: dict[tuple[float, float, float], tuple[float, float]] = field(default_factory=dict)

    def levels(self, air: float, wind: float, power: float) -> tuple[float, float]:
        """Settled temperature at cot and head [K] for air outside [K], wind [m/s] and heat [W]."""
        key = (air, wind, power)
        if key not in self._kept:
            night = solved(self.given, {**weather(air, wind, HOURS, self.given), **_heat(self.given, power)})
            self.nights += 1
            self._kept[key] = _settled(night)
        return self._kept[key]

    def need(self, air: float, wind: float, wish: float) -> float:
        """Heat [W] that holds the cot at the wish [K]: 0 where it needs none, infinite where none allowed does."""
        if self.levels(air, wind, 0.0)[0] >= wish:
            return 0.0
        high = 1000.0
        while self.levels(air, wind, high)[0] < wish:
            if high >= MOST:
                return float("inf")
            high = min(2.0 * high, MOST)
        low = 0.0 if high == 1000.0 else 0.5 * high

        def short(power: float) -> float:
            return self.levels(air, wind, float(power))[0] - wish

        return float(brentq(short, low, high, xtol=CLOSE))


def _heat(given: Scenario, power: float) -> dict[str, Any]:
    """A constant [heat] in place of stove and fire."""
    stove = given.stove
    assert stove is not None and given.shelter is not None
    changes: dict[str, Any] = dict.fromkeys(("stove", "wood", "stoking"), "none")
    jack = given.shelter.openings.jack
    if jack is not None and jack.at is None:
        top = min(stove.collar + stove.pipe.inside, given.shelter.peak)
        changes["shelter.openings.jack.at"] = f"{top!r} m"
    return changes | {
        "heat.radiant_share": RADIANT,
        "heat.from_height": f"{stove.legs!r} m",
        "heat.to_height": f"{min(stove.legs + OVER, 0.9 * given.shelter.peak)!r} m",
        "heat.between": "steps",
        "heat.stands": stove.stands,
        "heat.table": [{"at": given.night.begin, "power": f"{power!r} W"}],
    }


def _settled(night: Run) -> tuple[float, float]:
    names = list(night.scenario.levels)
    late = night.solution.times >= night.solution.times[-1] - LAST
    mean = np.mean(level_temperatures(night)[late], axis=0) + ZERO_CELSIUS
    return float(mean[names.index("cot")]), float(mean[names.index("head")])
