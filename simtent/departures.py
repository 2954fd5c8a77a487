"""Where a run left what its laws hold for, or what people and fabric can be in."""

from collections.abc import Iterator

from simtent.assembly.house import House
from simtent.readings import ZERO_CELSIUS, Group, accounts, melted
from simtent.run import Run
from simtent.units import show

EXPANSION_WORTH_A_WORD = 0.05
MELTED_WORTH_A_WORD = 0.1  # kg/m2, a tenth of a millimetre of water
HOTTEST_AIR = (
    ZERO_CELSIUS + 70.0
)  # K; hotter under a peak than any shelter is run; common practice, no source
BOILING_HEAT = 2.257e6  # J/kg, of water at 100 degC
FULL = 0.6  # wood over firebox, by volume, beyond which a load is no longer loose; common practice, no source


def departures(night: Run) -> Group:
    """A sentence each; a group of the Dataset."""
    found = []
    if night.model.house is not None:
        found += [*_of_room(night, night.model.house)]
    if night.tending is not None:
        found += [*_of_fire(night)]
    return {}, ({"departure": found} if found else {})


def _of_room(night: Run, house: House) -> Iterator[str]:
    units = night.scenario.units
    water = float(melted(night).max())
    if water > MELTED_WORTH_A_WORD * sum(floor.area for floor in house.floors):
        yield (
            f"Under the floor {show(water, 'mass', units)} of the {night.scenario.site.ground} melts. In the model "
            "the water stays where it melted, and nothing sinks or settles: in truth snow gives way, water runs "
            "off or soaks what lies on it, and wet ground carries heat otherwise."
        )
    hottest = float(night.air.max())
    if hottest > HOTTEST_AIR:
        yield (
            f"The air reaches {show(hottest, 'temperature', units, 0)} in its hottest layer. People cannot "
            "stay in such air, and it damages fabric and gear; no shelter is heated so: look at the heat given."
        )
    share = house.bands.volume / house.bands.volume.sum()
    # At constant pressure the mass that stays goes with the mean of 1/T over the room.
    left = 1.0 - float(night.air[0] @ share * ((1.0 / night.air) @ share).min())
    if left > EXPANSION_WORTH_A_WORD:
        yield (
            f"The warmed air's expansion is neglected: up to {100.0 * left:.0f} % of it would have left the "
            "shelter."
        )


def _of_fire(night: Run) -> Iterator[str]:
    assert night.tending is not None
    for rule in night.tending.close_calls(night.solution.times, night.solution.states):
        limit = show(rule.below, "temperature", night.scenario.units)
        yield (
            f"The rule for {rule.level} below {limit} was missed by a hair: a slightly colder night has one more "
            "load, so this one's numbers hang on very little."
        )
    full = night.tending.fullest
    if full > FULL:
        yield (
            f"With the wood still in it the firebox was filled to {100.0 * full:.0f} % of its volume by wood alone; "
            f"above {100.0 * FULL:.0f} % pieces lie too close to burn as the model has it."
        )
    stove = night.scenario.stove
    if stove is not None and stove.on_top is not None and stove.on_top.water:
        gone = -float(accounts(night)["boiling"][-1]) / BOILING_HEAT
        if gone > stove.on_top.mass:
            yield "The water on the stove boils away in the night; the model goes on as if it were refilled."
