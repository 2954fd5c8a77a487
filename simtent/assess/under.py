"""How deep a hot stove melts into snow or ice under its legs in a night."""

from dataclasses import dataclass

import numpy as np
import xarray as xr

from simtent.assess.curves import seconds_of
from simtent.physics.constants import ICE_POINT, STEFAN_BOLTZMANN
from simtent.physics.facing import face_factor
from simtent.physics.ground import FUSION
from simtent.scenario.materials import ground
from simtent.scenario.scenario import Scenario

ABSORBED = 0.98  # of the radiation, by snow and ice; from memory
PASSED = {"nothing": 1.0, "board": 0.3, "board and sheet metal": 0.1}  # of the heat from above; an assumption
LEAST_LEGS = 0.01  # m


@dataclass(frozen=True, slots=True)
class Melt:
    """How far the surface straight under the stove sinks, and where it is told from.

    depth  [m], if all the water runs off and no heat goes into colder snow: too much rather than too little
    on     name of the ground
    """

    depth: float
    on: str


def melted_under(scenario: Scenario, dataset: xr.Dataset) -> Melt | None:
    """How deep a night's fire melts what its stove stands on; None where nothing can melt, or without a stove."""
    stove, name = scenario.stove, scenario.site.ground
    if stove is None or name is None or "stove_temperature" not in dataset:
        return None
    matter = ground(name, scenario.site.snow_density)
    if not (matter.snow or "ice" in name):
        return None
    box = stove.firebox
    seen = face_factor(box.length, box.width, max(stove.legs, LEAST_LEGS))
    hot = dataset["stove_temperature"].values + ICE_POINT
    shone = ABSORBED * stove.emissivity * STEFAN_BOLTZMANN * seen * (hot**4 - ICE_POINT**4)
    heat = float(np.trapezoid(np.maximum(shone, 0.0), seconds_of(dataset)))
    return Melt(PASSED[stove.under] * heat / (matter.density * FUSION), name)
