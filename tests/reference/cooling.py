"""Bodies that cool, mix and glow, each built from parts of a network and solved."""

from functools import lru_cache

import numpy as np

from simtent.network import Builder, tables
from simtent.physics.constants import STEFAN_BOLTZMANN
from tests.network.plain import run


@lru_cache
def one_body():
    """40 kJ/K at 300 K through 20 W/K to 270 K: every half hour for 2 hours [K]."""
    net = Builder(end=7200.0)
    room = net.node(4e4, start=300.0, group="room")
    net.link(net.boundary(tables.constant(270.0)), room, 20.0, net.path("loss", crossing=True))
    return run(net, np.arange(0.0, 7201.0, 1800.0)).states[1:, room]


@lru_cache
def two_bodies():
    """10 kJ/K at 350 K and 30 kJ/K at 280 K, 5 W/K between them: both at 500, 1000 and 2000 s and after a day [K]."""
    net = Builder(end=86400.0)
    one = net.node(1e4, start=350.0, group="a")
    other = net.node(3e4, start=280.0, group="b")
    net.link(one, other, 5.0)
    return run(net, [0.0, 500.0, 1000.0, 2000.0, 86400.0]).states[1:, [one, other]]


@lru_cache
def glowing(capacity, start, around):
    """A black plate of 1 m2 that cools by radiation alone: at 10, 30 and 60 minutes [K]."""
    net = Builder(end=3600.0)
    space = net.boundary(tables.constant(around))
    plate = net.node(capacity, start=start, group="plate")
    net.ray(space, plate, STEFAN_BOLTZMANN, net.path("glow", crossing=True))
    return run(net, [0.0, 600.0, 1800.0, 3600.0]).states[1:, plate]


@lru_cache
def tanks():
    """Three stirred tanks of 10 kJ/K at 300 K in series, 10 W/K of water of 280 K: at 1000, 2000 and 4000 s [K]."""
    net = Builder(end=4000.0)
    path = net.path("stream", crossing=True)
    before = net.boundary(tables.constant(280.0))
    nodes = [net.node(1e4, start=300.0, group="water") for _ in range(3)]
    for node in nodes:
        net.stream(before, node, 10.0, path)
        before = node
    return run(net, [0.0, 1000.0, 2000.0, 4000.0]).states[1:, nodes]
