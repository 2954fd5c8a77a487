"""A square plate, warm along its upper edge, as a grid of nodes and links: ISO 10211's first validation case."""

from functools import lru_cache

import numpy as np

from simtent.network import Accuracy, Builder, network_rhs, solve, tables

TOP = 20.0  # degC along the upper edge, the others 0
ROWS, COLUMNS = range(1, 8), range(1, 5)  # eighths from the top and from the side at which the standard tells


def closed(x, y):
    """Temperature at x from a side and y below the top of a unit square, by the series [degC]."""
    odd = np.arange(1, 400, 2)
    # sinh(j pi (1 - y)) / sinh(j pi), without its overflow
    decay = np.exp(-odd * np.pi * y) * np.expm1(-2.0 * odd * np.pi * (1.0 - y)) / np.expm1(-2.0 * odd * np.pi)
    return float((4.0 * TOP / (odd * np.pi) * np.sin(odd * np.pi * x) * decay).sum())


def built(spaces):
    """Half of the plate, mirrored in its middle; nodes by (column, row), `spaces` of them along an edge."""
    net = Builder(end=1e3)
    warm, cold = net.boundary(tables.constant(TOP)), net.boundary(tables.constant(0.0))
    into, out = net.path("in", crossing=True), net.path("out", crossing=True)
    half = spaces // 2
    share = {i: 0.5 if i == half else 1.0 for i in range(1, half + 1)}  # on the mirror half a cell
    at = {
        (i, j): net.node(share[i] / spaces**2, start=0.0, group="plate")
        for j in range(1, spaces)
        for i in share
    }
    for (i, j), node in at.items():
        if j == 1:
            net.link(warm, node, share[i], into)
        if j == spaces - 1:
            net.link(cold, node, share[i], out)
        else:
            net.link(node, at[i, j + 1], share[i])
        if i == 1:
            net.link(cold, node, 1.0, out)
        if i < half:
            net.link(node, at[i + 1, j], 1.0)
    return net, at


@lru_cache
def settled(spaces):
    """What the plate comes to, at the standard's points: 7 rows of 4 [degC]; solved until nothing changes any more."""
    net, at = built(spaces)
    arrays, start = net.freeze()
    rows = arrays.jumps.rows[0].copy()
    still = network_rhs(0.0, 0.0 * start, arrays, rows)
    matrix = np.array([network_rhs(0.0, row, arrays, rows) - still for row in np.eye(start.size)]).T
    answer = solve(
        lambda t, state, rows: network_rhs(t, state, arrays, rows),
        arrays,
        start,
        net.jump_times(),
        np.array([0.0, net.end]),
        Accuracy(rtol=1e-8, atol=1e-8),
        lambda _t, _state, _rows: matrix,
    )
    step = spaces // 8
    return np.array([[answer.states[-1, at[i * step, j * step]] for i in COLUMNS] for j in ROWS])
