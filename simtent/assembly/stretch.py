"""From one stop of a night to the next, by the compiled driver: steps, what they tell, rules where they call."""

import math
from typing import NamedTuple

import numpy as np

from simtent import compiled
from simtent.assembly.deeds import watched
from simtent.assembly.parameters import Shelter
from simtent.assembly.plan import Diary, Orders, Plan
from simtent.network.arrays import Array, Indices
from simtent.network.builder import SHORTEST_STRETCH
from simtent.network.factors import factor
from simtent.network.multistep import append, at_share, begin_history, copy, forecast
from simtent.network.stepper import (
    AGE,
    CALLS,
    CARRIED,
    EVEN,
    FACTORED,
    FACTORS,
    HAIR,
    ORDER,
    PACE,
    REFUSED,
    SHRINK,
    STALE,
    STEP,
    STEPS,
    STRETCHES,
    UNSOLVED,
    Solver,
    choose,
    correct,
    first_step,
    growth,
    land,
    restep,
    size_of,
    take_jacobian,
)
from simtent.network.steps import READ, Book, past_of_stretch, scale_of_stretch, write_down

ROOT = 1e-6  # s, to which the moment of a rule is found
SMALLEST_STEP = 1e-7  # s
MOST_STEPS = 200_000  # of a night
KEPT = 60  # steps that a Jacobian serves
UNSOLVED_SHRINKS = 0.25  # what is left of a step whose corrections do not fade
REFUSED_BEFORE_ORDER_1 = 3
UNBROKEN = (
    0.1  # change of a step's worth of rates, over what is allowed, below which a stop breaks no history
)
FINE, NOT_FINITE, TOO_SMALL, TOO_MANY, TOO_MUCH, STRAYED = range(6)  # how a night ends


class Told(NamedTuple):
    """What a night tells: the times asked for [s], states and rows in force there, and how many are told."""

    times: Array
    states: Array
    rows: Indices
    reached: Indices  # [1]


def ready(t: float, c: float, p: Shelter, rows: Indices, solver: Solver) -> bool:
    """See to a Jacobian that is young enough, and factored for a step; False where that cannot be."""
    kept = solver.kept
    if kept[AGE] >= KEPT:
        take_jacobian(solver.slopes(t, solver.past[0], p, rows), solver)
    if c != kept[FACTORED]:
        sound = factor(solver.factors, solver.jacobian, solver.unknowns, 1.0 / c)
        solver.counts[FACTORS] += 1
        kept[FACTORED], kept[PACE] = c if sound else 0.0, 1.0
    return bool(c == kept[FACTORED])


def try_step(t: float, p: Shelter, rows: Indices, solver: Solver) -> float:
    """Solve for the change by the end of a step; its error over what is allowed, infinite where corrections grow."""
    kept, order = solver.kept, int(solver.kept[ORDER])
    alpha, miss = solver.formulas.alpha[order], solver.formulas.miss[order]
    solver.counts[STEPS] += 1
    if not ready(t, kept[STEP] / alpha, p, rows, solver):
        return math.inf if math.isfinite(solver.jacobian.sum()) else math.nan
    forecast(solver.past, order, solver.formulas.gamma, alpha, solver.ahead, solver.psi, solver.change)
    copy(solver.ahead, solver.trial)
    before = math.inf
    for _ in range(solver.most):
        rate = solver.rates(t + kept[STEP], solver.trial, p, rows)
        solver.counts[CALLS] += 1
        size = correct(kept[STEP] / alpha, rate, solver)
        if before < math.inf:
            kept[PACE] = max(0.3 * kept[PACE], size / before)
        if not size <= 2.0 * before:
            return size if math.isnan(size) else math.inf
        if size * min(1.0, kept[PACE]) * miss < solver.enough:
            error: float = miss * size_of(solver.change, solver.trial, solver)
            return error
        before = size
    return math.inf


def again_otherwise(miss: float, refused: int, solver: Solver) -> None:
    """Make ready for another try at a step: with a new Jacobian, or a shorter step."""
    kept = solver.kept
    if miss < math.inf:
        solver.counts[REFUSED] += 1
        if refused > REFUSED_BEFORE_ORDER_1:
            kept[ORDER] = 1.0
        restep(max(SHRINK, growth(miss, int(kept[ORDER]))), solver)
        return
    solver.counts[UNSOLVED] += 1
    if kept[AGE] > 0.0:
        kept[AGE] = STALE
    else:
        restep(UNSOLVED_SHRINKS, solver)


def tell(until: float, end: float, solver: Solver, rows: Indices, told: Told) -> None:
    """Write down the states at the times asked for before a moment, by the step that ended at `end`."""
    n, kept = told.reached[0], solver.kept
    while n < told.times.size and told.times[n] < until:
        at_share(solver.past, int(kept[ORDER]), (told.times[n] - end) / kept[STEP], told.states[n])
        copy(rows.ravel(), told.rows[n].ravel())
        n += 1
    told.reached[0] = n


def first_fall(solver: Solver, before: Array, fell: Indices, orders: Orders, diary: Diary) -> float:
    """Time from the beginning of the last step to the first fall of a watched value [s]; its length where none falls.

    `before` are the values at its beginning. Whatever falls at the same time is marked in `fell`.
    """
    h, order, there = solver.kept[STEP], int(solver.kept[ORDER]), solver.trial
    first: float = h
    moments = np.full(before.size, math.inf)
    for which in range(before.size):
        fell[which] = 0
        if before[which] <= 0.0 or watched(which, solver.past[0], orders, diary) > 0.0:
            continue
        low, high = 0.0, h
        while high - low > ROOT:
            middle = 0.5 * (low + high)
            at_share(solver.past, order, middle / h - 1.0, there)
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


def unbroken(state: Array, rate: Array, solver: Solver) -> bool:
    """Whether steps may go on from before a stop: nothing was moved there, and rates hardly changed."""
    kept, move = solver.kept, solver.move
    if kept[STEP] == 0.0:
        return False
    for k in range(state.size):
        if state[k] != solver.past[0, k]:
            return False
        move[k] = kept[STEP] * (rate[k] - solver.rate[k])
    return size_of(move, state, solver) < UNBROKEN


def begin(t: float, state: Array, p: Shelter, rows: Indices, solver: Solver, book: Book) -> bool:
    """Go on with the steps before a stop where nothing broke them, as the book has it; else begin with order 1.

    Returns whether they go on.
    """
    kept = solver.kept
    rate = solver.rates(t, state, p, rows)
    solver.counts[CALLS] += 1
    again = book.past.begin.size > 0
    if book.past.how[book.rows[READ]] > 0 if again else unbroken(state, rate, solver):
        solver.counts[CARRIED] += 1
        return True
    copy(state, solver.past[0])
    if kept[FACTORED] == 0.0:
        kept[AGE] = STALE
        ready(t, 1.0, p, rows, solver)
    kept[STEP], kept[ORDER], kept[EVEN] = first_step(rate, solver), 1.0, 0.0
    begin_history(solver.past, state, rate, kept[STEP])
    return False


def follow(left: float, end: int, scale: float, solver: Solver, book: Book) -> None:
    """Take order and length of the next step from the book, whose rows of this stretch end before `end`."""
    kept, past = solver.kept, book.past
    row = min(book.rows[READ], end - 1)
    length = min(left, scale * past.length[row])
    if row == end - 1 and past.fell[row] == 0:
        length = left
    order = abs(past.how[row])
    if order != kept[ORDER] or abs(length - kept[STEP]) > HAIR * length:
        kept[ORDER] = order
        restep(length / kept[STEP], solver)


def settle(
    t: float, stop: float, rows: Indices, values: Array, fell: Indices, plan: Plan, solver: Solver, told: Told
) -> tuple[float, bool, bool]:
    """Take a solved step in, and tell what was asked for within it.

    Returns until when it was gone, whether a watched value fell there, and whether the stop is reached.
    """
    order, h = int(solver.kept[ORDER]), solver.kept[STEP]
    append(solver.past, order, solver.change)
    solver.kept[AGE] += 1.0
    short = h
    if values.size > 0:
        short = first_fall(solver, values, fell, plan.orders, plan.diary)
        for which in range(values.size):
            values[which] = watched(which, solver.past[0], plan.orders, plan.diary)
    called, last = bool(fell.any()), t + h >= stop - HAIR * h
    until = t + h
    if called:
        until = t + short
    elif last:
        until = stop
    tell(until, t + h, solver, rows, told)
    if called:
        at_share(solver.past, order, short / h - 1.0, solver.trial)
    return until, called, last and not called


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
    book: Book,
) -> tuple[int, float]:
    """Step from t to a stop, or to where a watched value falls; `values` are those at t.

    Returns how it ended, and when; the state is carried along in place. Steps that the book has of another night are
    gone again: their error is not asked.
    """
    kept, counts, again = solver.kept, solver.counts, book.past.begin.size > 0
    counts[STRETCHES] += 1
    end, scale = past_of_stretch(counts[STRETCHES], book), 1.0
    if again:
        if end == book.rows[READ]:
            return STRAYED, t
        scale = scale_of_stretch(t, stop, end, book)
    sign, refused = 1 if begin(t, state, p, rows, solver, book) else -1, 0
    while counts[STEPS] < MOST_STEPS:
        if again:
            follow(stop - t, end, scale, solver, book)
        else:
            land(stop - t, solver)
        miss = try_step(t, p, rows, solver)
        if not miss < math.inf or (miss > 1.0 and not again):
            if again and kept[AGE] == 0.0:
                return STRAYED, t
            refused += 1
            again_otherwise(miss, refused, solver)
            if kept[STEP] < SMALLEST_STEP:
                return NOT_FINITE if math.isnan(miss) else TOO_SMALL, t
            continue
        until, called, last = settle(t, stop, rows, values, fell, plan, solver, told)
        write_down(t, until, kept[STEP], counts[STRETCHES], sign * int(kept[ORDER]), called, book)
        if again:
            book.rows[READ] = end if last or called else min(book.rows[READ] + 1, end)
        t, sign, refused = until, 1, 0
        if last or called:
            copy(solver.trial if called else solver.past[0], state)
            copy(solver.rates(t, state, p, rows), solver.rate)
            counts[CALLS] += 1
            kept[STEP] = 0.0 if called else kept[STEP]
            strayed = again and called != (book.past.fell[end - 1] == 1)
            return STRAYED if strayed else FINE, t
        if not again:
            choose(miss, solver)
    return TOO_MANY, t


compiled.compile_module(globals())
