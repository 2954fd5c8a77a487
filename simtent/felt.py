"""Felt (operative) temperature at any height: the air there, and the radiation of all that a body sees from there.

The body is small and alike on all sides; it stands on the shelter's axis, and as far from the stove as the bed does.
Each face shines by its own temperature, and of what the middle of the room gives it reflects the rest. Sunshine onto
people is left out.
"""

from collections.abc import Sequence

import numpy as np

from simtent.network.arrays import Array
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.seen import point_irradiance
from simtent.run import Run
from simtent.views import USUAL_DISTANCE, seen_from


def air_at(night: Run, heights: Sequence[float]) -> Array:
    """Air temperature at heights [m], straight between the layers' centres, shape (times, heights) [K]."""
    if night.model.house is None:
        raise ValueError("a stove in the open has no levels")
    centres, air = night.model.house.bands.centres, night.air
    below = np.clip(np.searchsorted(centres, heights, side="right") - 1, 0, centres.size - 2)
    slopes = (air[:, below + 1] - air[:, below]) / (centres[below + 1] - centres[below])
    return np.asarray(air[:, below] + slopes * (np.clip(heights, centres[0], centres[-1]) - centres[below]))


def felt_at(night: Run, heights: Sequence[float], radiant: Array) -> Array:
    """Felt temperature at heights [m], given what a known source radiates at every time [W].

    Returns shape (times, heights) [K]: the mean of air and mean radiant temperature, as ISO 7726 and ASHRAE 55 have
    it in still air (below 0.2 m/s).
    """
    return 0.5 * (air_at(night, heights) + radiant_at(night, heights, radiant))


def radiant_at(night: Run, heights: Sequence[float], radiant: Array) -> Array:
    """Mean radiant temperature at heights [m], given what a known source radiates [W]; shape (times, heights) [K]."""
    powers = night.temperatures**4
    middle = _middle(night, powers, radiant)
    columns = []
    for height in heights:
        faces = list(seen_from(night.model, height))
        own = np.array([face.share * face.emissivity for face in faces])
        reflected = sum(face.share * (1.0 - face.emissivity) for face in faces)
        met = powers[:, [face.node for face in faces]] @ own + reflected * middle
        columns.append((met + _of_source(night, height) * radiant / STEFAN_BOLTZMANN) ** 0.25)
    return np.column_stack(columns)


def _middle(night: Run, powers: Array, radiant: Array) -> Array:
    """Fourth power of the temperature of the middle of all that radiates inside, at every time [K4]."""
    star = night.model.shelter.star
    return np.asarray((powers[:, star.node] @ star.area + radiant / STEFAN_BOLTZMANN) / star.area.sum())


def _of_source(night: Run, height: float) -> float:
    """Mean irradiance of a body at a height [m] by a watt that a known source radiates [1/m2]."""
    heat = night.scenario.heat
    if heat is None:
        return 0.0
    rise = 0.5 * (heat.from_height + heat.to_height) - height
    return point_irradiance(1.0, float(np.hypot(USUAL_DISTANCE, rise)))
