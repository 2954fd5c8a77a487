"""A night from beginning to end: assemble, solve, settle the ledger, assess, label."""

import platform
from functools import cache
from importlib.metadata import version
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import ArrayLike

from simtent import compiled, results
from simtent.assess import spill
from simtent.assess.findings import Finding, to_values
from simtent.assess.judge import assess
from simtent.dampness import dampness
from simtent.departures import departures
from simtent.network.arrays import Array
from simtent.network.solve import Accuracy
from simtent.readings import ZERO_CELSIUS, Group, events, level_temperatures, readings
from simtent.run import STANDARD, Run, run
from simtent.scenario.scenario import Scenario

AIR_NOTE = (
    "Plumes, cold and warm currents and leaks follow laws for rooms. The plume's entrainment (0.127) and the constants "
    "of currents and mixing come from memory, and no measured profile of a stove-heated shelter was found: "
    "differences between head and floor are uncertain."
)
FIRE_NOTE = (
    "The fire follows from wood, air and draught by laws whose constants come in part from memory: burning rates, the "
    "share that leaves unburnt and whether coals light a load are assumptions until a logged burn narrows them."
)


def simulate(scenario: Scenario, *, accuracy: Accuracy = STANDARD) -> xr.Dataset:
    """Simulate a night and what nobody has measured about it.

    Parameters
    ----------
    scenario : Scenario
        From `simtent.load`.
    accuracy : Accuracy
        How the nights are solved.

    Returns
    -------
    xarray.Dataset
        By the schema of `simtent.results`: temperatures [degC], flows [W], energy accounts [J], findings.

    Raises
    ------
    SolveError
        The solver gave up, or energy does not add up.
    """
    night = run(scenario, accuracy=accuracy)
    dataset = _labelled(night)
    outdoors = np.asarray(dataset["outdoor_temperature"].values)
    return _judged(night, dataset, _band(night, outdoors, accuracy))


def judged(night: Run) -> xr.Dataset:
    """A solved night with its events and findings, without a range: what differs from `simulate` by nothing else."""
    return _judged(night, _labelled(night), ({}, {}))


def plain(scenario: Scenario, *, accuracy: Accuracy = STANDARD) -> xr.Dataset:
    """One night alone, to be compared with others: no range, no events, no findings; errors as by `simulate`."""
    return _labelled(run(scenario, accuracy=accuracy))


def found_in(night: Run) -> tuple[Finding, ...]:
    """The findings of a solved night, as its Dataset would have them."""
    return assess(night.scenario, _eventful(night, _labelled(night), ({}, {})))


def _judged(night: Run, dataset: xr.Dataset, band: Group) -> xr.Dataset:
    dataset = _eventful(night, dataset, band)
    dataset = results.extend(dataset, *to_values(assess(night.scenario, dataset)))
    results.check(dataset)
    return dataset


def _eventful(night: Run, dataset: xr.Dataset, band: Group) -> xr.Dataset:
    """The Dataset with its range, events, departures from laws and what-ifs."""
    values: dict[str, ArrayLike] = {}
    coords: dict[str, ArrayLike] = {}
    for more_values, more_coords in (band, events(night), departures(night)):
        values |= more_values
        coords |= more_coords
    if values or coords:
        dataset = results.extend(dataset, values, coords)
    if cases := spill.what_if(night.scenario, dataset):
        dataset = results.extend(dataset, *spill.to_values(cases))
    return dataset


def _labelled(night: Run) -> xr.Dataset:
    dataset = results.label(*readings(night), _attributes(night))
    return results.extend(dataset, *dampness(night)) if night.scenario.damp else dataset


def _band(night: Run, outdoors: Array, accuracy: Accuracy) -> Group:
    """Range of the level temperatures, and of head over floor, from what nobody has measured: one deviation each way.

    `outdoors` is the air outside at every time [degC].

    Each unknown is moved alone, down and up; what it does to one side adds in squares (independent unknowns,
    effects that add up: first-order propagation of uncertainty). The range of a difference is none of two ranges'
    differences: what warms head and floor alike leaves it as it is. What logs miss beyond all unknowns is one more.
    """
    if night.model.house is None:
        return {}, {}
    # Vapour does the same to all of them, and takes as long again: moved nights do without it.
    dry = (
        night
        if night.scenario.damp is None
        else run(night.scenario.replace("damp", "none"), accuracy=accuracy)
    )
    nominal, as_it_is = _with_difference(dry), _with_difference(night)
    below = _missed(night, as_it_is, outdoors) ** 2
    above = below.copy()
    for prior in night.scenario.priors():
        moved = [
            _with_difference(run(dry.scenario.replace(change), accuracy=accuracy)) - nominal
            for change in (prior.low, prior.high)
        ]
        below += np.minimum(np.minimum(*moved), 0.0) ** 2
        above += np.maximum(np.maximum(*moved), 0.0) ** 2
    low, high = as_it_is - np.sqrt(below), as_it_is + np.sqrt(above)
    return {
        "level_temperature_low": low[:, :-1],
        "level_temperature_high": high[:, :-1],
        "head_over_floor": as_it_is[:, -1],
        "head_over_floor_low": low[:, -1],
        "head_over_floor_high": high[:, -1],
    }, {}


def _missed(night: Run, levels: Array, outdoors: Array) -> Array:
    """What logged nights miss beyond all unknowns, shape (times, levels + 1) [K]: one deviation, 0 without logs.

    A share of each level's rise above outdoors, more where the night is colder or warmer than all that was logged.
    Head and floor count as missed apart from each other, which makes the range of their difference wide.
    """
    fitted, names = night.scenario.fitted, list(night.scenario.levels)
    if fitted is None:
        return np.zeros_like(levels)
    outside = fitted.outside(outdoors.min() + ZERO_CELSIUS, outdoors.max() + ZERO_CELSIUS)
    shares = fitted.widened(outside) * np.array([fitted.missed(name) for name in names])
    missed = shares * (levels[:, :-1] - outdoors[:, None])
    return np.column_stack(
        (missed, np.hypot(missed[:, names.index("head")], missed[:, names.index("floor")]))
    )


def _with_difference(night: Run) -> Array:
    """Air temperature at the named levels, then head minus floor, shape (times, levels + 1)."""
    levels, names = level_temperatures(night), list(night.scenario.levels)
    difference = levels[:, names.index("head")] - levels[:, names.index("floor")]
    return np.column_stack((levels, difference))


def _attributes(night: Run) -> dict[str, Any]:
    scenario, solution = night.scenario, night.solution
    how = solution.accuracy
    return {
        "name": scenario.name,
        "invented": int(scenario.invented),
        "units": scenario.units,
        "zone": str(scenario.night.zone).removeprefix("UTC") or "UTC",
        "scenario_given": scenario.given,
        "scenario_effective": scenario.effective,
        "versions": ", ".join(f"{name} {text}" for name, text in versions().items()),
        "solver": (
            f"{how.method}, rtol {how.rtol:g}, atol {how.atol:g} K; {solution.jumps} stretches, "
            f"{solution.calls} evaluations, {solution.jacobians} Jacobians"
        ),
        "energy_residual": night.residual,
        "air_note": "" if night.model.house is None else AIR_NOTE,
        "fire_note": "" if night.model.hearth is None else FIRE_NOTE,
    }


@cache
def versions() -> dict[str, str]:
    """Of simtent and the libraries that matter."""
    found = {"simtent": version("simtent"), "python": platform.python_version()}
    found |= {name: version(name) for name in ("numpy", "scipy", "xarray")}
    numba = compiled.NUMBA
    return found | ({"numba": str(numba.__version__)} if numba else {})
