"""A whole night in one compiled call: from jump to jump, from deed to deed, rules found where they call.

The same right-hand side, jumps and deeds as SciPy's way (`network.solve` with `tending` as its script), stepped by a
Rosenbrock method that keeps a Jacobian for many steps: one costs as much as some 40 right-hand sides.
"""

import math
from typing import NamedTuple

import numpy as np

from simtent import compiled
from simtent.assembly.deeds import do_what_is_due, next_due, notice, watched
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.parameters import Shelter
from simtent.assembly.plan import MOST_NOTES, NOTES, WAITS, Diary, Orders, Plan
from simtent.assembly.rhs import shelter_rhs
from simtent.network.arrays import Array, Indices, Jumps
from simtent.network.builder import SHORTEST_STRETCH
from simtent.network.kernels import apply_jump
from simtent.network.stepping import (
    end_of_step,
    missed,
    prepare,
    stage_state,
    stage_sum,
    within_step,
)
from simtent.network.wmethod import Method

ROOT = 1e-3  # s, to which the moment of a rule is found
FIRST_STEP = 0.1  # s, of every stretch
SMALLEST_STEP = 1e-7  # s
MOST_STEPS = 200_000  # of a night
ORDER = 3.0  # of the error of one step, by the embedded method
CAREFUL = 0.85  # share of the step that the error allows
SHRINK, GROW = 0.2, 5.0  # bounds of a change of the step
NOT_WORTH_IT = 1.2  # growth for which the matrix is not factored anew
KEPT = 30  # steps that a Jacobian serves
YOUNG = 5  # steps within which it is not to blame for one that failed
AGE, FACTORED = range(2)  # of the Jacobian [steps]; the step it is factored for [s]
FINE, NOT_FINITE, TOO_SMALL, TOO_MANY, TOO_MUCH = range(5)  # how a night ends
CALLS, JACOBIANS, FACTORS, STEPS, REFUSED, STRETCHES = range(6)  # what is counted


class Solver(NamedTuple):
    """How steps are made, and the room they need."""

    method: Method
    unknowns: Indices  # states that the linear system holds, those with few neighbours first
    paths: tuple[int, int]  # the first, and one past the last
    rtol: float
    tolerance: Array  # of each state
    counts: Indices
    kept: Array  # [2]
    sums: Array  # [stages, states]
    jacobian: Array  # [states, states]
    matrix: Array  # [unknowns, unknowns]
    x: Array  # [unknowns]
    trial: Array  # [states]


class Told(NamedTuple):
    """What a night tells: the times asked for [s], states and rows in force there, and how many are told."""

    times: Array
    states: Array
    rows: Indices
    reached: Indices  # [1]


def try_step(
    t: float, h: float, state: Array, rate: Array, new: Array, p: Shelter, rows: Indices, solver: Solver
) -> float:
    """State after a step into `new`; its estimated error over what is allowed."""
    method = solver.method
    for stage in range(method.alpha.size):
        slope = rate
        if stage > 0:
            stage_state(method, stage, solver.sums, state, solver.trial)
            slope = shelter_rhs(t + method.alpha[stage] * h, solver.trial, p, rows)
            solver.counts[CALLS] += 1
        stage_sum(
            method, stage, h, slope, solver.matrix, solver.jacobian, solver.unknowns, solver.paths, solver.x,
            solver.sums,
        )  # fmt: skip
    end_of_step(method, solver.sums, state, new)
    solver.counts[STEPS] += 1
    miss: float = missed(method, solver.sums, state, new, solver.unknowns, solver.rtol, solver.tolerance)
    return miss


def tell(
    t: float, until: float, h: float, state: Array, rows: Indices, method: Method, sums: Array, told: Told
) -> None:
    """Write down the states at the times asked for before a moment of the step from t."""
    n = told.reached[0]
    while n < told.times.size and told.times[n] < until:
        within_step(method, sums, state, (told.times[n] - t) / h, told.states[n])
        told.rows[n] = rows
        n += 1
    told.reached[0] = n


def first_fall(
    h: float, state: Array, before: Array, method: Method, sums: Array, there: Array, fell: Indices, orders: Orders,
    diary: Diary,
) -> float:  # fmt: skip
    """Time from the beginning of a step to the first fall of a watched value [s]; `h` where none falls.

    `before` are the values at its beginning, `there` is room for a state. Whatever falls at the same time is marked in
    `fell`.
    """
    first = h
    moments = np.full(before.size, math.inf)
    for which in range(before.size):
        fell[which] = 0
        if before[which] <= 0.0:
            continue
        within_step(method, sums, state, 1.0, there)
        if watched(which, there, orders, diary) > 0.0:
            continue
        low, high = 0.0, h
        while high - low > ROOT:
            middle = 0.5 * (low + high)
            within_step(method, sums, state, middle / h, there)
            if watched(which, there, orders, diary) > 0.0:
                low = middle
            else:
                high = middle
        moments[which] = high
        first = min(first, high)
    for which in range(before.size):
        if moments[which] <= first + SHORTEST_STRETCH:
            fell[which] = 1
    return first


def ready(t: float, h: float, state: Array, p: Shelter, rows: Indices, solver: Solver) -> bool:
    """See to a Jacobian that is young enough, and factored for a step; False where that cannot be."""
    kept = solver.kept
    if kept[AGE] >= KEPT:
        solver.jacobian[:] = shelter_jacobian(t, state, p, rows)
        solver.counts[JACOBIANS] += 1
        kept[AGE], kept[FACTORED] = 0.0, 0.0
    if h != kept[FACTORED]:
        sound = prepare(solver.matrix, solver.jacobian, solver.unknowns, 1.0 / (h * solver.method.gamma))
        solver.counts[FACTORS] += 1
        kept[FACTORED] = h if sound else 0.0
    return bool(h == kept[FACTORED])


def next_step(h: float, miss: float) -> float:
    """The step that an error over what is allowed calls for [s]; as it is where a new one is not worth its factors."""
    growth = min(GROW, max(SHRINK, CAREFUL * max(miss, 1e-9) ** (-1.0 / ORDER))) if miss < math.inf else 0.1
    return h if 1.0 <= growth <= NOT_WORTH_IT else growth * h


def stretch(
    t: float,
    stop: float,
    state: Array,
    p: Shelter,
    rows: Indices,
    values: Array,
    fell: Indices,
    plan: Plan,
    solver: Solver,
    told: Told,
) -> tuple[int, float]:
    """Step from t to a stop, or to where a watched value falls; `values` are those at t.

    Returns how it ended, and when; the state is carried along in place.
    """
    h, kept, sums = min(FIRST_STEP, stop - t), solver.kept, solver.sums
    kept[AGE] = KEPT
    rate, new = shelter_rhs(t, state, p, rows), np.empty(state.size)
    solver.counts[CALLS] += 1
    solver.counts[STRETCHES] += 1
    while solver.counts[STEPS] < MOST_STEPS:
        last = t + h >= stop - SMALLEST_STEP
        if last:
            h = stop - t
        miss = math.inf
        if ready(t, h, state, p, rows, solver):
            miss = try_step(t, h, state, rate, new, p, rows, solver)
        if not miss <= 1.0:
            solver.counts[REFUSED] += 1
            if kept[AGE] > YOUNG:
                kept[AGE] = KEPT
            h = next_step(h, miss)
            if h < SMALLEST_STEP:
                return TOO_SMALL if math.isfinite(miss) else NOT_FINITE, t
            continue
        if values.size > 0:
            short = first_fall(
                h, state, values, solver.method, sums, solver.trial, fell, plan.orders, plan.diary
            )
            if fell.any():
                tell(t, t + short, h, state, rows, solver.method, sums, told)
                within_step(solver.method, sums, state, short / h, new)
                state[:] = new
                return FINE, t + short
        tell(t, stop if last else t + h, h, state, rows, solver.method, sums, told)
        state[:] = new
        if last:
            return FINE, stop
        t, h = t + h, next_step(h, miss)
        kept[AGE] += 1.0
        for which in range(values.size):
            values[which] = watched(which, state, plan.orders, plan.diary)
        rate = shelter_rhs(t, state, p, rows)
        solver.counts[CALLS] += 1
    return TOO_MANY, t


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
    state: Array, rows: Indices, p: Shelter, moments: Array, plan: Plan, solver: Solver, told: Told
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
        ended, t = stretch(t, stop, state, p, rows, values, fell, plan, solver, told)
        if ended != FINE:
            return ended, t
        passed, done, values = arrive(
            t, passed, done, last, moments, state, rows, fell, capacity, jumps, plan
        )
        if max(plan.diary.counts[NOTES], plan.diary.counts[WAITS]) > MOST_NOTES:
            return TOO_MUCH, t
    while told.reached[0] < told.times.size:
        told.states[told.reached[0]], told.rows[told.reached[0]] = state, rows
        told.reached[0] += 1
    return FINE, t


def rates_told(p: Shelter, told: Told) -> Array:
    """Rate of every path at every time told [W]."""
    first = p.net.capacity.size
    out = np.empty((told.times.size, p.net.paths))
    for n in range(told.times.size):
        out[n] = shelter_rhs(told.times[n], told.states[n], p, told.rows[n])[first : first + p.net.paths]
    return out


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
