"""Findings on what stands close to a stove: cloth, bedding, wood, the skin at its jack, the snow under it."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess import kinds
from simtent.assess.closeness import HOUSE_STOVE, Near, close_by, far_flux
from simtent.assess.curves import curve, seconds_of
from simtent.assess.findings import Finding, Level
from simtent.assess.moments import clock
from simtent.assess.under import melted_under
from simtent.scenario.scenario import Scenario
from simtent.units import System, show

ZERO_CELSIUS = 273.15
CLOSE, TOO_CLOSE = 80.0 + ZERO_CELSIUS, 120.0 + ZERO_CELSIUS  # K, of cloth; an assumption
MOST_FLUX = 3000.0  # W/m2; an assumption
WOOD_LIMIT = 77.0 + ZERO_CELSIUS  # K; Babrauskas and others 2007 (abstract)
JACK_AIM, JACK_MOST = 100.0, 260.0  # degC; common practice, and silicone's limit from memory
TOLD_MELT = 0.005  # m
MANUALS = "The makers' manuals, local codes and licensed practice come before this."
KEEP = "Keep at least this: cloth sags under snow, wind presses it in, bedding slides."
MOVE = (
    "Move it away, or put sheet metal between, with {gap} of open air behind it. A house rule then allows a third of "
    "the distance to a wall (NFPA 211, second-hand), written for house walls, not for cloth."
)
WOOD_TOLD: dict[System, str] = {
    "us": "170 degF",
    "si": "77 degC",
}  # the same, in whole numbers as the cautions have it
GAPS: dict[System, str] = {"us": "1 in", "si": "25 mm"}


def close_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """One for each thing whose distance is given, one for those that are not, jack and snow."""
    if "stove_temperature" not in dataset:
        return
    if scenario.shelter is None:
        yield from _melt(scenario, dataset)
        return
    seconds = seconds_of(dataset)
    for near in close_by(scenario, dataset):
        when = clock(scenario.night, float(seconds[near.moment]))
        yield (_wood if near.what == "stacked wood" else _cloth)(scenario, near, when)
    yield from _not_given(scenario, dataset)
    yield from _jack(scenario, dataset)
    yield from _melt(scenario, dataset)


def _cloth(scenario: Scenario, near: Near, when: str) -> Finding:
    level = _level(near)
    return kinds.CLOTH_CLOSE.found(
        level=level,
        what=f"the stove shines on the {near.what}, {_length(scenario, near.distance)} away; parts of the stove are "
        "hotter than the mean that is computed, and embers are not in it",
        where=near.what,
        when=when,
        number=f"{_flux(scenario, near.flux)}, cloth at {_between(scenario, near)}",
        limit=f"{_length(scenario, HOUSE_STOVE)} from an unlisted stove; cloth at {_degrees(scenario, CLOSE)} is too "
        f"close, {_degrees(scenario, TOO_CLOSE)} or {_flux(scenario, MOST_FLUX)} must not be",
        todo=f"{KEEP if level == 'note' else MOVE.format(gap=GAPS[scenario.units])} {MANUALS}",
    )


def _between(scenario: Scenario, near: Near) -> str:
    """One temperature where no wind reaches, else two."""
    windy, calm = _degrees(scenario, near.windy), _degrees(scenario, near.calm)
    return calm if windy == calm else f"{windy} in wind to {calm} in a calm"


def _level(near: Near) -> Level:
    if near.calm > TOO_CLOSE or near.flux > MOST_FLUX:
        return "stop"
    return "caution" if near.calm > CLOSE or near.distance < HOUSE_STOVE else "note"


def _wood(scenario: Scenario, near: Near, when: str) -> Finding:
    hot = near.calm > WOOD_LIMIT
    return kinds.WOOD_CLOSE.found(
        level="stop"
        if near.flux > MOST_FLUX
        else "caution"
        if hot or near.distance < HOUSE_STOVE
        else "note",
        what=f"the stove shines on the wood stacked {_length(scenario, near.distance)} away; wood kept hot for long "
        "can catch by itself",
        where=near.what,
        when=when,
        number=f"{_flux(scenario, near.flux)}, its face at {_degrees(scenario, near.calm)}",
        limit=f"{WOOD_TOLD[scenario.units]} for long; {_length(scenario, HOUSE_STOVE)} from an unlisted stove",
        todo=f"Stage wood as far off as cloth, and dry none against the stove. {MANUALS}",
    )


def _not_given(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    place = scenario.stove.place if scenario.stove else None
    names = {"from_wall": "walls", "from_roof": "roof", "from_bed": "bedding", "from_wood": "stacked wood"}
    missing = [told for key, told in names.items() if place is None or getattr(place, key) is None]
    if missing:
        yield kinds.DISTANCE_NOT_GIVEN.found(
            what=f"the file does not say how far the stove is from {', '.join(missing)}: keep the house rule",
            where="stove",
            number=f"{_flux(scenario, far_flux(scenario, dataset))} would arrive at {_length(scenario, HOUSE_STOVE)}",
            limit=f"{_length(scenario, HOUSE_STOVE)} on all sides and above",
            todo=f"Measure, and add [stove.place] from_wall, from_roof, from_bed, from_wood. {MANUALS}",
        )


def _jack(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    moment, hottest = curve(dataset, "jack_temperature").highest()
    if hottest > JACK_AIM:
        yield kinds.HOT_JACK.found(
            level="stop" if hottest > JACK_MOST else "caution",
            what="the pipe is hot where it passes the skin; its gas, and a chimney fire, are hotter by far",
            where="stove jack",
            when=clock(scenario.night, moment),
            number=_degrees(scenario, hottest + ZERO_CELSIUS),
            limit=f"aim near {_degrees(scenario, JACK_AIM + ZERO_CELSIUS)} at cloth; silicone stands "
            f"{_degrees(scenario, JACK_MOST + ZERO_CELSIUS)} for long",
            todo="A jack made for a pipe this hot, its flap rolled back and off the pipe, nothing else near it; less "
            f"air, or more pipe inside. {MANUALS}",
        )


def _melt(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    melt = melted_under(scenario, dataset)
    if melt is not None and melt.depth > TOLD_MELT:
        assert scenario.stove is not None
        yield kinds.MELTS_IN.found(
            what=f"the stove melts into the {melt.on} under it: its legs sink, it leans, and its pipe comes loose",
            where="under the stove",
            number=f"up to {_length(scenario, melt.depth)} in the night, with {scenario.stove.under} under it",
            limit="none",
            todo="Lay poles or a board with sheet metal under the legs, look at them at every load, "
            "and level the stove "
            f"before it leans. {MANUALS}",
        )


def _degrees(scenario: Scenario, kelvin: float) -> str:
    return show(kelvin, "temperature", scenario.units, 0)


def _length(scenario: Scenario, metres: float) -> str:
    """Centimetres, or feet and inches."""
    us = scenario.units == "us"
    return show(metres, "length", "us") if us else f"{100.0 * metres:.0f} cm"


def _flux(scenario: Scenario, watts: float) -> str:
    return show(watts, "flux", scenario.units)
