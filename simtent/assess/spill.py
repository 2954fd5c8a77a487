"""What if a share of the flue's carbon monoxide came into the shelter: concentrations, blood, alarms. No forecast."""

from dataclasses import dataclass

import numpy as np
import xarray as xr
from numpy.typing import ArrayLike

from simtent.assess.alarms import Pattern, Sounding, sounding
from simtent.assess.curves import Curve, Floats
from simtent.assess.emitted import emitted
from simtent.assess.tracer import Air, air_of, carried
from simtent.physics.air import standard_pressure
from simtent.physics.emission import parts_per_million
from simtent.physics.uptake import (
    OXYGEN_DROP,
    OXYGEN_IN_AIR,
    REST,
    SEA_LEVEL,
    WATER_VAPOUR,
    carried_after,
    uptake_rates,
)
from simtent.scenario.scenario import Scenario

BEFORE = 0.0075  # of the blood's haemoglobin, before the night; a non-smoker's
STANDARD_PRESSURE = 101325.0  # Pa
MOST = 0.9  # of what would leave the blood no oxygen at all; beyond it the law of its oxygen means nothing


@dataclass(frozen=True, slots=True)
class WhatIf:
    """One share of the flue's carbon monoxide that comes into the layer of the firebox.

    share    [-]
    ppm      in every layer, shape (times, layers)
    asleep   at the cot's height, shape (times,) [ppm]
    blood    share of the haemoglobin of somebody who lies on the cot all night, at rest, shape (times,) [-]
    """

    share: float
    seconds: Floats
    ppm: Floats
    asleep: Floats
    blood: Floats

    def alarm(self, pattern: Pattern) -> Sounding:
        """When an alarm that hangs anywhere inside sounds: the earliest and the latest over all heights."""
        earliest = sounding(pattern, Curve(self.seconds, self.ppm.max(axis=1))).earliest
        return Sounding(earliest, sounding(pattern, Curve(self.seconds, self.ppm.min(axis=1))).latest)


def what_if(scenario: Scenario, dataset: xr.Dataset) -> tuple[WhatIf, ...]:
    """The cases that are asked about a night with a fire in a shelter; none without either."""
    if scenario.wood is None or scenario.stove is None or "layer_mass" not in dataset:
        return ()
    air, whole = air_of(dataset), emitted(scenario, dataset).monoxide
    given = np.zeros((whole.size, dataset.sizes["height"]))
    given[:, _firebox_layer(scenario, dataset)] = whole / np.diff(air.seconds)
    all_of_it = parts_per_million(1.0) * carried(air, given)
    return tuple(_case(scenario, dataset, air, share, share * all_of_it) for share in scenario.what_if.spill)


def _firebox_layer(scenario: Scenario, dataset: xr.Dataset) -> int:
    assert scenario.stove is not None
    middle = scenario.stove.legs + 0.5 * scenario.stove.firebox.height
    return int(np.searchsorted(dataset["interface"].values, middle))


def _case(scenario: Scenario, dataset: xr.Dataset, air: Air, share: float, ppm: Floats) -> WhatIf:
    heights = dataset["height"].values
    asleep = np.array([np.interp(scenario.levels["cot"], heights, row) for row in ppm])
    return WhatIf(share, air.seconds, ppm, asleep, blood(air.seconds, asleep, mercury(scenario)))


def mercury(scenario: Scenario) -> float:
    """Pressure of the air at the site's altitude [mmHg]."""
    return SEA_LEVEL * standard_pressure(scenario.site.altitude) / STANDARD_PRESSURE


def blood_after(scenario: Scenario, ppm: float, hours: float) -> float:
    """Share of the haemoglobin that carries carbon monoxide after hours at rest in one air [-]."""
    pressure = mercury(scenario)
    return carried_after(
        BEFORE, uptake_rates(REST, min(1e-6 * ppm, most_breathed(pressure)), pressure), 60.0 * hours
    )


def most_breathed(pressure: float) -> float:
    """Share of carbon monoxide in the air up to which the blood's law is taken, at a pressure of the air [mmHg]."""
    return MOST * (1.0 - OXYGEN_DROP / (OXYGEN_IN_AIR * (pressure - WATER_VAPOUR)))


def blood(seconds: Floats, ppm: Floats, pressure: float, before: float = BEFORE) -> Floats:
    """Share of the haemoglobin that carries carbon monoxide at each time, at rest.

    Parameters
    ----------
    seconds : array
        Times [s].
    ppm : array
        Concentration breathed in at each time; between two of them their mean [ppm].
    pressure : float
        Pressure of the air [mmHg].
    before : float
        Share at the first time [-].
    """
    found = [before]
    between = np.minimum(0.5e-6 * (ppm[1:] + ppm[:-1]), most_breathed(pressure))
    for share, step in zip(between, np.diff(seconds), strict=True):
        found.append(carried_after(found[-1], uptake_rates(REST, float(share), pressure), float(step) / 60.0))
    return np.array(found)


def to_values(cases: tuple[WhatIf, ...]) -> tuple[dict[str, ArrayLike], dict[str, ArrayLike]]:
    """Values and coords for `results.extend`; nothing where nothing is asked."""
    if not cases:
        return {}, {}
    values: dict[str, ArrayLike] = {
        "what_if_carbon_monoxide": np.array([case.ppm for case in cases]),
        "what_if_carboxyhaemoglobin": np.array([case.blood for case in cases]),
    }
    return values, {"spilt": [case.share for case in cases]}
