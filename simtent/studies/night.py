"""One night of a study: solved, and reduced to what is wanted of it.

`study` takes any other function of the same form in its place (`wanted.Night`): a cheaper driver, or a night made of
formulas.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from simtent.assembly.drivers import driver
from simtent.driver import drive
from simtent.network.arrays import Array
from simtent.readings import ZERO_CELSIUS, Group, accounts, level_temperatures, readings
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.studies.wanted import dims_of, needs_readings


def one_night(scenario: Scenario, wanted: Sequence[str]) -> Group:
    """Solve a night by the compiled driver and keep what is wanted: (values, labels)."""
    return reduced(drive(scenario), wanted)


def reduced(night: Run, wanted: Sequence[str]) -> Group:
    """What is wanted of a solved night: (values, labels)."""
    values, coords = _cheap(night)
    if needs_readings(wanted):
        more_values, more_coords = readings(night)
        values, coords = {**more_values, **values}, {**more_coords, **coords}
    kept = {name: values[name] for name in wanted if name in values}
    used = {dim for name in kept for dim in dims_of(name)}
    return kept, {dim: labels for dim, labels in coords.items() if dim in used}


def _cheap(night: Run) -> Group:
    """What needs no reading at every time: temperatures of levels and outdoors, and the summary."""
    times, scenario = night.solution.times, night.scenario
    outdoors = driver(scenario.outdoors.track("air"))
    values: dict[str, ArrayLike] = {
        "outdoor_temperature": outdoors.values(times) - ZERO_CELSIUS,
        "energy_residual": night.residual,
    }
    held = accounts(night)
    values["heat_given"] = held["fire" if night.tending else "source"][-1]
    if night.tending:
        values["wood_put_on"] = sum(event.mass for event in night.tending.events)
    coords: dict[str, ArrayLike] = {"elapsed": times}
    if night.model.house is not None:
        levels = level_temperatures(night)
        in_bed = levels[_in_bed(scenario, times)]
        values |= {
            "level_temperature": levels,
            "lowest_temperature": levels.min(axis=0),
            "highest_temperature": levels.max(axis=0),
            "lowest_in_bed": in_bed.min(axis=0),
        }
        coords["level"] = list(scenario.levels)
    return values, coords


def _in_bed(scenario: Scenario, times: Array) -> slice:
    """The times from bed to rise, those at both ends included."""
    wish, night = scenario.wish, scenario.night
    bed = 0.0 if wish.bed is None else night.seconds_at(wish.bed)
    rise = night.seconds if wish.rise is None else night.seconds_at(wish.rise)
    first = int(np.searchsorted(times, bed - 1e-6))
    return slice(min(first, times.size - 1), max(int(np.searchsorted(times, rise + 1e-6)), first + 1))
