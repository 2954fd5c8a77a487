"""The floor: mat, cover and board over a column of ground, or over open air; and the loss at its edge.

The column cannot know of the floor's edge, so a link from the top of the ground to the outdoor air stands for it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simtent.assembly.earth import Earth
from simtent.assembly.stack import add_slabs, slab
from simtent.network import tables
from simtent.network.builder import Builder, Node
from simtent.physics.constants import ICE_POINT
from simtent.scenario.fabric import FloorLayers
from simtent.scenario.layers import Layer

FILMS = 0.17 + 0.04  # m2 K/W, inside (heat flow down) and outside, ISO 6946
UNDERSIDE = 0.17  # m2 K/W, a face down to a well ventilated layer of air: as inside; ISO 6946, from memory


@dataclass(frozen=True)
class Floor:
    """One part of the floor.

    area         [m2]
    emissivity   of its upper face [-]
    top          node of its upper face
    ground_top   node at the top of the ground; None where it stands above open air
    bottom       lowest node
    beyond       conductance from there to the water or open air below [W/K]; 0 on other ground
    layers       what lies on the ground, from the top down
    """

    area: float
    emissivity: float
    top: Node
    ground_top: Node | None
    bottom: Node
    beyond: float
    layers: tuple[Layer, ...]


def build_floor(
    net: Builder, layers: Sequence[Layer], earth: Earth | None, area: float, start: float
) -> Floor:
    """Add a part of the floor: layers from the top down at a start temperature [K], over the ground or open air."""
    slabs = [slab(layer, start) for layer in layers]
    if earth is None:
        nodes = add_slabs(net, slabs, area, "ground")
        return Floor(
            area, layers[0].emissivity_in, nodes[0], None, nodes[-1], area / UNDERSIDE, tuple(layers)
        )
    emissivity = layers[0].emissivity_in if layers else earth.emissivity
    cells = earth.column()
    nodes = add_slabs(net, [*slabs, *cells], area, "ground", held=earth.over_water)
    top = nodes[len(nodes) + earth.over_water - 1 - len(cells)]
    beyond = area / cells[-1].resistance if earth.over_water else 0.0
    return Floor(area, emissivity, nodes[0], top, nodes[-1], beyond, tuple(layers))


def build_floors(
    net: Builder, floor: FloorLayers, earth: Earth | None, area: float, start: float
) -> list[Floor]:
    """Add the whole floor: one part, or two where a mat covers only some of it."""
    below = [layer for layer in (floor.cover, floor.board) if layer is not None]
    if floor.mat is None:
        return [build_floor(net, below, earth, area, start)]
    covered = area if floor.mat_area is None else floor.mat_area
    parts = [build_floor(net, [floor.mat, *below], earth, covered, start)]
    if covered < area:
        parts.append(build_floor(net, below, earth, area - covered, start))
    return parts


def ground_paths(earth: Earth | None) -> dict[str, bool]:
    """Paths by which the floor exchanges heat with what lies around and below; all bring it in from outside."""
    if earth is None:
        return {"floor_outside": True}
    return {"ground_edge": True} | ({"water_below": True} if earth.over_water else {})


def join_ground(
    net: Builder,
    outdoors: Node,
    paths: Mapping[str, int],
    floors: Sequence[Floor],
    earth: Earth | None,
    perimeter: float,
) -> None:
    """Join the floor to what lies around it over the perimeter [m], and to water or open air below."""
    if earth is None:
        for floor in floors:
            net.link(outdoors, floor.bottom, floor.beyond, paths["floor_outside"])
        return
    _add_edge(net, outdoors, paths["ground_edge"], floors, earth, perimeter)
    if earth.over_water:
        water = net.boundary(tables.constant(ICE_POINT))
        for floor in floors:
            net.link(water, floor.bottom, floor.beyond, paths["water_below"])


def _add_edge(
    net: Builder, outdoors: Node, path: int, floors: Sequence[Floor], earth: Earth, perimeter: float
) -> None:
    """Join the top of the ground to the outdoor air by the edge's loss over the perimeter [m]."""
    whole = sum(floor.area for floor in floors)
    for floor in floors:
        assert floor.ground_top is not None  # it lies on ground
        resistance = FILMS + sum(layer.resistance for layer in floor.layers)
        edge = earth.edge(net.end, resistance)
        net.link(outdoors, floor.ground_top, edge * perimeter * floor.area / whole, path)
