"""What a night's fire gives off between two times of its Dataset: gas of the wood, burnt coals, carbon monoxide."""

from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import Floats, seconds_of
from simtent.physics.emission import FROM_COALS, from_flames
from simtent.physics.wood import CHAR_SHARE, gas_heat
from simtent.scenario.scenario import Scenario

LITTLE = 1e-9  # kg


@dataclass(frozen=True, slots=True)
class Emitted:
    """What left the fire between two times, shape (times - 1,) each.

    gas     of the wood, dry [kg]
    coals   burnt [kg]
    burnt   share of the gas' heat that was set free [-]
    monoxide  carbon monoxide [kg]
    """

    gas: Floats
    coals: Floats
    burnt: Floats
    monoxide: Floats


def emitted(scenario: Scenario, dataset: xr.Dataset) -> Emitted:
    """What the fire of a night gave off; the dry wood that went, less its coals, is its gas."""
    assert scenario.wood is not None
    stages = {stage: dataset["fuel_mass"].sel(fuel_stage=stage).values for stage in ("dry_wood", "coals")}
    gone = np.maximum(_put_on(scenario, dataset) - np.diff(stages["dry_wood"]), 0.0)
    gas = (1.0 - CHAR_SHARE) * gone
    coals = np.maximum(CHAR_SHARE * gone - np.diff(stages["coals"]), 0.0)
    heat = gas * gas_heat(scenario.wood.species.heating_value, CHAR_SHARE)
    unburnt = np.maximum(-np.diff(dataset["energy"].sel(account="unburnt").values), 0.0)
    burnt = 1.0 - np.minimum(unburnt / np.maximum(heat, LITTLE), 1.0)
    flames = np.array([from_flames(float(share)) for share in burnt])
    return Emitted(gas, coals, burnt, gas * flames + coals * FROM_COALS)


def _put_on(scenario: Scenario, dataset: xr.Dataset) -> Floats:
    """Dry wood put on between two times [kg]; a load at a time itself is there at that time."""
    assert scenario.wood is not None
    found = np.zeros(dataset.sizes["time"] - 1)
    if "event_mass" not in dataset:
        return found
    seconds, moments = seconds_of(dataset), seconds_of(dataset, dataset["event_time"].values)
    between = np.searchsorted(seconds, moments, side="left") - 1
    np.add.at(found, np.maximum(between, 0), dataset["event_mass"].values * (1.0 - scenario.wood.moisture))
    if moments.size and seconds[0] in moments:  # on the fire at the first time already
        found[0] -= float(dataset["event_mass"].values[moments == seconds[0]].sum()) * (
            1.0 - scenario.wood.moisture
        )
    return found
