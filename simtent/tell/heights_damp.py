"""The night's water in sentences: what came and went, where frost and dew lie in the morning, what drips."""

from collections.abc import Iterator, Sequence

import numpy as np
import xarray as xr

from simtent.assess import damp
from simtent.assess.curves import Curve, seconds_of
from simtent.assess.damp import Lying
from simtent.assess.moments import clock
from simtent.scenario.damp import Damp
from simtent.scenario.scenario import Scenario
from simtent.tell.wished import Wished
from simtent.tell.words import degrees, short_length, water
from simtent.units import System, show

Pair = tuple[str, str]
LEAST = 5e-4  # kg, worth a word
CAME = {"sleepers": "from sleepers' breath and skin", "entered": "as vapour with the outdoor air"}
GONE = {"left": "with the air that leaves"}
STORED = {  # account -> words where it gained, where it lost
    "stored_gear": ("into wet gear and wood", "from wet gear and stacked wood"),
    "stored_floor": ("onto the floor", "from the snow of the floor"),
    "stored_skin": ("onto the skin as frost and water", "from the skin"),
    "stored_bag": ("into the sleeping bags", "from the sleeping bags"),
    "stored_air": ("into the room air as vapour", "from the room air"),
}
PARTS = {"floor mat": "mat", "floor": "bare floor"}
KINDS = {"frost": "frost", "condensate": "liquid water"}


def dampness(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    """Pairs of a label and a sentence; one that says so where the night counts no damp."""
    if not damp.counted(dataset):
        yield "Damp", "not counted in this night"
        return
    night, (_, rise) = scenario.night, Wished.of(scenario).in_bed
    came, went = _ledger(dataset, rise)
    morning = clock(night, rise)
    yield "Damp", _counted(scenario, system)
    yield "Water until " + morning, f"{_masses(came, system)}. It went: {_masses(went, system)}"
    yield from _lying(dataset, rise, morning, system)
    yield from _drip(scenario, dataset, system)
    yield "Water in the bags", _bags(scenario, dataset, rise, system)
    yield "Dew point at " + morning, _dew_points(dataset, rise, system)


def _counted(scenario: Scenario, system: System) -> str:
    """By what numbers damp is counted."""
    section = scenario.damp or Damp()
    each = [show(flow, "mass_flow", system) for flow in (section.breath_each, section.skin_each)]
    by = "the usual numbers" if section == Damp() else "the file's numbers"
    return (
        f"counted by {by}: each sleeper breathes out {each[0]} and gives {each[1]} to the bag; [damp] changes them, "
        "--set damp=none leaves damp out. Nothing here was measured in a tent"
    )


def _ledger(dataset: xr.Dataset, seconds: float) -> tuple[dict[str, float], dict[str, float]]:
    """What gave water and what took it, in words, until a moment [kg]."""
    at = {name: damp.account(dataset, name).at(seconds) for name in (*CAME, *GONE, *STORED)}
    came = {words: at[name] for name, words in CAME.items()}
    went = {words: -at[name] for name, words in GONE.items()}
    for name, (gained, lost) in STORED.items():
        (went if at[name] > 0.0 else came)[gained if at[name] > 0.0 else lost] = abs(at[name])
    return came, went


def _masses(parts: dict[str, float], system: System) -> str:
    largest_first = sorted(parts.items(), key=lambda item: -item[1])
    told = [f"{water(mass, system)} {words}" for words, mass in largest_first if mass >= LEAST]
    return ", ".join(told) or "nothing"


def _lying(dataset: xr.Dataset, seconds: float, morning: str, system: System) -> Iterator[Pair]:
    everything = [it for it in damp.lying(dataset, seconds) if it.mass >= LEAST]
    for kind, words in KINDS.items():
        there = [it for it in everything if it.kind == kind]
        label = f"{words.capitalize()} at {morning}"
        if there:
            yield label, "; ".join(_told(it, system) for it in there)
        else:
            yield label, "none to see"
    frosted = [it.lowest for it in everything if it.kind == "frost" and it.lowest is not None]
    if frosted:
        height = short_length(min(frosted), system)
        yield (
            "Lowest frost on the skin",
            f"{height} above the ground: a bag that touches it gets wet as it melts",
        )


def _told(it: Lying, system: System) -> str:
    most = show(it.most, "areal_density", system)
    text = f"{water(it.mass, system)} on the {PARTS.get(it.part, it.part)}, at most {most}"
    return text if it.most_at is None else f"{text} at {short_length(it.most_at, system)}"


def _drip(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    dripped = Curve(seconds_of(dataset), dataset["dripped"].values)
    total = float(dripped.values[-1])
    if total < LEAST:
        yield "Drips and runs down", "nothing that counts"
        return
    begins = float(dripped.seconds[np.argmax(dripped.values > 0.01 * total)])
    steepest = int(np.argmax(np.diff(dripped.values) / np.diff(dripped.seconds)))
    most = clock(scenario.night, float(dripped.seconds[steepest]))
    yield (
        "Drips and runs down",
        f"{water(total, system)} through the night, from {clock(scenario.night, begins)} on, fastest at {most}",
    )


def _bags(scenario: Scenario, dataset: xr.Dataset, seconds: float, system: System) -> str:
    gained = damp.account(dataset, "stored_bag").at(seconds)
    sleepers = scenario.crew.asleep
    each = f", {water(gained / sleepers, system)} for each sleeper" if sleepers > 1 else ""
    return (
        f"{water(gained, system)} more than in the evening{each}: an estimate, nobody has weighed these bags"
    )


def _dew_points(dataset: xr.Dataset, seconds: float, system: System) -> str:
    nearest = int(np.argmin(np.abs(seconds_of(dataset) - seconds)))
    dew, heights = dataset["dew_point"].values[nearest], dataset["height"].values
    names: Sequence[str] = dataset["level"].values.tolist()
    parts = [
        f"{name} {degrees(float(np.interp(height, heights, dew)), system)}"
        for name, height in zip(names, dataset["level_height"].values.tolist(), strict=True)
    ]
    return f"{', '.join(parts)}; frost point below {degrees(0.0, system)}"
