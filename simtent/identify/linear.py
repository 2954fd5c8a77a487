"""Linear networks solved exactly: matrix exponentials from knot to knot of their tables.

A network is linear if it has no rays and no node whose heat capacity changes or that melts. Its temperatures obey
dT/dt = A T + f(t), where f is a cubic of time between two knots of the tables. Over such a piece of length h

    T(h) = e^(A h) T(0) + sum_j h^(j+1) j! phi_(j+1)(A h) f_j,    f = sum_j f_j s^j,

with phi_j(z) = sum_k z^k / (k + j)!, phi_0 the exponential. All lengths share A, so that their series are one matrix
product of powers of the lengths with powers of A; long steps are doubled from short ones (phi functions of 2 z from
those of z: Skaflestad and Wright 2009, Applied Numerical Mathematics 59).
"""

import math
from typing import NamedTuple

import numpy as np

from simtent.identify.walk import walk
from simtent.network import Builder
from simtent.network.arrays import Array, Indices
from simtent.network.tables import Table

TERMS = 14  # of a series whose argument's norm is at most one half: less than 1e-15 is left out
SAME_STEP = 11  # decimals of its length in which two steps are one


def why_not_linear(net: Builder) -> str | None:
    """Say what makes a network nonlinear; None if nothing does."""
    if net._rays:
        return "it has rays"
    if net._curves:
        return "a heat capacity changes with temperature"
    if net.melts:
        return "a node melts"
    return None


class _System(NamedTuple):
    """dT/dt = matrix T + gains tables(t)."""

    matrix: Array  # [n, n] 1/s
    gains: Array  # [n, tables]


def exact(net: Builder, times: Array) -> Array:
    """Temperatures of all nodes [K] at rising times [s] of a linear network, shape [m, n].

    At a pulse's own moment the temperature after it is reported, as the engine does.
    """
    if reason := why_not_linear(net):
        raise ValueError(f"the network is not linear: {reason}")
    system = _system(net)
    marks = _marks(net, times)
    lengths = np.diff(marks)
    forced = _forced(net, system, marks)
    short, which = np.unique(_rounded(lengths), return_inverse=True)  # a log by the minute has one length
    phis = _phis(system.matrix, short, forced.shape[1])
    scales = lengths[:, None] ** np.arange(1, forced.shape[1] + 1)
    scales *= [float(math.factorial(j)) for j in range(forced.shape[1])]
    added = sum(_each(phi[which], forced[:, j] * scales[:, j, None]) for j, phi in enumerate(phis[1:]))
    states = walk(phis[0], which, np.asarray(added), *_kicks(net, marks))
    return np.asarray(states[np.searchsorted(marks, times)])


def _system(net: Builder) -> _System:
    """Matrix and gains, read from the builder's pieces: freezing would look for the breaks of every table anew."""
    n = len(net.capacities)
    matrix, gains = np.zeros((n, n)), np.zeros((n, len(net._tables)))

    def drawn_by(j: int, i: int, strength: float) -> None:
        """Let node j be drawn towards i, a node or a boundary."""
        matrix[j, j] -= strength
        if i >= 0:
            matrix[j, i] += strength
        elif (table := net.boundaries[-1 - i]) >= 0:
            gains[j, table] += strength
        else:
            raise ValueError("a boundary without a table: only a right-hand side of its own can set it")

    for i, j, strength, _ in net._links:
        drawn_by(j, i, strength)
        if i >= 0:
            drawn_by(i, j, strength)
    for i, j, strength, _ in net._streams:
        drawn_by(j, i, strength)
    for node, table, share, _ in net._sources:
        gains[node, table] += share
    capacity = np.array(net.capacities)[:, None]
    return _System(matrix / capacity, gains / capacity)


def _marks(net: Builder, times: Array) -> Array:
    """Moments [s] from 0 to the last time asked for: times, knots and pulses."""
    knots = [table.starts for table in net._tables]
    pulses = np.array([pulse[0] for pulse in net._pulses], float)
    marks = np.unique(np.concatenate(([0.0], times, pulses, *knots)))
    return np.asarray(marks[(marks >= 0.0) & (marks <= times[-1])])


def _forced(net: Builder, system: _System, marks: Array) -> Array:
    """Coefficients of each piece's forcing, shape [pieces, degree + 1, n], of powers of the time since its begin."""
    pieces = [_shifted(table, marks[:-1]) for table in net._tables]
    if not pieces:
        return np.zeros((marks.size - 1, 1, len(net.capacities)))
    cubics = np.array(pieces)  # [tables, pieces, 4]
    degree = max((j for j in range(4) if np.any(cubics[:, :, j])), default=0)
    return np.asarray(np.einsum("nt,tkj->kjn", system.gains, cubics[:, :, : degree + 1]))


def _shifted(table: Table, begins: Array) -> Array:
    """Cubics of a table about the begins of pieces that cross no knot, shape [pieces, 4]."""
    rows = np.maximum(np.searchsorted(table.starts, begins, side="right") - 1, 0)
    c0, c1, c2, c3 = table.cubics[rows].T
    s = begins - table.starts[rows]
    return np.stack(
        (c0 + s * (c1 + s * (c2 + s * c3)), c1 + s * (2.0 * c2 + s * 3.0 * c3), c2 + 3.0 * c3 * s, c3), axis=1
    )


def _rounded(lengths: Array) -> Array:
    """Lengths such that those that differ by round-off are one."""
    size: Array = 10.0 ** np.floor(np.log10(lengths))
    return np.asarray(np.round(lengths / size, SAME_STEP) * size)


def _phis(matrix: Array, lengths: Array, orders: int) -> list[Array]:
    """phi_0 (the exponential) to phi_orders of A h for each length, each of shape [h, n, n]."""
    n = len(matrix)
    norm = np.abs(matrix).sum(axis=1).max(initial=0.0) * lengths.max(initial=0.0)
    doublings = max(0, math.ceil(math.log2(norm / 0.5))) if norm > 0.0 else 0
    powers = [np.eye(n)]
    for _ in range(TERMS - 1):
        powers.append(powers[-1] @ matrix)
    flat = np.array(powers).reshape(TERMS, n * n)
    exponents = np.arange(TERMS)
    stretched = (lengths[:, None] / 2.0**doublings) ** exponents
    found = []
    for j in range(orders + 1):
        weights = np.array([1.0 / math.factorial(k + j) for k in exponents.tolist()])
        found.append((stretched @ (flat * weights[:, None])).reshape(-1, n, n))
    for _ in range(doublings):
        found = _doubled(found)
    return found


def _doubled(phis: list[Array]) -> list[Array]:
    """phi_j(2 z) = (phi_0(z) phi_j(z) + sum_(k=1..j) phi_k(z) / (j - k)!) / 2^j."""
    whole = phis[0]
    out = [whole @ whole]
    for j in range(1, len(phis)):
        rest = sum(phis[k] / math.factorial(j - k) for k in range(1, j + 1))
        out.append((whole @ phis[j] + rest) / 2.0**j)
    return out


def _each(matrices: Array, vectors: Array) -> Array:
    """Each matrix [k, n, n] times its vector [k, n]."""
    return np.asarray((matrices @ vectors[:, :, None])[:, :, 0])


def _kicks(net: Builder, marks: Array) -> tuple[Indices, Array]:
    """Marks at which the temperatures jump, the first among them, rising, and by how much [K], shape [k, n]."""
    n = len(net.capacities)
    kicks: dict[int, Array] = {0: np.array(net.starts, float)}
    for time, node, heat, _ in net._pulses:
        if time <= marks[-1]:
            kick = kicks.setdefault(int(np.searchsorted(marks, time)), np.zeros(n))
            kick[node] += heat / net.capacities[node]
    where = sorted(kicks)
    return np.array(where, np.int64), np.array([kicks[k] for k in where])
