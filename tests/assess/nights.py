"""A night as `simulate` labels it, from the compiled driver and without its band; steady nights made of one number."""

from typing import Any

import numpy as np
import xarray as xr

from simtent import results
from simtent.assess import spill
from simtent.assess.findings import to_values
from simtent.assess.judge import assess
from simtent.departures import departures
from simtent.driver import drive
from simtent.readings import events, readings
from simtent.scenario.scenario import Scenario
from tests import fake_night


def labelled(scenario: Scenario) -> xr.Dataset:
    """The Dataset of a night solved by the compiled driver, before anything is judged."""
    night = drive(scenario)
    attrs = fake_night.ATTRS | {"name": scenario.name, "energy_residual": night.residual}
    dataset = results.label(*readings(night), attrs)
    for values, coords in (events(night), departures(night)):
        if values or coords:
            dataset = results.extend(dataset, values, coords)
    return dataset


def whole(scenario: Scenario, dataset: xr.Dataset) -> xr.Dataset:
    """The Dataset with its what-ifs and findings, as it is kept."""
    if cases := spill.what_if(scenario, dataset):
        dataset = results.extend(dataset, *spill.to_values(cases))
    return results.extend(dataset, *to_values(assess(scenario, dataset)))


def still(dataset: xr.Dataset, **values: float) -> xr.Dataset:
    """The Dataset with some of its variables the same all night."""
    changed: dict[str, Any] = {name: dataset[name] * 0.0 + value for name, value in values.items()}
    return dataset.assign(changed)


def seconds(dataset: xr.Dataset) -> np.ndarray:
    """Times of the Dataset [s]."""
    return np.asarray((dataset["time"].values - dataset["time"].values[0]) / np.timedelta64(1, "s"))
