"""Plane walls as chains of nodes and links, and how a linear network answers a swing, from its own right-hand side."""

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from simtent.network import Builder, network_rhs, tables
from simtent.network.arrays import Array


class Layer(NamedTuple):
    """Thickness [m], conductivity [W/(m K)], heat capacity [J/(m3 K)]."""

    thickness: float
    conductivity: float
    capacity: float

    @property
    def resistance(self) -> float:
        """[m2 K/W]"""
        return self.thickness / self.conductivity


def fine(net: Builder, layer: Layer, cells: int, start: float) -> list[int]:
    """A layer of equal cells, 1 m2, nodes on their faces: half a cell's capacity on each side of it."""
    share = layer.capacity * layer.thickness / cells
    nodes = [
        net.node(share * (0.5 if k in (0, cells) else 1.0), start=start, group="wall")
        for k in range(cells + 1)
    ]
    for one, other in pairwise(nodes):
        net.link(one, other, cells / layer.resistance)
    return nodes


def wall(
    net: Builder, layers: tuple[Layer, ...], cells: int, films: tuple[float, float], start: float
) -> tuple[list[tuple[int, float]], float]:
    """Cells in the middle of which their capacity stands, as (node, resistance before it); the last resistance.

    `films` are the resistances [m2 K/W] at the first and the last face, 1 m2.
    """
    nodes, before = [], films[0]
    for layer in layers:
        half = layer.resistance / cells / 2.0
        for _ in range(cells):
            node = net.node(layer.capacity * layer.thickness / cells, start=start, group="wall")
            nodes.append((node, before + half))
            before = half
    return nodes, before + films[1]


def between_airs(
    net: Builder,
    layers: tuple[Layer, ...],
    cells: int,
    films: tuple[float, float],
    airs: tuple[tables.Table, tables.Table],
    start: float,
) -> tuple[int, int]:
    """A wall between air inside and air outside; the paths by which heat comes in from the two."""
    inside, outside = (net.boundary(air) for air in airs)
    paths = net.path("from inside", crossing=True), net.path("from outside", crossing=True)
    nodes, last = wall(net, layers, cells, films, start)
    net.link(inside, nodes[0][0], 1.0 / nodes[0][1], paths[0])
    for (one, _), (other, resistance) in pairwise(nodes):
        net.link(one, other, 1.0 / resistance)
    net.link(outside, nodes[-1][0], 1.0 / last, paths[1])
    return paths


def swing(net: Builder, omega: float) -> Array:
    """What flows along each path [W, complex] while boundaries swing at omega [1/s] by what their tables say.

    The network is linear: its matrix is read column by column from its own right-hand side, which alone knows it.
    """
    arrays, start = net.freeze()
    n, rows = arrays.capacity.size, arrays.jumps.rows[0].copy()
    rest = np.zeros(start.size)
    still = network_rhs(0.0, rest, arrays, rows)
    columns = []
    for k in range(n):
        moved = rest.copy()
        moved[k] = 1.0
        columns.append(network_rhs(0.0, moved, arrays, rows) - still)
    matrix = np.array(columns).T
    nodes = np.linalg.solve(1j * omega * np.eye(n) - matrix[:n], still[:n])
    return still[n:] + matrix[n:] @ nodes


def sine(mean: float, amplitude: float, period: float, end: float, pieces: int = 96) -> tables.Table:
    """A table of cubics that swings as a sine does: value and slope right at each of a period's pieces."""
    starts = np.arange(0.0, end, period / pieces)
    omega, width = 2.0 * np.pi / period, period / pieces
    v0, v1 = (mean + amplitude * np.sin(omega * t) for t in (starts, starts + width))
    s0, s1 = (amplitude * omega * np.cos(omega * t) for t in (starts, starts + width))
    c2 = (3.0 * (v1 - v0) / width - 2.0 * s0 - s1) / width
    c3 = (2.0 * (v0 - v1) / width + s0 + s1) / width**2
    return tables.Table(starts, np.column_stack((v0, s0, c2, c3)))
