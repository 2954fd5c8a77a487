"""Kernels of the thermal network: tables, links, streams, sources, jumps, and the plain right-hand side.

Temperatures of nodes and boundaries stand in one vector: nodes first, boundaries after them. The state holds
one number for each node [K], its temperature or, where the heat capacity follows a curve or matter melts, the heat
in it over a capacity; then the heat that has gone along each path since the start [J]; then the amounts carried along,
and the numbers held. A path's rate is therefore the derivative of its own state, and the ledger is integrated
along with the temperatures. Sign: a link from i to j carries heat from i to j when i is warmer.
"""

import math

import numpy as np

from simtent import compiled
from simtent.network.arrays import Array, Curves, Indices, Jumps, Links, Melts, Network, Sources, Tables

NEWTON_STEPS = 6  # reach round-off from the chord where the capacity grows tenfold, the most a `Curve` may
# Columns of a curve's row, after the four coefficients.
ORIGIN, LOW, AT_LOW, RELATIVE_LOW, HIGH, AT_HIGH, RELATIVE_HIGH = range(4, 11)
# Columns of a melting's row.
BEGIN, END, SLOPE, MOLTEN, WIDTH = range(5)
FAR = 40.0  # widths, beyond which a corner's rounding is below round-off


def table_value(tables: Tables, rows: Indices, table: int, t: float) -> float:
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


def add_links(links: Links, temps: Array, heat: Array, paths: Array) -> None:
    """Conduction: g (T_i - T_j) with constant g [W/K]."""
    for k in range(links.i.size):
        i, j = links.i[k], links.j[k]
        move(heat, paths, i, j, links.strength[k] * (temps[i] - temps[j]), links.path[k])


def add_rays(rays: Links, temps: Array, heat: Array, paths: Array) -> None:
    """Grey exchange: k (T_i^4 - T_j^4) with k [W/K4]."""
    for k in range(rays.i.size):
        i, j = rays.i[k], rays.j[k]
        move(heat, paths, i, j, rays.strength[k] * (temps[i] ** 4 - temps[j] ** 4), rays.path[k])


def add_streams(streams: Links, temps: Array, heat: Array, paths: Array) -> None:
    """Transport upwind: a stream of capacity flow w [W/K] replaces matter of j by matter of i.

    The streams into a node must equal those out of it, else its content would change; then w (T_i - T_j)
    into j is the whole of the transport and nothing is taken from i by this stream.
    """
    for k in range(streams.i.size):
        i, j = streams.i[k], streams.j[k]
        watts = streams.strength[k] * (temps[i] - temps[j])
        heat[j] += watts
        paths[streams.path[k]] += watts


def add_sources(sources: Sources, tables: Tables, rows: Indices, t: float, heat: Array, paths: Array) -> None:
    """Heat given to nodes from tables [W], each with its share."""
    for k in range(sources.node.size):
        watts = sources.share[k] * table_value(tables, rows, sources.table[k], t)
        heat[sources.node[k]] += watts
        paths[sources.path[k]] += watts


def curved_temperature(curves: Curves, c: int, state: float) -> float:
    """Temperature [K] of the node in row c of the curves, from its state [K].

    Newton on the integral of the relative capacity. That never falls, so the integral is convex: from the chord
    the first step lands at or above the answer, all others come down on it.
    """
    row = curves.law[c]
    e, a0, a1, a2, a3 = state - row[ORIGIN], row[0], row[1], row[2], row[3]
    low, high = row[LOW], row[HIGH]
    at_low, at_high = row[AT_LOW], row[AT_HIGH]
    if e <= at_low:
        x = low + (e - at_low) / row[RELATIVE_LOW]
    elif e >= at_high:
        x = high + (e - at_high) / row[RELATIVE_HIGH]
    else:
        x = low + (e - at_low) / (at_high - at_low) * (high - low)
        for _ in range(NEWTON_STEPS):
            integral = x * (a0 + x * (a1 / 2.0 + x * (a2 / 3.0 + x * a3 / 4.0)))
            x -= (integral - e) / (a0 + x * (a1 + x * (a2 + x * a3)))
    temperature: float = row[ORIGIN] + x
    return temperature


def softplus(x: float) -> float:
    """A corner rounded: 0 far below 0, x far above, ln(1 + exp(x)) between."""
    return max(x, 0.0) + math.log1p(math.exp(-abs(x)))


def melting_temperature(melts: Melts, m: int, state: float) -> float:
    """Temperature [K] of the node in row m of the melts, from its state [K].

    Up with the state while all is frozen, nearly level while it melts, up more slowly when it is molten.
    """
    row = melts.law[m]
    width, slope = row[WIDTH], row[SLOPE]
    begun = (state - row[BEGIN]) / width
    if begun < -FAR:
        return state
    over = (row[MOLTEN] - slope) * softplus((state - row[END]) / width)
    temperature: float = state + width * (over - (1.0 - slope) * softplus(begun))
    return temperature


def all_temperatures(
    curves: Curves,
    melts: Melts,
    boundary_table: Indices,
    tables: Tables,
    rows: Indices,
    t: float,
    nodes: Array,
) -> Array:
    """Vector of node temperatures, then boundary temperatures [K]; 0 where a boundary has no table.

    `nodes` is the nodes' part of the state. The parts of the network come one by one: handed over whole in every
    call, a network costs more than the work itself.
    """
    n = nodes.size
    temps = np.empty(n + boundary_table.size)
    for i in range(n):
        temps[i] = nodes[i]
    for c in range(curves.node.size):
        temps[curves.node[c]] = curved_temperature(curves, c, nodes[curves.node[c]])
    for m in range(melts.node.size):
        temps[melts.node[m]] = melting_temperature(melts, m, nodes[melts.node[m]])
    for b in range(boundary_table.size):
        temps[n + b] = 0.0
        if boundary_table[b] >= 0:
            temps[n + b] = table_value(tables, rows, boundary_table[b], t)
    return temps


def node_temperatures(net: Network, states: Array) -> Array:
    """Temperatures of all nodes [K], shape [m, n], from states of shape [m, any number from n on]."""
    out = states[:, : net.capacity.size].copy()
    for c in range(net.curves.node.size):
        node = net.curves.node[c]
        for m in range(out.shape[0]):
            out[m, node] = curved_temperature(net.curves, c, states[m, node])
    for c in range(net.melts.node.size):
        node = net.melts.node[c]
        for m in range(out.shape[0]):
            out[m, node] = melting_temperature(net.melts, c, states[m, node])
    return out


def derivative(capacity: Array, heat: Array, paths: Array, carried: Array) -> Array:
    """State derivative from the heat of each node [W], the rate of each path [W] and what is carried along.

    `carried` holds the derivatives of the amounts, then those of the held numbers, which are 0.
    """
    n, p = capacity.size, paths.size
    out = np.empty(n + p + carried.size)
    for i in range(n):
        out[i] = heat[i] / capacity[i]
    for k in range(p):
        out[n + k] = paths[k]
    for k in range(carried.size):
        out[n + p + k] = carried[k]
    return out


def network_rhs(t: float, state: Array, net: Network, rows: Indices) -> Array:
    """Right-hand side of a plain network: links, rays, streams and sources, nothing else; amounts stay."""
    n = net.capacity.size
    temps = all_temperatures(net.curves, net.melts, net.boundary_table, net.tables, rows, t, state[:n])
    heat = np.zeros(temps.size)
    paths = np.zeros(net.paths)
    add_links(net.links, temps, heat, paths)
    add_rays(net.rays, temps, heat, paths)
    add_streams(net.streams, temps, heat, paths)
    add_sources(net.sources, net.tables, rows, t, heat, paths)
    return derivative(net.capacity, heat, paths, np.zeros(net.scale.size))


def apply_jump(capacity: Array, jumps: Jumps, jump: int, state: Array, rows: Indices) -> None:
    """Carry the state over a jump: put the next rows of each table in force, and add what the jump adds."""
    # One by one: compiled, an assignment of slices brings the making of its error message along.
    for table in range(rows.shape[0]):
        rows[table, 0], rows[table, 1] = jumps.rows[jump, table, 0], jumps.rows[jump, table, 1]
    n = capacity.size
    for k in range(jumps.pulse_jump.size):
        if jumps.pulse_jump[k] == jump:
            i = jumps.pulse_node[k]
            state[i] += jumps.pulse_heat[k] / capacity[i]
            state[n + jumps.pulse_path[k]] += jumps.pulse_heat[k]


compiled.compile_module(globals())
