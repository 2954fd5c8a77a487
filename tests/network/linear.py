"""Linear networks solved exactly, by the matrix exponential from jump to jump."""

import numpy as np
from scipy.linalg import expm

from simtent.network import Builder
from simtent.network.arrays import Array


def system(net: Builder) -> tuple[Array, Array]:
    """Matrix and constant of dT/dt = A T + b, read from the pieces and not from the kernels."""
    n = len(net.capacities)
    a, b = np.zeros((n, n)), np.zeros(n)
    for i, j, g, _ in net._links:
        if i < 0:
            outside = net._tables[net.boundaries[-1 - i]].cubics[0, 0]
            a[j, j] -= g
            b[j] += g * outside
        else:
            a[i, i] -= g
            a[j, j] -= g
            a[i, j] += g
            a[j, i] += g
    c = np.array(net.capacities)
    return a / c[:, None], b / c


def exact(net: Builder, times: list[float]) -> Array:
    """Temperatures of all nodes at some times, by the augmented matrix exponential, stepped from jump to jump."""
    a, b = system(net)
    n = len(b)
    state, now, out = np.array(net.starts), 0.0, []
    marks = sorted({*net.jump_times().tolist(), *times})
    for mark in marks:
        power = np.zeros(n)
        for node, table, share, _ in net._sources:
            power[node] += share * net._tables[table].value((now + mark) / 2.0)
        forced = np.zeros((n + 1, n + 1))
        forced[:n, :n], forced[:n, n] = a, b + power / np.array(net.capacities)
        state = (expm(forced * (mark - now)) @ np.append(state, 1.0))[:n]
        now = mark
        for time, node, heat, _ in net._pulses:
            if time == mark:
                state[node] += heat / net.capacities[node]
        if mark in times:
            out.append(state.copy())
    return np.array(out)
