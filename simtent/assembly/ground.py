"""The floor: mat, cover and board over a column of ground, and the loss at its edge.

The column is one-dimensional, with cells that grow by a factor of two. It cannot know of the floor's edge, so a
link from the top of the ground to the outdoor air stands for it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from simtent.assembly.stack import Slab, add_slabs, slab
from simtent.network.builder import Builder, Node
from simtent.physics.grid import column_thicknesses
from simtent.physics.ground import edge_conductance
from simtent.scenario.layers import Layer
from simtent.scenario.shelter import FloorLayers

SHORTEST = 300.0  # s, the shortest time the column must answer well
CELLS = 8  # with RATIO deep enough for 24 h
RATIO = 2.0

FILMS = 0.17 + 0.04  # m2 K/W, inside (heat flow down) and outside, ISO 6946


@dataclass(frozen=True)
class Earth:
    """The ground: conductivity [W/(m K)], heat capacity [J/(m3 K)], emissivity [-], start temperature [K]."""

    conductivity: float
    heat_capacity: float
    emissivity: float
    start: float

    @property
    def diffusivity(self) -> float:
        """Thermal diffusivity [m2/s]."""
        return self.conductivity / self.heat_capacity

    def column(self) -> list[Slab]:
        """Cells of the column from the surface down."""
        thicknesses = column_thicknesses(self.diffusivity, SHORTEST, CELLS, RATIO)
        return [Slab(d / self.conductivity, d * self.heat_capacity, self.start) for d in thicknesses]


@dataclass(frozen=True)
class Floor:
    """One part of the floor.

    area         [m2]
    emissivity   of its upper face [-]
    top          node of its upper face
    ground_top   node at the top of the ground
    layers       what lies on the ground, from the top down
    """

    area: float
    emissivity: float
    top: Node
    ground_top: Node
    layers: tuple[Layer, ...]


def build_floor(net: Builder, layers: Sequence[Layer], earth: Earth, area: float, start: float) -> Floor:
    """Add a part of the floor: layers from the top down at a start temperature [K], over the ground."""
    cells = earth.column()
    nodes = add_slabs(net, [*(slab(layer, start) for layer in layers), *cells], area, "ground")
    emissivity = layers[0].emissivity_in if layers else earth.emissivity
    return Floor(area, emissivity, nodes[0], nodes[-1 - len(cells)], tuple(layers))


def build_floors(net: Builder, floor: FloorLayers, earth: Earth, area: float, start: float) -> list[Floor]:
    """Add the whole floor: one part, or two where a mat covers only some of it."""
    below = [layer for layer in (floor.cover, floor.board) if layer is not None]
    if floor.mat is None:
        return [build_floor(net, below, earth, area, start)]
    covered = area if floor.mat_area is None else floor.mat_area
    parts = [build_floor(net, [floor.mat, *below], earth, covered, start)]
    if covered < area:
        parts.append(build_floor(net, below, earth, area - covered, start))
    return parts


def add_edge(
    net: Builder, outdoors: Node, path: int, floors: Sequence[Floor], earth: Earth, perimeter: float
) -> None:
    """Join the top of the ground to the outdoor air by the edge's loss over the perimeter [m]."""
    whole = sum(floor.area for floor in floors)
    for floor in floors:
        resistance = FILMS + sum(layer.resistance for layer in floor.layers)
        edge = edge_conductance(earth.conductivity, earth.diffusivity, net.end, resistance)
        net.link(outdoors, floor.ground_top, edge * perimeter * floor.area / whole, path)
