"""A whole night in one compiled call: from jump to jump, from deed to deed, rules found where they call.

The same right-hand side, jumps and deeds as SciPy's way (`network.solve` with `tending` as its script), stepped by
backward differentiation that keeps a Jacobian for many steps: one costs as much as some 40 right-hand sides.
"""

import numpy as np

from simtent import compiled
from simtent.assembly.deeds import do_what_is_due, next_due, notice, watched
from simtent.assembly.parameters import Shelter
from simtent.assembly.plan import MOST_NOTES, NOTES, WAITS, Diary, Orders, Plan
from simtent.assembly.stretch import FINE, STRAYED, TOO_MUCH, Told, stretch
from simtent.network.arrays import Array, Indices, Jumps
from simtent.network.builder import SHORTEST_STRETCH
from simtent.network.kernels import apply_jump
from simtent.network.multistep import copy
from simtent.network.stepper import Solver
from simtent.network.steps import READ, Book


def watch_all(state: Array, orders: Orders, diary: Diary) -> Array:
    """Every watched value."""
    out = np.empty(orders.rules.begin.size)
    for which in range(out.size):
        out[which] = watched(which, state, orders, diary)
    return out


def pass_jumps(
    t: float,
    capacity: Array,
    jumps: Jumps,
    moments: Array,
    passed: int,
    last: float,
    state: Array,
    rows: Indices,
) -> int:
    """Carry the state over the jumps that are due; how many are passed."""
    due = t + SHORTEST_STRETCH
    while passed < moments.size and moments[passed] <= due and (passed == 0 or moments[passed] < last):
        apply_jump(capacity, jumps, passed, state, rows)
        passed += 1
    return passed


def pass_moments(t: float, done: float, last: float, state: Array, plan: Plan) -> float:
    """Do what is due at t, moment by moment; the last of them."""
    moment = next_due(plan.diary.deeds.due, done)
    while moment <= t + SHORTEST_STRETCH and moment < last:
        do_what_is_due(moment, state, plan.orders, plan.diary)
        done = moment
        moment = next_due(plan.diary.deeds.due, done)
    return done


def arrive(
    t: float, passed: int, done: float, last: float, moments: Array, state: Array, rows: Indices, fell: Indices,
    capacity: Array, jumps: Jumps, plan: Plan,
) -> tuple[int, float, Array]:  # fmt: skip
    """Do what is due at a stop; jumps passed, last moment done, and the values from which the next stretch begins.

    A value that was noticed and that nothing lifted is not watched until it has risen: it counts as fallen.
    """
    before = watch_all(state, plan.orders, plan.diary)
    passed = pass_jumps(t, capacity, jumps, moments, passed, last, state, rows)
    after = watch_all(state, plan.orders, plan.diary)
    for which in range(fell.size):
        if before[which] > 0.0 and after[which] <= 0.0:
            fell[which] = 1
    done = pass_moments(t, done, last, state, plan)
    for which in range(fell.size):
        if fell[which] == 1:
            notice(t, which, state, plan.orders, plan.diary)
    done = pass_moments(t, done, last, state, plan)
    values = watch_all(state, plan.orders, plan.diary)
    for which in range(fell.size):
        if fell[which] == 1 and values[which] <= before[which]:
            values[which] = 0.0
        fell[which] = 0
    return passed, done, values


def whole_night(
    state: Array,
    rows: Indices,
    p: Shelter,
    moments: Array,
    plan: Plan,
    solver: Solver,
    told: Told,
    book: Book,
) -> tuple[int, float]:
    """Solve a night from its first jump to the last time asked for; how it ended, and when [s].

    `moments` are those of the jumps [s]. The state at the end stands in `state`, what happened in the plan's diary.
    """
    end = told.times[told.times.size - 1]
    last, t = end - SHORTEST_STRETCH, moments[0]
    capacity, jumps = p.net.capacity, p.net.jumps
    fell = np.zeros(plan.orders.rules.begin.size, np.int64)
    passed = pass_jumps(t, capacity, jumps, moments, 0, last, state, rows)
    do_what_is_due(t, state, plan.orders, plan.diary)
    done = pass_moments(t, t, last, state, plan)
    values = watch_all(state, plan.orders, plan.diary)
    while end - t > SHORTEST_STRETCH:
        stop = end
        if passed < moments.size and moments[passed] < last:
            stop = min(stop, moments[passed])
        due = next_due(plan.diary.deeds.due, done)
        if due < last:
            stop = min(stop, due)
        ended, t = stretch(t, stop, state, p, rows, values, fell, plan, solver, told, book)
        if ended != FINE:
            return ended, t
        passed, done, values = arrive(
            t, passed, done, last, moments, state, rows, fell, capacity, jumps, plan
        )
        if max(plan.diary.counts[NOTES], plan.diary.counts[WAITS]) > MOST_NOTES:
            return TOO_MUCH, t
    if book.rows[READ] < book.past.begin.size:
        return STRAYED, t
    while told.reached[0] < told.times.size:
        copy(state, told.states[told.reached[0]])
        copy(rows.ravel(), told.rows[told.reached[0]].ravel())
        told.reached[0] += 1
    return FINE, t


compiled.compile_module(globals())
