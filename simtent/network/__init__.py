"""The engine: nodes, links, streams, sources, amounts, jumps and scripts, solved from stop to stop.

It knows heat and time, and not one word of what the network stands for. A room of 50 kJ/K that cools to
-10 degC through 90 W/K, an hour later:

>>> import math
>>> import numpy as np
>>> from simtent.network import Accuracy, Builder, network_rhs, solve, tables
>>> net = Builder(end=3600.0)
>>> outside = net.boundary(tables.constant(263.15))
>>> room = net.node(5e4, start=283.15, group="room")
>>> net.link(outside, room, 90.0, net.path("loss", crossing=True))
>>> arrays, start = net.freeze()
>>> run = solve(
...     lambda t, y, rows: network_rhs(t, y, arrays, rows),
...     arrays, start, net.jump_times(), np.array([0.0, 3600.0]), Accuracy(),
... )
>>> exact = 263.15 + 20.0 * math.exp(-90.0 * 3600.0 / 5e4)
>>> bool(abs(run.states[-1, room] - exact) < 0.005)
True
"""

from simtent.network.arrays import Network
from simtent.network.builder import Builder
from simtent.network.curve import Curve
from simtent.network.kernels import apply_jump, network_rhs, node_temperatures, table_value
from simtent.network.melt import Melt
from simtent.network.script import Script
from simtent.network.solve import Accuracy, Trajectory, solve

__all__ = [
    "Accuracy",
    "Builder",
    "Curve",
    "Melt",
    "Network",
    "Script",
    "Trajectory",
    "apply_jump",
    "network_rhs",
    "node_temperatures",
    "solve",
    "table_value",
]
