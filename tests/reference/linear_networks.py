"""Linear networks by seed: their parts as numbers, as a matrix, and built from nodes, links and sources."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from simtent.network import Builder, tables
from simtent.network.arrays import Array

SWITCHES, ON, OFF = 8, 1200.0, 2400.0  # 2 kW for so long, nothing for so long [s], so many times
POWER, HOURS = 2000.0, 8


class Parts(NamedTuple):
    """Capacities [J/K], conductances between nodes [W/K], one to a boundary at 0, the node that is heated."""

    capacity: Array
    between: Array  # [n, n], symmetric
    outside: float
    heated: int


@lru_cache
def forty() -> Parts:
    """40 nodes, time constants from 9.87 s to 20 days."""
    random = np.random.default_rng(1)
    capacity, between = 10 ** random.uniform(2.5, 6, 40), np.zeros((40, 40))
    for i in range(39):
        between[i, i + 1] = between[i + 1, i] = 10 ** random.uniform(-0.5, 2)
    for _ in range(60):
        i, j = random.integers(0, 40, 2)
        if i != j:
            conductance = 10 ** random.uniform(-1, 1)
            between[i, j] += conductance
            between[j, i] += conductance
    return Parts(capacity, between, 5.0, 5)


@lru_cache
def drawn(seed: int, size: int) -> Parts:
    """A chain with twice as many links across it, of any seed and size."""
    random = np.random.default_rng(seed)
    capacity, between = 10 ** random.uniform(2.0, 6.0, size), np.zeros((size, size))
    pairs = [(i, i + 1) for i in range(size - 1)]
    pairs += [tuple(random.choice(size, 2, replace=False)) for _ in range(2 * size)]
    for i, j in pairs:
        conductance = 10 ** random.uniform(-1.0, 2.0)
        between[i, j] += conductance
        between[j, i] += conductance
    return Parts(capacity, between, float(10 ** random.uniform(0.0, 1.0)), int(random.integers(size)))


def matrix(parts: Parts) -> Array:
    """A of dT/dt = A T + heat / capacity, with nothing of simtent."""
    flows = parts.between - np.diag(parts.between.sum(axis=1))
    flows[0, 0] -= parts.outside
    return flows / parts.capacity[:, None]


def built(parts: Parts) -> Builder:
    """The same from the package's nodes, links and a source."""
    net = Builder(end=HOURS * 3600.0)
    cold = net.boundary(tables.constant(0.0))
    loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    for size in parts.capacity:
        net.node(float(size), start=0.0, group="all")
    net.link(cold, 0, parts.outside, loss)
    for i, j in zip(*np.nonzero(np.triu(parts.between)), strict=True):
        net.link(int(i), int(j), float(parts.between[i, j]))
    begins = np.arange(SWITCHES) * (ON + OFF)
    moments = np.column_stack((begins, begins + ON)).ravel()
    source = net.table(tables.steps(moments.tolist(), [POWER, 0.0] * SWITCHES))
    net.source(parts.heated, source, 1.0, gain)
    return net
