"""Fresh air of a night against what its sleepers breathe out, and openings against a published rule for houses."""

from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import Curve, Floats, seconds_of
from simtent.physics.air import air_density, standard_pressure
from simtent.scenario.scenario import Scenario

ZERO_CELSIUS = 273.15
DIOXIDE_EACH = (
    12e-3 / 3600.0
)  # m3/s, one sleeper, 12 l/h; closed form of Persily and de Jonge 2017, from memory
OUTDOORS = 420.0  # ppm of carbon dioxide
OPENING = 550e-6  # m2 for a kilowatt of fuel, each of two openings; International Residential Code M1703


@dataclass(frozen=True, slots=True)
class Air:
    """The least fresh air of a night.

    moment  [s]
    flow    [m3/h] at the temperature of the outdoor air
    settled carbon dioxide that so much fresh air leaves at last [ppm]; infinite without any
    """

    moment: float
    flow: float
    settled: float


def fresh_air(scenario: Scenario, dataset: xr.Dataset) -> Curve:
    """Outdoor air that enters [m3/h], at its own temperature."""
    pressure = standard_pressure(scenario.site.altitude)
    density = [air_density(t + ZERO_CELSIUS, pressure) for t in dataset["outdoor_temperature"].values]
    flow: Floats = 3600.0 * dataset["leakage_flow"].values / np.array(density)
    return Curve(seconds_of(dataset), flow)


def needed(sleepers: int, limit: float) -> float:
    """Fresh air that keeps carbon dioxide at a limit [ppm] at last, [m3/h]."""
    return 3600.0 * sleepers * DIOXIDE_EACH / (1e-6 * (limit - OUTDOORS))


def least_air(scenario: Scenario, dataset: xr.Dataset) -> Air:
    """The moment with the least fresh air."""
    moment, flow = fresh_air(scenario, dataset).lowest()
    given = 3600.0 * scenario.crew.asleep * DIOXIDE_EACH
    return Air(moment, flow, OUTDOORS + 1e6 * given / flow if flow > 0.0 else np.inf)


def opening_for(watts: float) -> float:
    """Area of each of two openings to the outdoors, low and high, for a fuel input [W], in [m2]."""
    return OPENING * watts / 1000.0
