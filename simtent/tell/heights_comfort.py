"""How a night is for people, in sentences: asleep beside bag and pad, and awake by two standards."""

import math
from collections.abc import Iterator

import xarray as xr

from simtent.assess.comfort import Dressed, Sleeping, Standing, dressed, sleeping, standing_up
from simtent.assess.moments import clock, duration
from simtent.physics.comfort import CLASSES
from simtent.scenario.crew import Bag
from simtent.scenario.scenario import Scenario
from simtent.tell.words import ZERO_CELSIUS, degrees, percent
from simtent.units import System, show

Pair = tuple[str, str]
HOUR = 3600.0
BAGS: dict[System, str] = {
    "us": '{ comfort = "15 degF", limit = "0 degF" }',
    "si": '{ comfort = "-9 degC", limit = "-18 degC" }',
}
PADS: dict[System, str] = {"us": '"R 4.8 us"', "si": '"0.85 m2 K/W"'}
WARMEST = 10.0  # degC, of the air that a standard speaks of
HEAD, ANKLES = 1.1, 0.1  # m, seated: ISO 7726


def comfort(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    """Pairs of a label and a sentence."""
    asleep = sleeping(scenario, dataset, scenario.levels["cot"])
    yield "In bed at the cot", _in_bed(scenario, asleep, system)
    yield "The bag's own label", _label(scenario.crew.bag, asleep, system)
    yield "Down through the pad", _pad(asleep, system)
    if (up := standing_up(scenario, dataset)) is not None:
        yield "Seated, head over feet", _apart(scenario, up, system)
        yield "Floor under the feet", _floor(up, system)
    if (clothes := dressed(scenario, dataset)) is not None:
        yield "Clothing while up", _clothing(scenario, clothes, system)


def _in_bed(scenario: Scenario, it: Sleeping, system: System) -> str:
    when = clock(scenario.night, it.moment)
    return f"air down to {degrees(it.lowest_air, system)}, felt down to {degrees(it.lowest_felt, system)}, at {when}"


def _label(bag: Bag | None, it: Sleeping, system: System) -> str:
    if bag is None or it.hours_below_comfort is None or it.hours_below_limit is None:
        return f"no bag is given: write what is printed on yours, crew.bag = {BAGS[system]}"
    printed = [degrees(limit - ZERO_CELSIUS, system) for limit in (bag.comfort, bag.limit)]
    below = [duration(HOUR * hours) for hours in (it.hours_below_comfort, it.hours_below_limit)]
    return (
        f"felt {below[0]} below its comfort ({printed[0]}), {below[1]} below its limit ({printed[1]}). Labels hold for "
        "a dry bag on a good pad and one kind of sleeper: leave a margin"
    )


def _pad(it: Sleeping, system: System) -> str:
    if it.pad_watts is None:
        return f"no pad is given: crew.pad = {PADS[system]}"
    return f"{show(it.pad_watts, 'power', system, 0)} from each sleeper into {it.under}, the mean in bed"


def _apart(scenario: Scenario, up: Standing, system: System) -> str:
    widest = CLASSES[-1]
    share = (
        "beyond what the standard speaks of"
        if math.isnan(up.dissatisfied)
        else f"{percent(up.dissatisfied)} would complain"
    )
    high, low = (show(height, "length", system, 1) for height in (HEAD, ANKLES))
    # To a tenth, as the finding on the same has it: 4 K are 7.2 degF, and whoever reads 7 would count others over it.
    most, limit = (show(it, "temperature_difference", system, 1) for it in (up.largest, widest.difference))
    return (
        f"air at {high} up to {most} warmer than at {low}, at {clock(scenario.night, up.moment)}: {share}; "
        f"{duration(HOUR * up.hours_over)} over {limit}, the most that class {widest.name} of ISO 7730 has in buildings"
    )


def _floor(up: Standing, system: System) -> str:
    low, high = (degrees(limit - ZERO_CELSIUS, system) for limit in CLASSES[-1].floor)
    return (
        f"down to {degrees(up.floor, system)} while people are up: {percent(up.floor_dissatisfied)} would complain in "
        f"light shoes (ISO 7730; its class {CLASSES[-1].name} has {low} to {high})"
    )


def _clothing(scenario: Scenario, it: Dressed, system: System) -> str:
    limits = {"air": f"air warmer than {degrees(WARMEST, system)}", "speed": "air that hardly moves"}
    outside = ", ".join(limits.get(name, name) for name in it.beyond)
    found = f"air {degrees(it.air, system)}, felt {degrees(it.felt, system)}"
    return (
        f"{it.neutral:.1f} clo (one is about an indoor suit) to sit neither warm nor cold, {it.minimal:.1f} clo at the "
        f"very least, most at {clock(scenario.night, it.moment)} ({found}); ISO 11079"
        f"{f', outside its limits: {outside}' if outside else ''}"
    )
