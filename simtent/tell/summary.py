"""The night against the wishes, and where the heat went."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess.curves import Curve, curve
from simtent.assess.moments import clock, duration
from simtent.scenario.scenario import Scenario
from simtent.tell.airing import airing
from simtent.tell.burning import burning
from simtent.tell.unsure import causes, fitted_to, name_of_range
from simtent.tell.wished import Wished
from simtent.tell.words import degrees, energy, occasion, paragraph, percent
from simtent.units import System

Pair = tuple[str, str]
LABEL = 25  # width of the left column

WENT = {  # account -> words where energy leaves by it or is stored in it
    "outside_convection": "through the skin to the outdoor air",
    "sky_radiation": "through the skin to the sky and surroundings",
    "leakage": "with leaking air",
    "ground_edge": "through the ground at the floor's edge",
    "water_below": "into the water under the ice",
    "floor_outside": "through the raised floor to the air below",
    "stored_ground": "into floor and ground",
    "stored_skin": "into the skin",
    "stored_contents": "into beds and gear",
    "stored_air": "into the room air",
    "unburnt": "up the flue unburnt",
    "flue": "up the flue as heat",
    "drying": "into drying the wood",
    "pipe_outside": "from the pipe outside",
    "boiling": "with water boiled off on the stove",
    "condensation": "into melting and drying",
    "stove_outdoors": "from stove and pipe to the outdoors",
    "stored_stove": "into the stove",
}
CAME = {  # account -> words where energy comes in by it or is taken out of store
    "source": "the heat source",
    "people": "sleepers",
    "outside_convection": "outdoor air",
    "sky_radiation": "sky and surroundings",
    "sun": "the sun",
    "leakage": "leaking air",
    "condensation": "vapour that turned to dew and frost",
    "ground_edge": "ground at the floor's edge",
    "water_below": "water under the ice",
    "floor_outside": "air under the raised floor",
    "stored_ground": "floor and ground as they cooled",
    "stored_skin": "the skin as it cooled",
    "stored_contents": "beds and gear as they cooled",
    "stored_air": "the room air as it cooled",
    "fire": "the wood that burnt",
    "flue": "the outdoors, to cold flue gas",
    "pipe_outside": "the outdoors, to the pipe",
    "stove_outdoors": "the outdoors, to stove and pipe",
    "stored_stove": "the stove as it cooled",
}
LEAST_SHARE = 0.005  # below this a share is not worth a word


def heading(scenario: Scenario) -> list[str]:
    """Which night this is, what logs its numbers come from, and what differs from the file."""
    night = scenario.night
    first = (
        f"{scenario.name}, {occasion(scenario)} of {night.evening:%Y-%m-%d}, {night.begin} to {night.end}."
    )
    if scenario.invented:
        first += " Invented scenario: it describes no real camp."
    changed = [f"Changed from the file: {change}" for change in scenario.changes]
    fitted = [text] if (text := fitted_to(scenario)) else []
    return [line for words in (first, *fitted, *changed) for line in paragraph(words)]


def summary(scenario: Scenario, dataset: xr.Dataset, system: System) -> list[str]:
    """Lines of at most 80 characters, a label and a sentence each."""
    lines = []
    for label, text in pairs(scenario, dataset, system):
        lines += paragraph(text, first=label.ljust(LABEL), rest=" " * LABEL)
    return lines


def pairs(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    """A label and a sentence of each thing there is to say."""
    if "level" in dataset.dims:
        wished = Wished.of(scenario)
        cot = curve(dataset, "level_temperature", level="cot")
        yield from _coldest(scenario, dataset, wished, cot, system)
        yield from _against_wishes(scenario, dataset, wished, cot, system)
        yield from airing(scenario, dataset, cot.between(*wished.in_bed).lowest()[0], system)
    if "fuel_mass" in dataset:
        yield from burning(scenario, dataset, system)
    yield from _energy(dataset, system)


def _coldest(
    scenario: Scenario, dataset: xr.Dataset, wished: Wished, cot: Curve, system: System
) -> Iterator[Pair]:
    begin, end = wished.in_bed
    moment, low = cot.between(begin, end).lowest()
    felt = curve(dataset, "operative_temperature", level="cot").at(moment)
    night = scenario.night
    span = f"{clock(night, begin)} to {clock(night, end)}"
    yield (
        "Coldest at the cot",
        f"{degrees(low, system)} at {clock(night, moment)} (from {span}); felt {degrees(felt, system)}",
    )
    if "level_temperature_low" in dataset:
        ends = [
            curve(dataset, f"level_temperature_{side}", level="cot").at(moment) for side in ("low", "high")
        ]
        text = f"{degrees(ends[0], system)} to {degrees(ends[1], system)}"
        label = name_of_range(scenario) + (" then" if scenario.fitted is None else "")
        yield label, f"{text}: two nights in three, {causes(scenario, dataset, ['cot'])}"


def _against_wishes(
    scenario: Scenario, dataset: xr.Dataset, wished: Wished, cot: Curve, system: System
) -> Iterator[Pair]:
    if wished.cot_at_least is not None:
        begin, end = wished.in_bed
        below = duration(cot.between(begin, end).time_below(wished.cot_at_least))
        limit = degrees(wished.cot_at_least, system)
        yield "Cot colder than asked", f"{below} of {duration(end - begin)} below {limit}"
    if wished.head_at_most is not None:
        up = scenario.night.seconds if wished.bed is None else wished.bed
        head = curve(dataset, "level_temperature", level="head").between(0.0, up)
        limit = degrees(wished.head_at_most, system)
        text = f"{duration(head.time_above(wished.head_at_most))} above {limit}"
        yield "Head hotter than asked", f"{text} before {clock(scenario.night, up)}"
    if wished.rise is not None:
        asked = "" if wished.cot_at_rise is None else f"; asked for {degrees(wished.cot_at_rise, system)}"
        yield f"Cot at {clock(scenario.night, wished.rise)}", f"{degrees(cot.at(wished.rise), system)}{asked}"


def _energy(dataset: xr.Dataset, system: System) -> Iterator[Pair]:
    final = dataset["energy"].isel(time=-1)
    sums = dict(zip(final["account"].values.tolist(), final.values.tolist(), strict=True))
    gains = {k: -v if k.startswith("stored_") else v for k, v in sums.items()}
    if "source" in sums:
        yield "Heat used", f"{energy(sums['source'], system)} from the heat source"
    else:
        yield "Heat used", f"{energy(sums['fire'], system)} in the wood that burnt"
    total = sum(gain for gain in gains.values() if gain > 0.0)
    if total > 0.0:
        yield "Where heat came from", _shares({k: v / total for k, v in gains.items()}, CAME)
        yield "Where the heat went", _shares({k: -v / total for k, v in gains.items()}, WENT)
    residual = float(dataset.attrs["energy_residual"])
    yield "Sums checked", f"heat in and out agree to {residual:.0e}: that checks the sums, not the model"


def _shares(shares: dict[str, float], words: dict[str, str]) -> str:
    largest_first = sorted(shares.items(), key=lambda item: -item[1])
    return ", ".join(f"{percent(s)} {words[name]}" for name, s in largest_first if s >= LEAST_SHARE)
