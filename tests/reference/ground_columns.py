"""Columns of ground as simtent assembles and solves them, a square metre each, driven at their surface."""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

import numpy as np

from simtent.assembly.earth import Earth, Stratum
from simtent.assembly.ground import build_floor
from simtent.assembly.stack import add_slabs
from simtent.network import Builder, tables
from tests.network.plain import run

HELD = 1e4  # W/(m2 K), so much more than ground lets through: of 8 hours' heat 0.09 % is missing
STEP = 20.0  # K


class Answer(NamedTuple):
    """What a column answers to a step of 1 K: at each time, and at each depth [m]."""

    depths: np.ndarray
    temperatures: np.ndarray  # [times, nodes] -
    flux: np.ndarray  # W/(m2 K)
    heat: np.ndarray  # J/(m2 K)


def column(
    net: Builder, conductivity: float, capacity: float, cells: Sequence[float] | None = None
) -> np.ndarray:
    """Add a column, simtent's own or one of cells given [m]; the depths of its nodes [m]."""
    matter = Stratum(conductivity, capacity, inf)
    if cells is None:
        earth = Earth((matter,), 0.95, (0.0,), (273.15,))
        build_floor(net, [], earth, 1.0, 273.15)
        cells = [slab.resistance * conductivity for slab in earth.column()]
    else:
        add_slabs(net, [matter.slab(cell, 273.15, 273.15) for cell in cells], 1.0, "ground")
    return np.append(0.0, np.cumsum(cells))


def stepped(
    conductivity: float,
    capacity: float,
    film: float | None,
    times: Sequence[float],
    cells: Sequence[float] | None = None,
) -> Answer:
    """A step of the surface, or of the air behind a film [W/(m2 K)], at times [s] above 0, by simtent's solver."""
    net = Builder(end=times[-1])
    depths = column(net, conductivity, capacity, cells)
    inward = net.path("in", crossing=True)
    net.link(net.boundary(tables.constant(273.15 + STEP)), 0, HELD if film is None else film, inward)
    answer = run(net, [0.0, *times])
    nodes = len(net.capacities)
    return Answer(
        depths,
        (answer.states[1:, :nodes] - 273.15) / STEP,
        answer.rates[1:, inward] / STEP,
        answer.states[1:, nodes + inward] / STEP,
    )


def swung(conductivity: float, capacity: float, period: float) -> tuple[np.ndarray, np.ndarray, complex]:
    """Depths [m], complex temperatures over the surface's, admittance [W/(m2 K)] of simtent's column in a steady wave.

    Capacities and links are simtent's; the wave through them is plain algebra, the solver has no part in it.
    """
    net = Builder(end=1.0)
    depths = column(net, conductivity, capacity)
    net.path("none", crossing=True)
    arrays, _ = net.freeze()
    matrix = np.diag(2j * np.pi / period * arrays.capacity)
    for i, j, strength in zip(arrays.links.i, arrays.links.j, arrays.links.strength, strict=True):
        for one, other in ((i, j), (j, i)):
            matrix[one, one] += strength
            matrix[one, other] -= strength
    below = np.linalg.solve(matrix[1:, 1:], -matrix[1:, 0])
    waves = np.append(1.0, below)
    return depths, waves, complex(matrix[0] @ waves)
