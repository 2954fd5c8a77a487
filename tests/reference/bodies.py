"""Walls, plates, beads and soil as networks, each solved, for the claims beside."""

from functools import lru_cache
from math import pi

import numpy as np

from simtent.network import Accuracy, Builder, network_rhs, tables
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.convection import inside_film
from tests.network.plain import run

from .chains import Layer, between_airs, fine, sine
from .scripts import Watching

DAY = 86400.0


def under_film(layer, film, start, air, moments, cells=100):
    """A layer of 1 m2 whose one face is insulated, the other under a film to air: its faces at moments [s]."""
    net = Builder(end=moments[-1])
    nodes = fine(net, layer, cells, start)
    net.link(net.boundary(tables.constant(air)), nodes[-1], film, net.path("film", crossing=True))
    states = run(net, [0.0, *moments]).states
    return states[1:, nodes[0]], states[1:, nodes[-1]]


def steady(resistances, warm, cold):
    """Flow through resistances in series [W/m2], and temperatures between them, after 40 days."""
    net = Builder(end=40 * DAY)
    inside, outside = net.boundary(tables.constant(warm)), net.boundary(tables.constant(cold))
    into, out = net.path("in", crossing=True), net.path("out", crossing=True)
    nodes = [net.node(2e4, start=280.0, group="wall") for _ in resistances[1:]]
    net.link(inside, nodes[0], 1.0 / resistances[0], into)
    for one, other, resistance in zip(nodes[:-1], nodes[1:], resistances[1:-1], strict=True):
        net.link(one, other, 1.0 / resistance)
    net.link(outside, nodes[-1], 1.0 / resistances[-1], out)
    answer = run(net, [0.0, net.end])
    return answer.rates[-1], answer.states[-1, : len(nodes)]


@lru_cache
def swung(layers, films, cells, days=20):
    """Air outside swings by 10 K a day: the share of it that flows in per m2 [W/(m2 K)], and how much later [h].

    Both from the last of some days, by the mean over it of the flow times sine and cosine.
    """
    net, end = Builder(end=days * DAY), days * DAY
    airs = tables.constant(293.15), sine(293.15, 10.0, DAY, end)
    inside, _ = between_airs(net, layers, cells, films, airs, 293.15)
    times = np.append(0.0, end - DAY + np.arange(1, 289) * DAY / 288)
    flow = -run(net, times, Accuracy(rtol=1e-8, atol=1e-6)).rates[1:, inside]
    wave = 2.0 / flow.size * np.sum(flow * np.exp(-2j * pi * times[1:] / DAY)) * 1j
    return abs(wave) / 10.0, -float(np.angle(wave)) * 24.0 / (2.0 * pi)


def bead(density, capacity, film, diameter, start, air, reached):
    """Time in which a bead that has one temperature comes from one to another in a stream of gas [s]."""
    net = Builder(end=60.0)
    area, volume = pi * diameter**2, pi * diameter**3 / 6.0
    node = net.node(density * capacity * volume, start=start, group="bead")
    net.link(net.boundary(tables.constant(air)), node, film * area, net.path("film", crossing=True))
    script = Watching(lambda state: [reached - state[node]])
    run(net, [0.0, net.end], script=script)
    return script.moments[0]


@lru_cache
def plate_under_source():
    """Steel sheet of 1.5 mm, 1 m2, under a radiant point of 3.5 kW at 2 m: temperature every 200 s up to 1200 s [K].

    It gives off heat by radiation and by the package's own wall film on both faces, to 20 degC.
    """
    room, emissivity, incident = 293.15, 0.9, 3500.0 / (4.0 * pi * 2.0**2)
    net = Builder(end=1200.0)
    node = net.node(1.5e-3 * 7854.0 * 559.0, start=room, group="plate")
    film = net.path("film", crossing=True)
    net.source(
        node, net.table(tables.constant(emissivity * incident)), 1.0, net.path("source", crossing=True)
    )
    walls = net.boundary(tables.constant(room))
    net.ray(walls, node, 2.0 * emissivity * STEFAN_BOLTZMANN, net.path("rays", crossing=True))
    first = len(net.capacities)

    def cooled(_t, state, slope):
        warmer = state[node] - room
        watts = -2.0 * inside_film(warmer, 0.0, 1.0) * warmer
        slope[node] += watts / net.capacities[node]
        slope[first + film] += watts

    times = np.arange(0.0, 1201.0, 200.0)
    return run(net, times, more=cooled).states[1:, node]


def two_steps(outdoors):
    """Three masses in a row from 10 degC, 1 kW into the last, after one and after two explicit steps of a minute."""
    net = Builder(end=120.0)
    loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    a, b, c = (net.node(size, start=283.15, group="mass") for size in (11e6, 2.5e6, 0.6e6))
    net.link(net.boundary(tables.constant(outdoors)), a, 100.0, loss)
    net.link(a, b, 500.0)
    net.link(b, c, 800.0)
    net.source(c, net.table(tables.constant(1000.0)), 1.0, gain)
    arrays, state = net.freeze()
    found = []
    for _ in range(2):
        state = state + 60.0 * network_rhs(0.0, state, arrays, arrays.jumps.rows[0].copy())
        found.append(state[:3] - 273.15)
    return found


SOIL = Layer(1.0, 1.5, 1.8e6)


@lru_cache
def soil(film):
    """A column of soil under a step of 1 K at its face (`film` None) or behind a film: 60 cells, the first 2 mm.

    Depths of the nodes [m], and at 0, 300, 3600 and 28800 s the temperatures [K above the start], flow [W/m2] and heat
    taken [J/m2].
    """
    net = Builder(end=28800.0)
    path = net.path("step", crossing=True)
    thick = 0.002 * 1.08 ** np.arange(60)
    half = (np.append(0.0, thick) + np.append(thick, 0.0)) / 2.0
    nodes = [net.node(SOIL.capacity * share, start=0.0, group="soil") for share in half]
    for k, thickness in enumerate(thick):
        net.link(nodes[k], nodes[k + 1], SOIL.conductivity / thickness)
    net.link(net.boundary(tables.constant(1.0)), nodes[0], 1e5 if film is None else film, path)
    answer = run(net, [0.0, 300.0, 3600.0, 28800.0])
    size = len(nodes)
    return (
        np.append(0.0, np.cumsum(thick)),
        answer.states[:, :size],
        answer.rates[:, 0],
        answer.states[:, size],
    )
