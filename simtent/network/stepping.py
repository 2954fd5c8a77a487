"""Kernels of a step by a `wmethod.Method`; the right-hand side is its caller's.

Only the unknowns (nodes and amounts) stand in the linear system. Nothing reads the heat gone along a path, so a path's
sum follows from the unknowns'; by the same linear combination, so that the ledger closes to round-off.
"""

import math

from simtent import compiled
from simtent.network.arrays import Array, Indices
from simtent.network.wmethod import Method

SMALLEST_PIVOT = 1e-10  # over the diagonal added; below it rows would have to be exchanged


def prepare(matrix: Array, jacobian: Array, unknowns: Indices, diagonal: float) -> bool:
    """Factors of (diagonal 1 - J) of the unknowns, in place of `matrix`; False where a pivot all but vanishes.

    Rows are not exchanged: for steps that resolve what grows the diagonal is the largest of its row. What is 0 is
    passed over; unknowns with few neighbours should come first. Pivots are kept inverted.
    """
    n = unknowns.size
    for i in range(n):
        for j in range(n):
            matrix[i, j] = -jacobian[unknowns[i], unknowns[j]]
        matrix[i, i] += diagonal
    for k in range(n):
        if not abs(matrix[k, k]) > SMALLEST_PIVOT * diagonal:
            return False
        inverse = 1.0 / matrix[k, k]
        matrix[k, k] = inverse
        for i in range(k + 1, n):
            if matrix[i, k] != 0.0:
                factor = matrix[i, k] * inverse
                matrix[i, k] = factor
                for j in range(k + 1, n):
                    matrix[i, j] -= factor * matrix[k, j]
    return True


def substitute(matrix: Array, x: Array) -> None:
    """Solve in place by the factors that `prepare` left."""
    n = x.size
    for i in range(n):
        known = x[i]
        for j in range(i):
            known -= matrix[i, j] * x[j]
        x[i] = known
    for i in range(n - 1, -1, -1):
        known = x[i]
        for j in range(i + 1, n):
            known -= matrix[i, j] * x[j]
        x[i] = known * matrix[i, i]


def stage_state(method: Method, stage: int, sums: Array, state: Array, out: Array) -> None:
    """State at which a stage looks at the right-hand side."""
    for k in range(state.size):
        out[k] = state[k]
    for j in range(stage):
        share = method.before[stage, j]
        if share != 0.0:
            for k in range(state.size):
                out[k] += share * sums[j, k]


def stage_sum(
    method: Method,
    stage: int,
    h: float,
    rate: Array,
    matrix: Array,
    jacobian: Array,
    unknowns: Indices,
    paths: tuple[int, int],
    x: Array,
    sums: Array,
) -> None:
    """A stage's sum, from the rate at its state; `x` is room for the unknowns, `paths` the first and one past."""
    own = sums[stage]
    for k in range(rate.size):
        own[k] = rate[k]
    for j in range(stage):
        share = method.feed[stage, j] / h
        for k in range(rate.size):
            own[k] += share * sums[j, k]
    for i in range(unknowns.size):
        x[i] = own[unknowns[i]]
    substitute(matrix, x)
    for i in range(unknowns.size):
        own[unknowns[i]] = x[i]
    for k in range(paths[0], paths[1]):
        watts = own[k]
        for i in range(unknowns.size):
            watts += jacobian[k, unknowns[i]] * x[i]
        own[k] = h * method.gamma * watts


def end_of_step(method: Method, sums: Array, state: Array, out: Array) -> None:
    """State by the end of a step."""
    for k in range(state.size):
        out[k] = state[k]
    for i in range(method.after.size):
        for k in range(state.size):
            out[k] += method.after[i] * sums[i, k]


def within_step(method: Method, sums: Array, state: Array, share: float, out: Array) -> None:
    """State by a share of a step."""
    for k in range(state.size):
        out[k] = state[k]
    for i in range(method.after.size):
        a, b, c = method.within[0, i], method.within[1, i], method.within[2, i]
        weight = share * (a + share * (b + share * c))
        for k in range(state.size):
            out[k] += weight * sums[i, k]


def missed(
    method: Method, sums: Array, state: Array, new: Array, unknowns: Indices, rtol: float, tolerance: Array
) -> float:
    """Estimated error of a step over what is allowed, root of the mean square over the unknowns."""
    total, counted = 0.0, 0
    for i in range(unknowns.size):
        k = unknowns[i]
        if tolerance[k] < math.inf:
            error = 0.0
            for s in range(method.miss.size):
                error += method.miss[s] * sums[s, k]
            error /= tolerance[k] + rtol * max(abs(state[k]), abs(new[k]))
            total += error * error
            counted += 1
    return math.sqrt(total / max(counted, 1))


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
