"""Layers of solid matter and air gaps turned into nodes: one node at every face, capacity split half and half.

Solids that touch share the node between them. A layer that hardly resists (below NEGLECTED) is one node and
its resistance is left out: at most 2.1 % of the least resistance of a single skin, 0.17 m2 K/W between its
films, and no node is faster than the room's own air. Where something that melts shares a node, the node melts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from simtent.network.builder import Builder, Node
from simtent.network.melt import Melt
from simtent.scenario.layers import Layer

NEGLECTED = 0.0035  # m2 K/W


class Melting(NamedTuple):
    """How a slab melts.

    latent  heat that melts it all [J/m2]
    more    capacity of the molten above that of the frozen [J/(m2 K)]
    onset, rise  as of `Melt` [K]
    """

    latent: float
    more: float
    onset: float
    rise: float


class Slab(NamedTuple):
    """A solid layer: resistance [m2 K/W] (0: one node), capacity [J/(m2 K)], start temperatures of its faces [K].

    The capacity of one that melts is the frozen one.
    """

    resistance: float
    areal_capacity: float
    upper: float
    lower: float
    melting: Melting | None = None


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
    return Slab(resistance, layer.areal_capacity, start, start)


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


def add_slabs(
    net: Builder, slabs: Sequence[Slab], area: float, group: str, *, held: bool = False
) -> tuple[Node, ...]:
    """Add slabs that touch, over an area [m2]; return their face nodes in the given order.

    The last face is left out, with its half of the last slab's capacity, where something else holds its temperature.
    """
    faces: list[list[_Part]] = [[]]
    conductances = []
    for slab in slabs:
        if slab.resistance == 0.0:
            faces[-1].append(_part(slab, area, slab.upper))
            continue
        faces[-1].append(_part(slab, area / 2.0, slab.upper))
        faces.append([_part(slab, area / 2.0, slab.lower)])
        conductances.append(area / slab.resistance)
    nodes = tuple(_add_node(net, parts, group) for parts in (faces[:-1] if held else faces))
    for one, other, conductance in zip(nodes, nodes[1:], conductances, strict=False):
        net.link(one, other, conductance)
    return nodes


class _Part(NamedTuple):
    """What a slab has in a node: frozen capacity [J/K], start temperature [K], how it melts, by the node [J], [J/K]."""

    capacity: float
    start: float
    melting: Melting | None


def _part(slab: Slab, area: float, start: float) -> _Part:
    """An area's worth [m2] of a slab."""
    it = slab.melting
    melting = None if it is None else Melting(it.latent * area, it.more * area, it.onset, it.rise)
    return _Part(slab.areal_capacity * area, start, melting)


def _add_node(net: Builder, parts: Sequence[_Part], group: str) -> Node:
    """Add the node that parts share; its heat is theirs, also where a warm one melts some of another."""
    capacity = sum(part.capacity for part in parts)
    if not any(part.melting for part in parts):
        heat = sum(part.capacity * part.start for part in parts)
        return net.node(capacity, start=heat / capacity, group=group)
    melt = _melts(capacity, [part.melting for part in parts if part.melting])
    heat = sum(part.capacity * _state(part) for part in parts)
    return net.node(capacity, start=melt.temperature(heat / capacity), group=group, melt=melt)


def _melts(capacity: float, each: Sequence[Melting]) -> Melt:
    """How parts melt that share a node of a capacity [J/K]: as one, where they differ at a mean by latent heat."""
    latent = sum(it.latent for it in each)
    onset, rise = (
        sum(it.latent * value for it, value in zip(each, values, strict=True)) / latent
        for values in ([it.onset for it in each], [it.rise for it in each])
    )
    return Melt(onset, latent / capacity, rise, capacity / (capacity + sum(it.more for it in each)))


def _state(part: _Part) -> float:
    """Heat of a part over its capacity [K]."""
    if part.melting is None:
        return part.start
    return _melts(part.capacity, [part.melting]).state(part.start)
