"""What the stove and its flue come to in a night, held against what practice warns of."""

from collections.abc import Iterator

import numpy as np
import xarray as xr

from simtent.assess import kinds
from simtent.assess.curves import Curve, curve
from simtent.assess.findings import Finding
from simtent.assess.moments import clock, duration
from simtent.assess.reversal import reversal_findings
from simtent.scenario.scenario import Scenario
from simtent.units import show

ZERO_CELSIUS = 273.15  # [K]
# Common practice, no source, but for the draught: flagged below 2 Pa, common practice as well.
COOL_FLUE, COOL_FOR = (250.0 - 32.0) / 1.8, 1800.0  # degC at the top, 250 degF by its source below; s
WOOD_BURNS = 0.05  # kg of dry wood on the fire
GLOWS = 600.0  # degC
LEAST_DRAUGHT = 2.0  # Pa
WARMS_UP = 900.0  # s after the first load, in which no cold pipe draws
ANYTHING_BURNS = 100.0  # W
# What is told beside a weak draught; assumptions.
DYING, HALF_SHUT, SUCKING, WINDY, HIGH = 1500.0, 0.5, 1.0, 5.0, 2000.0  # W, share, Pa, m/s, m


def stove_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """A caution for each: a flue that runs backwards, or is too cool while wood burns, a body near glowing, a draught
    too weak; a note where a cold flue runs backwards.
    """
    if "stove_temperature" in dataset:
        yield from reversal_findings(scenario, dataset)
        yield from _cool_flue(scenario, dataset)
        yield from _glow(scenario, dataset)
        yield from _weak_draught(scenario, dataset)


def _cool_flue(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    gas = curve(dataset, "flue_exit_temperature")
    wood = curve(dataset, "fuel_mass", fuel_stage="dry_wood")
    both = np.minimum((COOL_FLUE - gas.values) / COOL_FLUE, (wood.values - WOOD_BURNS) / WOOD_BURNS)
    both[curve(dataset, "flue_flow").values < 0.0] = -1.0  # outdoor air, not gas
    cool = Curve(gas.seconds, both)
    if (lasting := cool.time_above(0.0)) <= COOL_FOR:
        return
    least = float(gas.values[both > 0.0].min())
    yield kinds.COOL_FLUE.found(
        what="the flue gas is cool at the top of the pipe while wood burns: creosote settles in such a pipe, "
        "narrows it and can burn in it",
        where="pipe",
        when=f"first at {clock(scenario.night, _first_above(cool))}",
        number=f"{duration(lasting)}, down to {_degrees(scenario, least)}",
        limit=f"{_degrees(scenario, COOL_FLUE)} for {duration(COOL_FOR)}",
        todo="Burn drier wood, smaller loads, more air; an hour a day hot; look into the pipe and its arrestor "
        "before the next fire.",
    )


def _glow(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    moment, hottest = (body := curve(dataset, "stove_temperature")).highest()
    if hottest <= GLOWS:
        return
    yield kinds.STOVE_GLOWS.found(
        what="the stove's body comes near a visible glow; parts of it are hotter than the mean that is computed",
        where="stove",
        when=f"{clock(scenario.night, moment)}",
        number=f"{_degrees(scenario, hottest)}, {duration(body.time_above(GLOWS))} above the limit",
        limit=_degrees(scenario, GLOWS),
        todo="Less wood at a time, less air, thicker pieces; the maker's largest load comes before this file's.",
    )


def _weak_draught(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    draught, release = curve(dataset, "draft_pressure"), curve(dataset, "heat_release")
    lit = int(np.argmax(release.values > ANYTHING_BURNS))
    both = np.minimum(
        (LEAST_DRAUGHT - draught.values) / LEAST_DRAUGHT,
        (release.values - ANYTHING_BURNS) / ANYTHING_BURNS,
    )
    both[release.seconds < release.seconds[lit] + WARMS_UP] = -1.0
    weak = Curve(draught.seconds, both)
    if not (both > 0.0).any():
        return
    least = float(draught.values[both > 0.0].min())
    yield kinds.WEAK_DRAUGHT.found(
        what=f"the flue draws weakly while something burns{_cause(scenario, dataset, weak)}: a gust "
        "or an opened door can "
        "bring smoke and carbon monoxide into the shelter",
        where="pipe",
        when=f"first at {clock(scenario.night, _first_above(weak))}",
        number=f"{duration(weak.time_above(0.0))}, down to {show(least, 'pressure', scenario.units)}",
        limit=show(LEAST_DRAUGHT, "pressure", scenario.units),
        todo="Carbon monoxide alarm on, ventilation open, damper open until nothing glows; neither is a safety "
        "guarantee. A taller pipe, fewer bends and a clean arrestor draw better.",
    )


def _cause(scenario: Scenario, dataset: xr.Dataset, weak: Curve) -> str:
    """What goes with the weakest draught, in words; nothing where no one thing stands out."""
    moment = int(np.argmax(weak.values))
    found = []
    if dataset["heat_release"].values[moment] < DYING:
        found.append("a dying fire")
    if dataset["damper_setting"].values[moment] < HALF_SHUT:
        found.append("a damper half shut or more")
    if "pressure_difference" in dataset and dataset["pressure_difference"].values[moment, 0] < -SUCKING:
        found.append("a shelter whose own warm air pulls at it")
    if dataset["wind_speed"].values[moment] > WINDY:
        found.append("wind")
    if scenario.site.altitude > HIGH:
        found.append("thin air")
    return f" ({' and '.join(found)})" if found else ""


def _first_above(given: Curve) -> float:
    """Moment [s] of the first of the curve's points that lies above zero."""
    return float(given.seconds[int(np.argmax(given.values > 0.0))])


def _degrees(scenario: Scenario, celsius: float) -> str:
    return show(celsius + ZERO_CELSIUS, "temperature", scenario.units, 0)
