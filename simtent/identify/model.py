"""What a network predicts for the readings, and how that changes with each parameter.

Linear networks are solved exactly, others by the engine at a tight tolerance. Slopes are fourth-order differences of
these: exact solutions bear a small step (slopes to some 1e-9), tight ones a larger (1e-6).
"""

import numpy as np

from simtent.identify.linear import exact, why_not_linear
from simtent.identify.problem import Built, Problem
from simtent.network import Accuracy, network_rhs, node_temperatures, solve
from simtent.network.arrays import Array
from simtent.network.tables import SLOPE_TOLERANCE, Table

TIGHT = Accuracy(rtol=1e-10, atol=1e-9)
STEP, LONG_STEP = 2e-3, 2e-2  # of a logarithm: linear networks, others


class _Swift(Table):
    """A table that finds its breaks all at once: a network is frozen anew for every set of values."""

    def breaks(self) -> tuple[int, ...]:
        """Rows at whose start the value or the slope jumps, as any table tells them."""
        s = np.diff(self.starts)
        c0, c1, c2, c3 = self.cubics[:-1].T
        value = c0 + s * (c1 + s * (c2 + s * c3))
        slope = c1 + s * (2 * c2 + s * 3 * c3)
        size = SLOPE_TOLERANCE * (1.0 + np.abs(value))
        jumps = np.abs(value - self.cubics[1:, 0]) > size
        kinks = np.abs(slope - self.cubics[1:, 1]) * 3600.0 > size
        return tuple((np.flatnonzero(jumps | kinks) + 1).tolist())


def temperatures(built: Built, times: Array) -> Array:
    """Temperatures of all nodes [K] at rising times [s], shape [m, n]."""
    if why_not_linear(built.net) is None:
        return exact(built.net, times)
    built.net._tables[:] = [_Swift(table.starts, table.cubics) for table in built.net._tables]
    arrays, start = built.net.freeze()
    run = solve(
        lambda t, y, rows: network_rhs(t, y, arrays, rows),
        arrays,
        start,
        built.net.jump_times(),
        times,
        TIGHT,
    )
    return node_temperatures(arrays, run.states)


def predicted(problem: Problem, logs: Array) -> list[Array]:
    """What each column would read [K]."""
    built = problem.built(logs)
    times = np.unique(np.concatenate([column.times for column in problem.columns]))
    states = temperatures(built, times)
    return [
        states[np.searchsorted(times, column.times), built.seen[column.name]] for column in problem.columns
    ]


def slopes(problem: Problem, logs: Array) -> list[Array]:
    """Change of each column's readings with the logarithm of each parameter [K], shapes [m, p]."""
    step = STEP if why_not_linear(problem.built(logs).net) is None else LONG_STEP
    columns: list[list[Array]] = [[] for _ in problem.columns]
    for k in range(logs.size):
        move = np.zeros(logs.size)
        move[k] = step
        moved = [predicted(problem, logs + far * move) for far in (-2.0, -1.0, 1.0, 2.0)]
        for c, (a, b, d, e) in enumerate(zip(*moved, strict=True)):
            columns[c].append((8.0 * (d - b) - (e - a)) / (12.0 * step))
    return [np.stack(column, axis=1) for column in columns]
