"""How errors fall as a grid or a tolerance is refined."""

from functools import lru_cache

import numpy as np

from simtent.network import Accuracy, Builder, tables
from simtent.physics.grid import column_thicknesses
from simtent.readings import level_temperatures
from simtent.run import run as night_of
from simtent.scenario.load import load
from tests.network.plain import run

from .bodies import SOIL
from .nights import SCENARIOS

NAMED = ("head", "waist", "cot", "floor")


def slope(sizes, errors):
    """By which power of a size errors fall, by least squares of their logarithms."""
    return float(np.polyfit(np.log(sizes), np.log(errors), 1)[0])


def column_flow(parts, film, time):
    """Flow into a column of soil under a step of 1 K, simtent's 8 cells each cut into equal parts [W/m2]."""
    net = Builder(end=time)
    given = column_thicknesses(SOIL.conductivity / SOIL.capacity, 300.0, 8, 2.0)
    thick = np.repeat(given, parts) / parts
    half = (np.append(0.0, thick) + np.append(thick, 0.0)) / 2.0
    nodes = [net.node(SOIL.capacity * share, start=0.0, group="soil") for share in half]
    for k, thickness in enumerate(thick):
        net.link(nodes[k], nodes[k + 1], SOIL.conductivity / thickness)
    path = net.path("step", crossing=True)
    net.link(net.boundary(tables.constant(1.0)), nodes[0], film, path)
    return float(run(net, [0.0, time], Accuracy(rtol=1e-10, atol=1e-10)).rates[-1, 0])


@lru_cache
def at_levels(name, layers):
    """Head, waist, cot and floor over a shipped night [degC]."""
    night = night_of(load(SCENARIOS / f"{name}.toml", settings=[f"model.layers={layers}"]))
    return level_temperatures(night)[:, [list(night.scenario.levels).index(level) for level in NAMED]]


def moved(name, layers):
    """How much twice as many layers move the four levels in the mean over the night [K]."""
    return float(np.abs(at_levels(name, layers) - at_levels(name, 2 * layers)).mean())
