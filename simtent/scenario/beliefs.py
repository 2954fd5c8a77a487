"""What is believed of a number before any log is read: where it lies, how far it may be off, and who says so."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.free import Free, Movable, free, unit_and_kind
from simtent.scenario.quantity import Factor, Quantity, Spread
from simtent.scenario.toml_lines import dotted_key
from simtent.scenario.wood import WETTEST
from simtent.units import scale

if TYPE_CHECKING:  # its sections are looked at, also before there is a scenario
    from simtent.scenario.scenario import Scenario

UNTOLD = Spread.factor(1.5, "own choice, since the field names no prior of its own")
UNTOLD_DEGREES = Spread.kelvins(2.0, UNTOLD.source)
OF_USUAL = 0.25  # of the largest usual value; one deviation of what is 0 now and may only grow
OF_USUAL_SOURCE = "own choice: a quarter of the largest usual value, since it is 0 now"

OF_SHELTER = ("model.walls", "model.leak_area", "model.mixing", "model.ground")
OF_FIRE = (
    "model.heat", "model.gas_side", "model.char_rate", "model.burn_rate", "model.inlet", "model.feedback",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of one number of a scenario; all numbers in its unit.

    key       dotted key
    unit      "1" for a plain number
    number    as the scenario has it
    median    in the middle of what is believed
    spread    one standard deviation: of the natural logarithm, or in the unit where it is added
    low, high  between which it is allowed; 0 or infinite where nothing bounds it
    source    where the spread comes from
    additive  whether it is moved by sums, as what may be 0 or below
    told      the spread as people read it: "x1.5", "+-20 %", "+-2 K"
    """

    key: str
    unit: str
    number: float
    median: float
    spread: float
    low: float
    high: float
    source: str
    additive: bool = False
    told: str = ""


def belief(scenario: "Scenario", key: str) -> Belief:
    """What is believed of the number at a dotted key; InputError where there is none that can be moved."""
    it = free(scenario, key)
    believed = spread_of(scenario, it)
    additive = believed.way == "plus"
    factor = 1.0 if isinstance(it.declared, Factor) else scale(*unit_and_kind(it.declared))[0]
    spread = believed.amount / factor if additive else believed.logarithmic
    low, high = bounds(it.declared)
    return Belief(
        key, it.unit, it.number, it.number, spread, low, high, believed.source, additive, str(believed)
    )


def spread_of(scenario: "Scenario", it: Free) -> Spread:
    """How far a number may be off: as [fit] says, else by its declaration, else by a guess that says so.

    Raises InputError where [fit] multiplies what can only be added to, or the other way round.
    """
    declared = own_spread(scenario, it)
    asked = scenario.fit.spread.get(it.name) if scenario.fit else None
    if asked is None:
        return declared
    if isinstance(it.declared, Quantity) and it.declared.kind == "share" and declared.way == "plus":
        asked = Spread.points(asked.amount, asked.source) if asked.way == "relative" else asked
    if (asked.way == "plus") != (declared.way == "plus"):
        todo = f'Write it as it is without [fit], "{declared}", with another number'
        raise InputError(Fault("a spread of another kind than the number's", key=it.name, todo=todo))
    return asked


def own_spread(scenario: "Scenario", it: Free) -> Spread:
    """How far a number may be off by its declaration, whatever [fit] says."""
    if it.name == "outdoors.shift" and scenario.outdoors.spread:
        return Spread.kelvins(scenario.outdoors.spread, "outdoors.spread of the scenario")
    declared = it.declared
    prior: Spread | None = declared.prior or getattr(declared, "spread", None)
    if isinstance(declared, Quantity) and declared.kind.startswith("temperature"):
        return prior or UNTOLD_DEGREES
    if it.number > 0.0 or (prior and prior.way == "plus"):
        return prior or UNTOLD
    factor = 1.0 if isinstance(declared, Factor) else scale(*unit_and_kind(declared))[0]
    amount = OF_USUAL * it.size
    return Spread("plus", amount * factor, OF_USUAL_SOURCE, f"+-{amount:g} {it.unit}")


def bounds(declared: Movable) -> tuple[float, float]:
    """Lowest and highest allowed value in the unit in which the field is usually written."""
    if isinstance(declared, Factor):
        return declared.bounds()
    if not isinstance(declared, Quantity):
        return 0.0, 100.0 * WETTEST
    factor, zero = scale(*unit_and_kind(declared))
    found = declared.bounds()
    return (
        (-math.inf, math.inf) if found is None else ((found[0] - zero) / factor, (found[1] - zero) / factor)
    )


def usual_free(scenario: "Scenario") -> tuple[str, ...]:
    """Keys that a fit frees where nobody says which: what no tape measures and what plays a part."""
    keys: tuple[str, ...] = OF_SHELTER if scenario.shelter else ()
    if scenario.shelter and scenario.shelter.floor.raised:
        keys = tuple(key for key in keys if key != "model.ground")
    return (*keys, *OF_FIRE) if scenario.stove else keys


def freed(scenario: "Scenario") -> tuple[str, ...]:
    """Keys that a fit of this scenario frees: those of [fit], else the usual ones; without what [fit] keeps fixed."""
    asked = scenario.fit
    keys = usual_free(scenario) if asked is None or asked.free is None else asked.free
    fixed = {dotted_key(key) for key in asked.fixed} if asked else set()
    return tuple(key for key in keys if dotted_key(key) not in fixed)
