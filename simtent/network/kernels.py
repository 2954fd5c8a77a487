"""Kernels of the thermal network: tables, links, streams, sources, jumps, and the plain right-hand side.

Temperatures of nodes and boundaries stand in one vector: nodes first, boundaries after them. The state holds
the node temperatures [K] followed by the heat that has gone along each path since the start [J]; a path's
rate is therefore the derivative of its own state, and the ledger is integrated along with the temperatures.
Sign: a link from i to j carries heat from i to j when i is warmer.
"""

import numpy as np

from simtent import compiled
from simtent.network.arrays import Array, Indices, Network


def table_value(tables: Network, rows: Indices, table: int, t: float) -> float:
    """Value of a piecewise cubic table at t [s], from the rows in force between two jumps.

    Which row counts at a break is decided by the jump, never by t: at the very moment of a step the end of
    the old stretch and the start of the new one have the same t.
    """
    row = rows[table, 0]
    while row < rows[table, 1] and t >= tables.knots[row + 1]:
        row += 1
    s = t - tables.knots[row]
    c = tables.cubics[row]
    value: float = c[0] + s * (c[1] + s * (c[2] + s * c[3]))
    return value


def move(heat: Array, paths: Array, i: int, j: int, watts: float, path: int) -> None:
    """Take watts from i, give them to j, and book them on a path (-1: on none)."""
    heat[i] -= watts
    heat[j] += watts
    if path >= 0:
        paths[path] += watts


def add_links(net: Network, temps: Array, heat: Array, paths: Array) -> None:
    """Conduction: g (T_i - T_j) with constant g [W/K]."""
    for k in range(net.link_i.size):
        i, j = net.link_i[k], net.link_j[k]
        move(heat, paths, i, j, net.link_g[k] * (temps[i] - temps[j]), net.link_path[k])


def add_radiation(net: Network, temps: Array, heat: Array, paths: Array) -> None:
    """Grey exchange: k (T_i^4 - T_j^4) with k [W/K4]."""
    for k in range(net.ray_i.size):
        i, j = net.ray_i[k], net.ray_j[k]
        watts = net.ray_k[k] * (temps[i] ** 4 - temps[j] ** 4)
        move(heat, paths, i, j, watts, net.ray_path[k])


def add_streams(net: Network, temps: Array, heat: Array, paths: Array) -> None:
    """Transport upwind: a stream of capacity flow w [W/K] replaces matter of j by matter of i.

    The streams into a node must equal those out of it, else its content would change; then w (T_i - T_j)
    into j is the whole of the transport and nothing is taken from i by this stream.
    """
    for k in range(net.stream_i.size):
        i, j = net.stream_i[k], net.stream_j[k]
        watts = net.stream_w[k] * (temps[i] - temps[j])
        heat[j] += watts
        if net.stream_path[k] >= 0:
            paths[net.stream_path[k]] += watts


def add_sources(net: Network, rows: Indices, t: float, heat: Array, paths: Array) -> None:
    """Heat given to nodes from tables [W], each with its share."""
    for k in range(net.source_node.size):
        watts = net.source_share[k] * table_value(net, rows, net.source_table[k], t)
        heat[net.source_node[k]] += watts
        paths[net.source_path[k]] += watts


def temperatures(net: Network, rows: Indices, t: float, state: Array) -> Array:
    """Vector of node temperatures, then boundary temperatures [K]."""
    n = net.capacity.size
    temps = np.empty(n + net.boundary_table.size)
    temps[:n] = state[:n]
    for b in range(net.boundary_table.size):
        temps[n + b] = table_value(net, rows, net.boundary_table[b], t)
    return temps


def derivative(net: Network, heat: Array, paths: Array) -> Array:
    """State derivative from the heat of each node [W] and the rate of each path [W]."""
    n = net.capacity.size
    out = np.empty(n + paths.size)
    for i in range(n):
        out[i] = heat[i] / net.capacity[i]
    out[n:] = paths
    return out


def network_rhs(t: float, state: Array, net: Network, rows: Indices) -> Array:
    """Right-hand side of a plain network: links, radiation, streams and sources, nothing else."""
    temps = temperatures(net, rows, t, state)
    heat = np.zeros(temps.size)
    paths = np.zeros(state.size - net.capacity.size)
    add_links(net, temps, heat, paths)
    add_radiation(net, temps, heat, paths)
    add_streams(net, temps, heat, paths)
    add_sources(net, rows, t, heat, paths)
    return derivative(net, heat, paths)


def apply_jump(net: Network, jump: int, state: Array, rows: Indices) -> None:
    """Carry the state over a jump: put the next rows of each table in force, and add what the jump adds."""
    rows[:] = net.jump_rows[jump]
    n = net.capacity.size
    for k in range(net.pulse_jump.size):
        if net.pulse_jump[k] == jump:
            i = net.pulse_node[k]
            state[i] += net.pulse_heat[k] / net.capacity[i]
            state[n + net.pulse_path[k]] += net.pulse_heat[k]


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
