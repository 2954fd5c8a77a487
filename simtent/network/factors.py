"""Factors of a matrix with a heavy diagonal and many zeros, and how they solve."""

from typing import NamedTuple

from simtent import compiled
from simtent.network.arrays import Array, Indices

SMALLEST_PIVOT = 1e-10  # over the diagonal added; below it rows would have to be exchanged


class Factors(NamedTuple):
    """Room for the factors of a matrix of n rows, of which only what `places` tells is ever looked at.

    The rows below pivot k that it reaches stand in places from starts[2 k] on, the columns right of it that it takes
    along from starts[2 k + 1] on, each up to the next start. Pivots are kept inverted.
    """

    matrix: Array  # [n, n]
    places: Indices  # [n n]
    starts: Indices  # [2 n + 1]
    inverse: Array  # [n]


def find_places(factors: Factors, jacobian: Array, unknowns: Indices) -> None:
    """Find what of the factors can be other than 0, given the Jacobian; uses `matrix` as room."""
    marks, places, starts, n, count = factors.matrix, factors.places, factors.starts, unknowns.size, 0
    for i in range(n):
        for j in range(n):
            marks[i, j] = 1.0 if jacobian[unknowns[i], unknowns[j]] != 0.0 else 0.0
    for k in range(n):
        starts[2 * k] = count
        for i in range(k + 1, n):
            if marks[i, k] > 0.0:
                places[count] = i
                count += 1
        starts[2 * k + 1] = count
        for j in range(k + 1, n):
            if marks[k, j] > 0.0:
                places[count] = j
                count += 1
        for r in range(starts[2 * k], starts[2 * k + 1]):
            for c in range(starts[2 * k + 1], count):
                marks[places[r], places[c]] = 1.0
    starts[2 * n] = count


def load(factors: Factors, jacobian: Array, unknowns: Indices, diagonal: float) -> None:
    """Put (diagonal 1 - J) of the unknowns into the matrix, where it can be other than 0."""
    matrix, places, starts = factors.matrix, factors.places, factors.starts
    for k in range(unknowns.size):
        own = unknowns[k]
        matrix[k, k] = diagonal - jacobian[own, own]
        for r in range(starts[2 * k], starts[2 * k + 1]):
            matrix[places[r], k] = -jacobian[unknowns[places[r]], own]
        for c in range(starts[2 * k + 1], starts[2 * k + 2]):
            matrix[k, places[c]] = -jacobian[own, unknowns[places[c]]]


def factor(factors: Factors, jacobian: Array, unknowns: Indices, diagonal: float) -> bool:
    """Factors of (diagonal 1 - J) of the unknowns, their places found; False where a pivot all but vanishes.

    Rows are not exchanged: for steps that resolve what grows the diagonal is the largest of its row. Unknowns with
    few neighbours should come first.
    """
    matrix, places, starts = factors.matrix, factors.places, factors.starts
    load(factors, jacobian, unknowns, diagonal)
    for k in range(unknowns.size):
        if not abs(matrix[k, k]) > SMALLEST_PIVOT * diagonal:
            return False
        factors.inverse[k] = 1.0 / matrix[k, k]
        for r in range(starts[2 * k], starts[2 * k + 1]):
            i = places[r]
            share = matrix[i, k] * factors.inverse[k]
            matrix[i, k] = share
            for c in range(starts[2 * k + 1], starts[2 * k + 2]):
                matrix[i, places[c]] -= share * matrix[k, places[c]]
    return True


def substitute(factors: Factors, x: Array) -> None:
    """Solve in place by the factors."""
    matrix, places, starts = factors.matrix, factors.places, factors.starts
    for k in range(x.size):
        known = x[k]
        for r in range(starts[2 * k], starts[2 * k + 1]):
            x[places[r]] -= matrix[places[r], k] * known
    for k in range(x.size - 1, -1, -1):
        known = x[k]
        for c in range(starts[2 * k + 1], starts[2 * k + 2]):
            known -= matrix[k, places[c]] * x[places[c]]
        x[k] = known * factors.inverse[k]


compiled.compile_module(globals())
