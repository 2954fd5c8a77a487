"""Findings on fresh air: what the sleepers breathe out, and openings by a rule for houses."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess import kinds
from simtent.assess.curves import curve
from simtent.assess.findings import Finding
from simtent.assess.fresh_air import least_air, needed, opening_for
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.units import System, show

STUFFY, LIMIT = 1500.0, 5000.0  # ppm of carbon dioxide
RULES: dict[System, str] = {"us": "1 in2 for 4000 Btu/h", "si": "550 mm2 a kilowatt"}
MANUALS = "The makers' manuals, local codes and licensed practice come before this."


def air_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """Too little fresh air for the sleepers; openings smaller than a house with such a fire would need."""
    if scenario.shelter is None:
        return
    yield from _sleepers(scenario, dataset)
    yield from _openings(scenario, dataset)


def _sleepers(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    count = scenario.crew.asleep
    if count == 0:
        return
    least = least_air(scenario, dataset)
    if least.settled <= STUFFY:
        return
    far = needed(count, LIMIT)
    yield kinds.LITTLE_AIR.found(
        level="stop" if least.settled > 4.0e4 else "caution" if least.settled > LIMIT else "note",
        what=f"little fresh air for {count} asleep: carbon dioxide builds up long before oxygen runs short, and a "
        "burner without a flue would need far more",
        when=f"least at {clock(scenario.night, least.moment)}",
        number=f"{_flow(scenario, least.flow)}, {min(least.settled, 1e6):.0f} ppm of carbon dioxide if it stayed so",
        limit=f"{STUFFY:.0f} ppm stuffy ({_flow(scenario, needed(count, STUFFY))}), {LIMIT:.0f} ppm for 8 h of work "
        f"({_flow(scenario, far)})",
        detail=f"; {_breath(scenario)} a sleeper",
        todo="Open a low and a high vent more, and keep frost and bedding off them. No code rule for "
        "the vents of a tent "
        f"was found. {MANUALS}",
    )


def _openings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    if "stove_temperature" not in dataset or scenario.shelter is None:
        return
    moment, most = curve(dataset, "heat_release").highest()
    each, vents = opening_for(most), scenario.shelter.openings
    low, high = (
        0.0 if vent is None else vent.area * vent.open for vent in (vents.low_vent, vents.ridge_vent)
    )
    if min(low, high) < each:
        yield kinds.SMALL_OPENINGS.found(
            what="a house with such a fire would need larger openings to the outdoors, one low and "
            "one high, for the air "
            "of a stove with a flue; for a burner without one they are not enough by far",
            where="vents",
            when=clock(scenario.night, moment),
            number=f"low {_area(scenario, low)}, high {_area(scenario, high)} open",
            limit=f"{_area(scenario, each)} each for {show(most, 'power', scenario.units)} ({RULES[scenario.units]})",
            todo=f"Open them farther, or add vents; keep snow off them. {MANUALS}",
        )


def _flow(scenario: Scenario, cubic_metres_an_hour: float) -> str:
    return show(cubic_metres_an_hour / 3600.0, "flow", scenario.units, 0)


def _breath(scenario: Scenario) -> str:
    return "0.42 ft3/h" if scenario.units == "us" else "12 L/h"


def _area(scenario: Scenario, square_metres: float) -> str:
    """Square centimetres, or square inches."""
    us = scenario.units == "us"
    return f"{square_metres / 0.0254**2:.0f} in2" if us else f"{1e4 * square_metres:.0f} cm2"
