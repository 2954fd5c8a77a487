"""What is in the room: layers of air, beds and gear."""

from collections.abc import Sequence

import numpy as np

from simtent.assembly.shape import Bands
from simtent.network.arrays import Array
from simtent.network.builder import Builder, Node
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.scenario.fabric import Contents

CONTENTS_HEAT = 1500.0  # J/(kg K), between textiles (1300) and wood or food (1600 to 2500); from memory
CONTENTS_FILM = 1.0 / 0.13  # W/(m2 K), convection and radiation: inside surface resistance of ISO 6946


def build_air(net: Builder, bands: Bands, pressure: float, start: float) -> list[Node]:
    """Add the layers of air. Their mass stays what it is at the start temperature [K]."""
    heat = air_density(start, pressure) * CP_AIR
    return [net.node(heat * float(volume), start=start, group="air") for volume in bands.volume]


def build_contents(
    net: Builder, contents: Contents, bands: Bands, layers: Sequence[Node], start: float, path: int
) -> None:
    """Add beds and gear, joined to the layers below their height by how much of it each fills."""
    if contents.mass == 0.0:
        return
    node = net.node(contents.mass * CONTENTS_HEAT, start=start, group="contents")
    film = CONTENTS_FILM * contents.area
    for layer, share in zip(layers, shares(bands, 0.0, contents.height), strict=True):
        if share > 0.0:
            net.link(node, layer, film * float(share), path)


def within(bands: Bands, low: float, high: float) -> Array:
    """How much of a span of height lies in each layer [m]."""
    overlap = np.minimum(bands.edges[1:], high) - np.maximum(bands.edges[:-1], low)
    return np.asarray(np.maximum(overlap, 0.0))


def shares(bands: Bands, low: float, high: float) -> Array:
    """Share of a span of height [m] that lies in each layer."""
    overlap = within(bands, low, high)
    return np.asarray(overlap / overlap.sum())
