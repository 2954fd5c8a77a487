"""Steps by backward differentiation: their corrections, lengths and orders; the right-hand side is its caller's.

Only the unknowns (nodes and amounts) stand in the linear system. Nothing reads the heat gone along a path, so what a
correction adds there follows from the unknowns' by the Jacobian's own rows, and the ledger closes to round-off
however far the corrections went.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

from simtent import compiled
from simtent.network.arrays import Array, Indices
from simtent.network.backward import MOST_ORDER, Formulas
from simtent.network.factors import Factors, find_places, substitute
from simtent.network.multistep import copy, regrid

CAREFUL = 0.85  # share of the step that the error allows
WORTH_IT = (
    2.0  # growth for which a step is made longer: the matrix is factored anew, the differences reckoned anew
)
GROW, SHRINK = 10.0, 0.2  # bounds of a change of the step
BENT = 0.5  # share of the allowed error that the first step may bend away from its rate
LONGEST_FIRST = 60.0  # s
HAIR = 1e-9  # of a step, by which it may miss a stop
STALE = 1e9  # an age at which no Jacobian is used
AGE, FACTORED, STEP, ORDER, EVEN, PACE = range(6)  # what is kept, `Solver.kept`
CALLS, JACOBIANS, FACTORS, STEPS, REFUSED, UNSOLVED, STRETCHES, CARRIED = range(8)  # what is counted


class Solver(NamedTuple):
    """How steps are made, what is kept from one to the next, and the room they need.

    rates      the right-hand side: of t, state, and two more of its caller's; slopes: its Jacobian, of the same
    unknowns   states that the linear system holds, those with few neighbours first
    paths      the first, and one past the last
    feed       what each unknown adds to each path, shape (unknowns, paths): rows of the Jacobian
    tolerance  absolute, of each state; infinite where it is not asked
    enough     share of the allowed error at which corrections end; most: how many a step may have
    kept       age of the Jacobian [steps]; c that it is factored for [s]; step [s]; order; steps since either changed;
               how corrections fade, each over the one before
    past       backward differences, shape (orders + 3, states); room: for orders + 1 states
    """

    rates: Callable[..., Array]
    slopes: Callable[..., Array]
    formulas: Formulas
    unknowns: Indices
    paths: tuple[int, int]
    rtol: float
    tolerance: Array
    enough: float
    most: int
    counts: Indices
    kept: Array
    past: Array
    room: Array
    jacobian: Array
    feed: Array
    factors: Factors
    x: Array
    trial: Array
    ahead: Array
    psi: Array
    change: Array
    move: Array
    rate: Array


def size_of(change: Array, state: Array, solver: Solver) -> float:
    """Size of a change over what is allowed, root of the mean square over the unknowns."""
    total, counted, tolerance = 0.0, 0, solver.tolerance
    for i in range(solver.unknowns.size):
        k = solver.unknowns[i]
        if tolerance[k] < math.inf:
            share = change[k] / (tolerance[k] + solver.rtol * abs(state[k]))
            total += share * share
            counted += 1
    return math.sqrt(total / max(counted, 1))


def take_jacobian(jacobian: Array, solver: Solver) -> None:
    """Put another Jacobian in place of the one there was."""
    unknowns, (first, end) = solver.unknowns, solver.paths
    copy(jacobian.ravel(), solver.jacobian.ravel())
    for i in range(unknowns.size):
        for k in range(first, end):
            solver.feed[i, k - first] = jacobian[k, unknowns[i]]
    find_places(solver.factors, jacobian, unknowns)
    solver.counts[JACOBIANS] += 1
    solver.kept[AGE], solver.kept[FACTORED] = 0.0, 0.0


def correct(c: float, rate: Array, solver: Solver) -> float:
    """Correct the change of a step, given the rate at its trial state; the correction's size over what is allowed."""
    unknowns, x, change, psi, move = solver.unknowns, solver.x, solver.change, solver.psi, solver.move
    for i in range(unknowns.size):
        k = unknowns[i]
        x[i] = rate[k] - (psi[k] + change[k]) / c
    substitute(solver.factors, x)
    for i in range(unknowns.size):
        move[unknowns[i]] = x[i]
    first, end = solver.paths
    for k in range(first, end):
        move[k] = rate[k]
    for i in range(unknowns.size):
        for k in range(first, end):
            move[k] += solver.feed[i, k - first] * x[i]
    for k in range(first, end):
        move[k] = c * move[k] - psi[k] - change[k]
    for k in range(move.size):
        change[k] += move[k]
        solver.trial[k] = solver.ahead[k] + change[k]
    return size_of(move, solver.ahead, solver)


def restep(ratio: float, solver: Solver) -> None:
    """Go on with a step of another length."""
    regrid(solver.past, int(solver.kept[ORDER]), ratio, solver.room)
    solver.kept[STEP] *= ratio
    solver.kept[EVEN] = 0.0


def growth(error: float, order: int) -> float:
    """By what a step of an order may grow, given its error over what is allowed."""
    return float(CAREFUL * max(error, 1e-9) ** (-1.0 / (order + 1)))


def choose(error: float, solver: Solver) -> None:
    """Order and length of the next step, once as many alike were made as the order has past states."""
    kept, miss, state = solver.kept, solver.formulas.miss, solver.past[0]
    order = int(kept[ORDER])
    kept[EVEN] += 1.0
    if kept[EVEN] <= order:
        return
    best, chosen = growth(error, order), order
    if order > 1:
        other = growth(miss[order - 1] * size_of(solver.past[order], state, solver), order - 1)
        if other > best:
            best, chosen = other, order - 1
    if order < MOST_ORDER:
        other = growth(miss[order + 1] * size_of(solver.past[order + 2], state, solver), order + 1)
        if other > best:
            best, chosen = other, order + 1
    if best >= WORTH_IT:
        kept[ORDER] = chosen
        restep(min(GROW, best), solver)
    else:
        kept[ORDER] = min(chosen, order)


def land(left: float, solver: Solver) -> None:
    """Shorten a step that would pass a stop, and halve what is left where the step after it would."""
    step = solver.kept[STEP]
    if step > left + HAIR * step:
        restep(left / step, solver)
    elif step < left - HAIR * step < 2.0 * step - 2.0 * HAIR * step:
        restep(0.5 * left / step, solver)


def first_step(rate: Array, solver: Solver) -> float:
    """A step over which the rate hardly bends by the kept Jacobian [s]."""
    unknowns, bend = solver.unknowns, solver.move
    for i in range(unknowns.size):
        total = 0.0
        for j in range(unknowns.size):
            total += solver.jacobian[unknowns[i], unknowns[j]] * rate[unknowns[j]]
        bend[unknowns[i]] = total
    size = size_of(bend, solver.past[0], solver)
    return min(LONGEST_FIRST, BENT * math.sqrt(2.0 / size)) if size > 0.0 else LONGEST_FIRST


compiled.compile_module(globals())
