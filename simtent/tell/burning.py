"""The summary's lines on wood, loads, coals, stove and flue."""

from collections.abc import Iterator

import numpy as np
import xarray as xr

from simtent.assess.curves import curve, seconds_of
from simtent.assess.loads import Burn, burns
from simtent.assess.moments import clock, duration
from simtent.scenario.scenario import Scenario
from simtent.tell.words import coal_mass, degrees, percent, power, wood_mass
from simtent.units import System, show

PLACES: dict[System, int] = {"si": 0, "us": 3}  # of a draught
LEAST_HEAT = 1.0  # J; shares of less are not worth a word
MANY = 3  # loads put on wood that still burned; more are told together
LEAST_SHARE = 0.005
WENT = {  # account -> words for the heat of the wood that did not come off the stove
    "unburnt": "lost unburnt",
    "flue": "up the flue as heat",
    "drying": "to dry the wood",
    "pipe_outside": "off the pipe outside",
    "boiling": "with water boiled off",
    "stored_stove": "still in the stove",
}


def burning(scenario: Scenario, dataset: xr.Dataset, system: System) -> Iterator[tuple[str, str]]:
    """Pairs of a label and a sentence, of a night with a fire."""
    loads = burns(dataset)
    yield "Wood used", _wood(dataset, loads, system)
    for fire in _fires(loads):
        begin = clock(scenario.night, seconds_of(dataset, fire[0].begin))
        if len(fire) > MANY:
            yield f"{len(fire)} loads from {begin}", _fed(scenario, dataset, fire, system)
        else:
            for load in fire:
                begin = clock(scenario.night, seconds_of(dataset, load.begin))
                yield f"Load of {begin}", _load(scenario, dataset, load, system)
    if loads:
        yield (
            "Coals that relight",
            "counted while the chance that they light the next load is one half or more: an assumption from "
            "practice, not a law; your log may show another",
        )
    hottest = [_hottest(scenario, dataset, *pair, system) for pair in HOT]
    yield "At the hottest", "; ".join(hottest)
    draught, release = curve(dataset, "draft_pressure"), curve(dataset, "heat_release")
    most = show(draught.highest()[1], "pressure", system, PLACES[system])
    yield (
        "Draught and release",
        f"at most {most} and {power(release.highest()[1], system)}",
    )
    yield from _heat(dataset)


HOT = (
    ("stove", "stove_temperature"),
    ("flue gas at the collar", "flue_gas_temperature"),
    ("pipe", "pipe_temperature"),
)


def _hottest(scenario: Scenario, dataset: xr.Dataset, words: str, name: str, system: System) -> str:
    moment, value = curve(dataset, name).highest()
    return f"{words} {degrees(value, system)} at {clock(scenario.night, moment)}"


def _wood(dataset: xr.Dataset, loads: tuple[Burn, ...], system: System) -> str:
    final = dataset["fuel_mass"].isel(time=-1)
    wood = float(final.sel(fuel_stage=["water", "dry_wood"]).sum())
    coals = float(final.sel(fuel_stage="coals"))
    count = "1 load" if len(loads) == 1 else f"{len(loads)} loads"
    left = f"{wood_mass(wood, system)} of wood and {coal_mass(coals, system)} of coals are left"
    return f"{wood_mass(sum(load.mass for load in loads), system)} in {count}; {left} at the end"


def _fires(loads: tuple[Burn, ...]) -> list[list[Burn]]:
    """The loads, those together that were put on wood that still burned."""
    fires: list[list[Burn]] = []
    for load in loads:
        if fires and fires[-1][-1].flame is None:
            fires[-1].append(load)
        else:
            fires.append([load])
    return fires


def _fed(scenario: Scenario, dataset: xr.Dataset, fire: list[Burn], system: System) -> str:
    last = clock(scenario.night, seconds_of(dataset, fire[-1].begin))
    ends = ", ".join(_ends(scenario, dataset, fire[-1]))
    most = power(max(load.peak for load in fire), system)
    return f"{wood_mass(sum(load.mass for load in fire), system)}; after the last, at {last}, {ends}; at most {most}"


def _load(scenario: Scenario, dataset: xr.Dataset, load: Burn, system: System) -> str:
    told = [wood_mass(load.mass, system) + _how(dataset, load), *_ends(scenario, dataset, load)]
    return f"{', '.join(told)}; at most {power(load.peak, system)}"


def _ends(scenario: Scenario, dataset: xr.Dataset, load: Burn) -> list[str]:
    """How flames and coals of a load ended."""
    parts = []
    until = clock(scenario.night, seconds_of(dataset, load.until))
    if load.flame is None:
        parts.append(f"wood left at {until}")
    else:
        parts.append(f"flames for {duration(60.0 * load.flame)}")
    if load.coals_until is not None:
        parts.append(f"coals relight until {clock(scenario.night, seconds_of(dataset, load.coals_until))}")
    else:
        parts.append(f"coals {'still' if load.relights else 'do not'} relight at {until}")
    return parts


def _how(dataset: xr.Dataset, load: Burn) -> str:
    """On whose word a load was put on, if not by the clock, and what the event says of it after a comma."""
    here = (dataset["event_time"].values == load.begin) & (dataset["event_mass"].values > 0.0)
    event = dataset.isel(event=int(np.argmax(here)))
    _, comma, more = str(event["event_what"].values).partition(", ")
    return (" by a rule" if event["event_by"] == "rule" else "") + comma + more


def _heat(dataset: xr.Dataset) -> Iterator[tuple[str, str]]:
    """Where the heat of the wood went, by the ledger: what the stove gave off is the rest of its own sums."""
    final = dataset["energy"].isel(time=-1)
    sums = dict(zip(final["account"].values.tolist(), final.values.tolist(), strict=True))
    whole = sums["fire"]
    if whole < LEAST_HEAT:
        return
    spent = {name: sums.get(name, 0.0) * (1.0 if name == "stored_stove" else -1.0) / whole for name in WENT}
    place = "to the shelter" if "level" in dataset.dims else "off stove and pipe"
    parts = [f"{percent(share)} {WENT[name]}" for name, share in spent.items() if share >= LEAST_SHARE]
    yield "The wood's heat", ", ".join([f"{percent(1.0 - sum(spent.values()))} {place}", *parts])
