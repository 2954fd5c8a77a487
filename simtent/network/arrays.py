"""The network as arrays: what kernels read, and nothing but numbers.

A named tuple of arrays compiles, pickles and reads alike in plain Python.
"""

from typing import Any, NamedTuple, TypeAlias

import numpy as np

Array: TypeAlias = np.ndarray[Any, np.dtype[np.float64]]
Indices: TypeAlias = np.ndarray[Any, np.dtype[np.int64]]


class Network(NamedTuple):
    """Nodes, boundaries, links, rays, streams, sources, tables and jumps of one network.

    Indices of nodes run from 0 to n - 1, those of boundaries from n on.
    """

    capacity: Array  # [n], J/K
    boundary_table: Indices  # [b], table that gives each boundary's temperature, K
    link_i: Indices
    link_j: Indices
    link_g: Array  # W/K
    link_path: Indices
    ray_i: Indices
    ray_j: Indices
    ray_k: Array  # W/K4
    ray_path: Indices
    stream_i: Indices
    stream_j: Indices
    stream_w: Array  # W/K
    stream_path: Indices
    source_node: Indices
    source_table: Indices
    source_share: Array
    source_path: Indices
    knots: Array  # [rows + 1], s: where each row of each table begins; the last is only a stop
    cubics: Array  # [rows, 4]: value = c0 + c1 s + c2 s2 + c3 s3, s counted from the row's knot
    jump_rows: Indices  # [jumps, tables, 2]: first and last row in force after each jump
    pulse_jump: Indices
    pulse_node: Indices
    pulse_heat: Array  # J
    pulse_path: Indices
