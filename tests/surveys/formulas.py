"""Nights made of formulas whose sensitivity is known in closed form. They describe no camp.

Four numbers of the scenario stand for the factors, each between two ends: a night takes them as places from 0 to 1.
"""

import os
import time
from pathlib import Path

import numpy as np

from simtent.errors import SolveError

FACTORS = """
[factors]
model.walls = { from = 0.5, to = 2.0 }
model.mixing = { from = 0.5, to = 2.0 }
model.heat = { from = 0.8, to = 1.2 }
outdoors.shift = { from = "-10 K", to = "10 K" }
"""
OUTPUTS = ("heat_given", "wood_put_on", "energy_residual")  # Ishigami's function, Sobol's G, the network
A, B = 7.0, 0.1  # Ishigami's
G = (0.0, 1.0, 4.5, 9.0)  # Sobol's: the smaller, the more a factor matters
NETWORK = (
    (-10.0, 10.0),
    (500.0, 3000.0),
    (0.002, 0.010),
    (0.001, 0.003),
)  # outdoors [degC], heat [W], 1/UA [K/W]


def places(scenario):
    """The four factors of a scenario, each from 0 to 1."""
    model = scenario.model
    shift = scenario.outdoors.shift
    return np.array(
        [
            (model.walls - 0.5) / 1.5,
            (model.mixing - 0.5) / 1.5,
            (model.heat - 0.8) / 0.4,
            (shift + 10.0) / 20.0,
        ]
    )


def known(scenario, wanted):
    """All three functions at once."""
    x = places(scenario)
    values = dict(zip(OUTPUTS, (ishigami(x), sobol_g(x), network(x)), strict=True))
    return {name: values[name] for name in wanted if name in values}, {}


def some_fail(scenario, wanted):
    """The same, but for cases in a corner."""
    if places(scenario)[0] > 0.97:
        raise SolveError("the solver gave up at 3.2 h")
    return known(scenario, wanted)


def constant(_scenario, _wanted):
    """A night that nothing moves."""
    return {"heat_given": 5.0}, {}


def ishigami(x):
    """Ishigami and Homma (1990), on -pi to pi; the fourth factor plays no part."""
    one, two, three = (2.0 * x[:3] - 1.0) * np.pi
    return np.sin(one) + A * np.sin(two) ** 2 + B * three**4 * np.sin(one)


def sobol_g(x):
    """Saltelli and Sobol' (1995)."""
    return np.prod([(abs(4.0 * place - 2.0) + a) / (1.0 + a) for place, a in zip(x, G, strict=True)])


def network(x):
    """Temperature of a room behind two resistances in series, heated: node by node, by a matrix."""
    outdoors, heat, first, second = (
        low + place * (high - low) for place, (low, high) in zip(x, NETWORK, strict=True)
    )
    wall, room = 1.0 / first, 1.0 / second
    conductances = np.array([[room, -room], [-room, room + wall]])
    return np.linalg.solve(conductances, [heat, wall * outdoors])[0]


def ishigami_shares():
    """S1 and ST in closed form."""
    first = 0.5 * (1.0 + B * np.pi**4 / 5.0) ** 2
    second, third = A**2 / 8.0, B**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    every = first + second + third
    return np.array([first, second, 0.0, 0.0]) / every, np.array([first + third, second, third, 0.0]) / every


def sobol_g_shares():
    """S1 and ST in closed form."""
    parts = np.array([1.0 / (3.0 * (1.0 + a) ** 2) for a in G])
    every = np.prod(1.0 + parts) - 1.0
    totals = [parts[n] * np.prod(np.delete(1.0 + parts, n)) for n in range(len(G))]
    return parts / every, np.array(totals) / every


def network_shares():
    """S1 and ST of outdoors + heat (first + second), all even between their ends."""
    means = [0.5 * (low + high) for low, high in NETWORK]
    air, heat, first, second = ((high - low) ** 2 / 12.0 for low, high in NETWORK)
    q, r = means[1], means[2] + means[3]
    together = heat * (first + second)
    every = air + r**2 * heat + q**2 * (first + second) + together
    alone = np.array([air, r**2 * heat, q**2 * first, q**2 * second])
    return alone / every, (alone + np.array([0.0, together, heat * first, heat * second])) / every


def levels(scenario, _wanted):
    """Three levels that follow from two numbers of the scenario, a little colder every hour."""
    elapsed = np.arange(0.0, scenario.night.seconds + 1.0, 3600.0)
    lowest = np.array([12.0, 4.0, -3.0]) / scenario.model.walls + scenario.outdoors.shift
    values = {
        "lowest_in_bed": lowest,
        "level_temperature": lowest - elapsed[:, None] / 7200.0,
        "heat_given": 3.6e6 * scenario.model.heat,
    }
    return values, {"elapsed": elapsed, "level": ["head", "cot", "floor"]}


def slow_levels(scenario, wanted):
    """The same, after a moment."""
    time.sleep(0.03)
    return levels(scenario, wanted)


def third_fails(scenario, wanted):
    """The same, but thick walls fail, as long as there is no mark where the test says."""
    if scenario.model.walls > 1.1 and not Path(os.environ["MARK"]).exists():
        raise SolveError("the solver gave up at 3.2 h")
    return levels(scenario, wanted)


def endless(scenario, wanted):
    """The tenth night and those after it do not end in reasonable time."""
    if scenario.outdoors.shift <= -9.0:
        time.sleep(300.0)
    return levels(scenario, wanted)
