"""Vapour and water of a solved night, as values of its Dataset."""

import numpy as np
from numpy.typing import ArrayLike

from simtent.assembly.house import House
from simtent.network.arrays import Array
from simtent.physics.constants import ICE_POINT
from simtent.physics.moist import dew_or_frost_point, vapour_pressure
from simtent.readings import Group
from simtent.run import Run


def dampness(night: Run) -> Group:
    """What the group "damp" holds; nothing where a night counts no vapour."""
    house, damp = night.model.house, night.model.shelter.damp
    if house is None or damp.mass.size == 0:
        return {}, {}
    states, layers = night.solution.states, damp.mass.size
    ratio = states[:, damp.first : damp.first + layers] / damp.mass
    ice, liquid, area = on_faces(night, house)
    accounts = water_accounts(night)
    values: dict[str, ArrayLike] = {
        "humidity_ratio": np.maximum(ratio, 0.0),
        "dew_point": dew_points(ratio, night.model.shelter.weather.pressure) - ICE_POINT,
        "frost": np.maximum(ice, 0.0) / area,
        "condensate": np.maximum(liquid, 0.0) / area,
        "surface_area": area,
        "water": np.column_stack(list(accounts.values())),
        "dripped": states[:, damp.dripped],
    }
    return values, {"water_account": list(accounts)}


def dew_points(ratio: Array, pressure: float) -> Array:
    """Dew points of humidity ratios [kg/kg], frost points below 0 degC [K]."""
    return np.asarray(
        np.vectorize(lambda it: dew_or_frost_point(vapour_pressure(it, pressure)), otypes=[float])(ratio)
    )


def water_accounts(night: Run) -> dict[str, Array]:
    """Water by account at every time [kg]: what came, went and was given off since the beginning, what was stored."""
    damp, states = night.model.shelter.damp, night.solution.states
    faces, floors = damp.below.size, len(_house(night).floors)
    held = {
        "air": _sum(states, damp.first, damp.mass.size),
        "skin": _sum(states, damp.ice, faces - floors) + _sum(states, damp.liquid, faces - floors),
        "floor": _sum(states, damp.ice + faces - floors, floors)
        + _sum(states, damp.liquid + faces - floors, floors),
        "gear": _sum(states, damp.wet, damp.wet_layer.size),
        "bag": states[:, damp.bag],
    }
    moved = {
        "entered": states[:, damp.entered],
        "left": -states[:, damp.left],
        "sleepers": states[:, damp.sleepers],
    }
    return moved | {f"stored_{name}": it - it[0] for name, it in held.items()}


def on_faces(night: Run, house: House) -> tuple[Array, Array, Array]:
    """Ice and liquid [kg] on every surface of the Dataset at every time, and the surface's area [m2].

    Outer faces have none, and the area of their strip.
    """
    damp, states, films = night.model.shelter.damp, night.solution.states, night.model.shelter.films
    strips, faces = len(house.strips), damp.below.size
    skin, floors = np.arange(strips), np.arange(strips, faces)
    order = np.concatenate((skin, skin, floors))
    inner = np.concatenate((np.ones(strips), np.zeros(strips), np.ones(floors.size)))
    return (
        states[:, damp.ice + order] * inner,
        states[:, damp.liquid + order] * inner,
        np.asarray(films.area[order]),
    )


def _sum(states: Array, first: int, count: int) -> Array:
    return np.asarray(states[:, first : first + count].sum(axis=1))


def _house(night: Run) -> House:
    assert night.model.house is not None
    return night.model.house
