"""Layers of solid matter and air gaps turned into nodes: one node at every face, capacity split half and half.

Solids that touch share the node between them. A layer that hardly resists (below NEGLECTED) is one node and
its resistance is left out: at most 2.1 % of the least resistance of a single skin, 0.17 m2 K/W between its
films, and no node is faster than the room's own air.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from simtent.network.builder import Builder, Node
from simtent.scenario.layers import Layer

NEGLECTED = 0.0035  # m2 K/W


class Slab(NamedTuple):
    """A solid layer: resistance [m2 K/W] (0: one node), capacity [J/(m2 K)], start temperature [K]."""

    resistance: float
    areal_capacity: float
    start: float


@dataclass(frozen=True)
class Gap:
    """An air gap between the faces of two solids.

    inner, outer   the nodes of its faces
    thickness      [m]
    emissivities   of the inner skin's outer face and of the outer skin's inner face [-]
    """

    inner: Node
    outer: Node
    thickness: float
    emissivities: tuple[float, float]


@dataclass(frozen=True)
class Stack:
    """Nodes of a stack of layers: its innermost and outermost face, and its gaps."""

    inner: Node
    outer: Node
    gaps: tuple[Gap, ...]


def slab(layer: Layer, start: float) -> Slab:
    """Turn a solid layer into a slab, all of it at the start temperature [K]."""
    resistance = layer.resistance if layer.resistance >= NEGLECTED else 0.0
    return Slab(resistance, layer.areal_capacity, start)


def build_stack(net: Builder, layers: Sequence[Layer], area: float, start: float, group: str) -> Stack:
    """Add layers, given from the inside out, over an area [m2], all at the start temperature [K]."""
    runs: list[list[Layer]] = [[]]
    airspaces: list[Layer] = []
    for layer in layers:
        if layer.kind == "gap":
            airspaces.append(layer)
            runs.append([])
        else:
            runs[-1].append(layer)
    faces = [add_slabs(net, [slab(layer, start) for layer in run], area, group) for run in runs]
    gaps = tuple(
        Gap(
            faces[k][-1],
            faces[k + 1][0],
            gap.thickness,
            (runs[k][-1].emissivity_out, runs[k + 1][0].emissivity_in),
        )
        for k, gap in enumerate(airspaces)
    )
    return Stack(faces[0][0], faces[-1][-1], gaps)


def add_slabs(net: Builder, slabs: Sequence[Slab], area: float, group: str) -> tuple[Node, ...]:
    """Add slabs that touch, over an area [m2]; return their face nodes in the given order."""
    capacities, heats, conductances = [0.0], [0.0], []
    for resistance, areal_capacity, start in slabs:
        capacity = areal_capacity * area
        if resistance == 0.0:
            capacities[-1] += capacity
            heats[-1] += capacity * start
            continue
        capacities[-1] += capacity / 2.0
        heats[-1] += capacity / 2.0 * start
        capacities.append(capacity / 2.0)
        heats.append(capacity / 2.0 * start)
        conductances.append(area / resistance)
    nodes = tuple(
        net.node(capacity, start=heat / capacity, group=group)
        for capacity, heat in zip(capacities, heats, strict=True)
    )
    for one, other, conductance in zip(nodes, nodes[1:], conductances, strict=False):
        net.link(one, other, conductance)
    return nodes
