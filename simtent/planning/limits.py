"""What a plan must keep, by how much a night breaks it, and which of two plans is the better."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from simtent.assess.close_findings import JACK_MOST
from simtent.assess.stove import COOL_FOR, GLOWS
from simtent.planning.measure import Measured
from simtent.readings import ZERO_CELSIUS
from simtent.scenario.checks_fire import FULLEST
from simtent.scenario.scenario import Scenario

ROUNDING = 1e-6
# What counts as one: a kelvin at cot or head, a log-odd of coals, 20 K of metal, ten minutes of a cool flue, a kilogram
# that is not there, a twentieth of the firebox. It weighs only limits of the same rank against each other.
ONE = {"coals": 1.0, "stove": 20.0, "jack": 20.0, "cool": 600.0, "wood": 1.0, "fullest": 0.05}
HAZARDS = tuple(ONE)  # never traded for warmth
WISHES = ("cot", "rise", "head")

Value = tuple[float, float, int, float, float]


@dataclass(frozen=True)
class Limits:
    """Temperatures in degC; None where nothing is asked.

    cot      at least, from bed to rise
    rise     at least at the cot at rise
    head     at most while up
    coals    log-odds that they light a load, at least
    wood     at hand, at most [kg]
    fullest, stove, jack, cool   most of the firebox that wood fills; hottest body and pipe at the skin; time under a
                                 cool flue [s]: the limits that findings have
    """

    cot: float
    rise: float | None
    head: float | None
    coals: float
    wood: float | None
    fullest: float = FULLEST
    stove: float = GLOWS
    jack: float = JACK_MOST
    cool: float = COOL_FOR

    @classmethod
    def of(cls, scenario: Scenario) -> "Limits":
        """The limits of a scenario that can be planned."""
        wish, wood = scenario.wish, scenario.wood
        assert wish.cot_at_least is not None and wood is not None
        return cls(
            cot=wish.cot_at_least - ZERO_CELSIUS,
            rise=None if wish.cot_at_rise is None else wish.cot_at_rise - ZERO_CELSIUS,
            head=None if wish.head_at_most is None else wish.head_at_most - ZERO_CELSIUS,
            coals=math.log(wish.coals / (1.0 - wish.coals)),
            wood=wood.at_hand,
        )

    def tightened(self, by: Mapping[str, float]) -> "Limits":
        """The same with less room: what a coarser night is to keep so that the finer one keeps these."""
        return replace(
            self,
            cot=self.cot + by["cot"],
            rise=None if self.rise is None else self.rise + by["rise"],
            head=None if self.head is None else self.head - by["head"],
            coals=self.coals + by["coals"],
            jack=self.jack - by["jack"],
            stove=self.stove - by["stove"],
            cool=self.cool - by["cool"],
        )

    def broken(self, night: Measured) -> dict[str, float]:
        """By how much a night breaks each limit, in the limit's own unit; what it keeps is left out."""
        none = math.inf
        over = {
            "coals": sum(max(self.coals - odds, 0.0) for odds in night.odds),
            "stove": night.stove - self.stove,
            "jack": night.jack - self.jack,
            "cool": night.cool - self.cool,
            "wood": night.wood - (none if self.wood is None else self.wood),
            "fullest": night.fullest - self.fullest,
            "cot": self.cot - night.cot_lowest,
            "rise": (-none if self.rise is None else self.rise) - night.cot_at_rise,
            "head": night.head_highest - (none if self.head is None else self.head),
        }
        return {name: by for name, by in over.items() if by > ROUNDING}

    def value(self, night: Measured, wake_ups: int) -> Value:
        """The less, the better: hazards, then wishes missed, then wake-ups, then wood, then unevenness."""
        broken = self.broken(night)
        hazards = sum(by / ONE[name] for name, by in broken.items() if name in HAZARDS)
        wishes = sum(by for name, by in broken.items() if name in WISHES)
        return (
            round(hazards, 4),
            round(wishes, 4),
            wake_ups,
            round(night.wood, 6),
            round(night.unevenness, 6),
        )
