"""What the shelter's right-hand side needs besides the plain network: arrays and numbers only.

All temperatures stand in one vector: nodes, then the boundaries outdoors and sky. Air layers are the first
nodes, from the floor up.
"""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from simtent.network.arrays import Array, Indices, Network


class Films(NamedTuple):
    """Convection between surfaces and the air of their layer."""

    air: Indices
    node: Indices
    area: Array  # m2
    tilt: Array  # cosine between the normal into the room and straight up
    path: Indices


class OuterFaces(NamedTuple):
    """Outer faces, to the outdoor air, the sky and the surroundings."""

    node: Indices
    area: Array  # m2
    sky_share: Array  # share of the sky in what the face sees
    emissivity: Array
    path_air: int
    path_sky: int


class Gaps(NamedTuple):
    """Air gaps between two skins."""

    inner: Indices
    outer: Indices
    area: Array  # m2
    thickness: Array  # m
    tilt: Array  # of the inner face, as in Films
    emissivity: Array  # of the pair of faces


class Mixing(NamedTuple):
    """Mixing of layer k with layer k + 1."""

    area: Array  # m2, of the section between them
    distance: Array  # m, between their centres
    factor: float


class Star(NamedTuple):
    """Exchange by radiation inside, through one middle that also takes the source's radiant share."""

    node: Indices
    area: Array  # m2, the weight of each surface
    table: int  # of the source's power
    share: float  # of that power which is radiant
    path: int


class Leaks(NamedTuple):
    """Leakage: outdoor air that replaces room air."""

    area: float  # m2 at 4 Pa
    height: float  # m, of the shelter
    share: Array  # of each layer, by its skin
    volume: Array  # of each layer, as a share of the room
    path: int


class Weather(NamedTuple):
    """Places of outdoor air and sky in the vector of temperatures, and tables of the rest."""

    outdoors: int
    sky: int
    wind: int
    humidity: int
    cloud: int
    pressure: float  # Pa
    density_ratio: float  # over that at sea level


class Shelter(NamedTuple):
    """A shelter as numbers."""

    net: Network
    weather: Weather
    films: Films
    outer: OuterFaces
    gaps: Gaps
    mixing: Mixing
    star: Star
    leaks: Leaks


def indices(values: Iterable[int]) -> Indices:
    """Whole numbers as an array."""
    return np.array(list(values), np.int64)


def floats(values: Iterable[float]) -> Array:
    """Real numbers as an array."""
    return np.array(list(values), np.float64)
