"""The network as arrays: what kernels read, and nothing but numbers.

A named tuple of arrays compiles, pickles and reads alike in plain Python.
"""

from typing import Any, NamedTuple, TypeAlias

import numpy as np

Array: TypeAlias = np.ndarray[Any, np.dtype[np.float64]]
Indices: TypeAlias = np.ndarray[Any, np.dtype[np.int64]]


class Links(NamedTuple):
    """Links, rays or streams from i to j, each with its strength and the path it is booked on (-1: none)."""

    i: Indices
    j: Indices
    strength: Array  # links W/K, rays W/K4, streams W/K
    path: Indices


class Sources(NamedTuple):
    """Heat from tables: node, table, the node's share of it, and path."""

    node: Indices
    table: Indices
    share: Array
    path: Indices


class Tables(NamedTuple):
    """Piecewise cubics of all tables, row after row: value = c0 + c1 s + c2 s2 + c3 s3, s from the row's knot."""

    knots: Array  # [rows + 1], s; the last is only a stop
    cubics: Array  # [rows, 4]


class Jumps(NamedTuple):
    """What happens at each jump: rows put in force, and pulses of heat."""

    rows: Indices  # [jumps, tables, 2]: first and last row in force after it
    pulse_jump: Indices
    pulse_node: Indices
    pulse_heat: Array  # J
    pulse_path: Indices


class Curves(NamedTuple):
    """Nodes whose heat capacity changes with temperature; their state is the heat in them over a capacity [K].

    Each row of `law` holds the four coefficients of the relative capacity, a polynomial of the temperature above
    an origin; the origin [K]; then of the lowest and the highest point, outside which the relative capacity
    stays, the temperature and the state, both above the origin [K], and the relative capacity.
    """

    node: Indices
    law: Array  # [c, 11]


class Melts(NamedTuple):
    """Nodes that melt; their state is the heat in them over the frozen capacity [K].

    Each row of `law` holds the state at which melting begins and at which it ends [K], the slope of the temperature
    over the state while it melts and when all is molten, and the width over which the corners are rounded [K].
    """

    node: Indices
    law: Array  # [m, 5]


class Network(NamedTuple):
    """One network. Indices of nodes run from 0 to n - 1, those of boundaries from n on.

    The state holds n nodes, heat along p paths, a amounts, h held numbers, in this order.
    """

    capacity: Array  # [n], J/K
    curves: Curves
    melts: Melts
    paths: int  # p
    amounts: int  # a
    scale: Array  # [a + h], how much of an amount counts as one kelvin does; 0 for held numbers
    boundary_table: Indices  # [b], table of each boundary's temperature, K (-1: the right-hand side sets it)
    links: Links
    rays: Links
    streams: Links
    sources: Sources
    tables: Tables
    jumps: Jumps
