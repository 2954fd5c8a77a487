"""Findings on damp: frost that closes seams and vents, what drips, bags that grow heavier."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess import damp, kinds
from simtent.assess.curves import seconds_of
from simtent.assess.findings import Finding
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.units import show

FROSTED = 0.05  # kg of frost on the skin, worth a word
DRIPPED = 0.02  # kg
SOAKED = 0.03  # kg in each bag


def damp_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """What water did to skin, sleepers and bags; nothing where a night counts none."""
    if damp.counted(dataset):
        yield from _frost(scenario, dataset)
        yield from _drip(scenario, dataset)
        yield from _bags(scenario, dataset)


def _frost(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    moments = seconds_of(dataset)
    masses = [damp.on_skin(dataset, float(moment))["frost"] for moment in moments[::12]]
    most = max(range(len(masses)), key=masses.__getitem__)
    if masses[most] < FROSTED:
        return
    yield kinds.FROST_INSIDE.found(
        what="frost grows on the inside of the skin. Frost and ice close seams, mesh and vents, and a shelter that "
        "is closed holds what spills from a fire",
        where="lower walls first",
        when=f"most at {clock(scenario.night, float(moments[::12][most]))}",
        number=f"{_water(scenario, masses[most])} on the whole skin",
        todo="Keep the vents open and look at them each time you get up; knock frost off before the fire warms the "
        "skin. Keep the carbon monoxide alarm running with a low and a high vent open; neither is a safety guarantee.",
    )


def _drip(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    total = float(dataset["dripped"].values[-1])
    if total >= DRIPPED:
        yield kinds.SKIN_DRIPS.found(
            what="water runs down the skin or drips",
            number=f"{_water(scenario, total)} through the night",
            todo="Keep bags and dry clothes off the skin, and covered where it drips; wipe it, or vent more.",
        )


def _bags(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    if scenario.crew.asleep == 0:
        return
    each = float(damp.account(dataset, "stored_bag").values[-1]) / scenario.crew.asleep
    if each >= SOAKED:
        yield kinds.WET_BAGS.found(
            what="some of what the sleepers give off freezes or condenses in their bags, and adds up from night to "
            "night",
            where="sleeping bags",
            number=f"some {_water(scenario, each)} each this night",
            todo="Air and dry the bags every day, breathe outside of them, and take more warmth than the label asks "
            "for on a longer trip.",
        )


def _water(scenario: Scenario, mass: float) -> str:
    """A mass of water [kg] as people weigh it on a kitchen scale."""
    return show(mass, "water", scenario.units)
