"""What is in the room: layers of air, beds and gear, the heat source, the sleepers."""

from collections.abc import Sequence

import numpy as np

from simtent.assembly.drivers import release
from simtent.assembly.parameters import Mixing, floats
from simtent.assembly.shape import Bands
from simtent.network import tables
from simtent.network.arrays import Array
from simtent.network.builder import Builder, Node
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.scenario.heat import Heat
from simtent.scenario.scenario import Scenario
from simtent.scenario.shelter import Contents

CONTENTS_HEAT = 1500.0  # J/(kg K), between textiles (1300) and wood or food (1600 to 2500); from memory
CONTENTS_FILM = 1.0 / 0.13  # W/(m2 K), convection and radiation: inside surface resistance of ISO 6946


def build_air(net: Builder, bands: Bands, pressure: float, start: float) -> list[Node]:
    """Add the layers of air. Their mass stays what it is at the start temperature [K]."""
    heat = air_density(start, pressure) * CP_AIR
    return [net.node(heat * float(volume), start=start, group="air") for volume in bands.volume]


def mixing(bands: Bands, factor: float) -> Mixing:
    """Mixing between neighbouring layers."""
    return Mixing(floats(bands.section), np.diff(bands.centres), factor)


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


def build_source(
    net: Builder, heat: Heat, factor: float, bands: Bands, layers: Sequence[Node], path: int
) -> int:
    """Add the convective heat of the source over its span of height; return the table of its power."""
    table = net.table(release(heat.track(), factor))
    convective = 1.0 - heat.radiant_share
    _spread(net, layers, convective * shares(bands, heat.from_height, heat.to_height), table, path)
    return table


def build_people(net: Builder, scenario: Scenario, bands: Bands, layers: Sequence[Node], path: int) -> None:
    """Add the sleepers' warmth, given to the air below the cot's height."""
    crew = scenario.crew
    if crew.asleep:
        table = net.table(tables.constant(crew.asleep * crew.heat_each))
        _spread(net, layers, shares(bands, 0.0, scenario.levels["cot"]), table, path)


def shares(bands: Bands, low: float, high: float) -> Array:
    """Share of a span of height [m] that lies in each layer."""
    overlap = np.minimum(bands.edges[1:], high) - np.maximum(bands.edges[:-1], low)
    overlap = np.maximum(overlap, 0.0)
    return np.asarray(overlap / overlap.sum())


def _spread(net: Builder, layers: Sequence[Node], parts: Array, table: int, path: int) -> None:
    for layer, share in zip(layers, parts, strict=True):
        if share > 0.0:
            net.source(layer, table, float(share), path)
