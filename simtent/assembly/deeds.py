"""Kernels of what is done at the stove: they read a plan's orders and change its diary and the state."""

import math

from simtent import compiled
from simtent.assembly.parameters import Places, Slots
from simtent.assembly.plan import (
    AIR_TURNED,
    ARMED,
    BEGIN,
    BEGUN,
    BURNT_DOWN,
    BY,
    CALLED,
    CATCHES_ANYHOW,
    CAUGHT,
    COALS,
    END,
    FAILED,
    FULLEST,
    LIGHTED,
    LIT,
    MASS,
    MOST_NOTES,
    NOTES,
    OPENED,
    PUT,
    QUIETLY,
    ROWS,
    RULE,
    SET,
    SHUT,
    SINCE,
    TIME,
    TURN,
    UNTIL,
    WAITS,
    WHAT,
    WHOSE,
    Diary,
    Orders,
    Rules,
)
from simtent.network.arrays import Array
from simtent.network.builder import SHORTEST_STRETCH
from simtent.physics.coals import relight_chance

LIGHTING = 1000.0  # W, of match and tinder; common practice, no source
CATCHES = 0.5  # chance from which a load is taken to catch; common practice, no source
NOT_CAUGHT = 1e8  # s; a slot whose moment lies later has not caught


def next_due(due: Array, t: float) -> float:
    """The next moment strictly after t [s]; infinite if there is none."""
    found = math.inf
    for k in range(due.size):
        if t < due[k] < found:
            found = due[k]
    return found


def do_what_is_due(t: float, state: Array, orders: Orders, diary: Diary) -> None:
    """Do what is due at t, in the order of time, and of the rows where moments are the same."""
    due = diary.deeds.due
    while True:
        row = 0
        for k in range(due.size):
            if due[k] < due[row]:
                row = k
        if not due[row] <= t + SHORTEST_STRETCH:
            return
        due[row] = math.inf
        do(t, state, row, orders, diary)


def do(t: float, state: Array, row: int, orders: Orders, diary: Diary) -> None:
    """Do what stands in a row."""
    deeds, marks = diary.deeds, diary.marks
    kind, which, word = deeds.kind[row], deeds.which[row], deeds.word[row]
    if kind == SET:
        state[which] = deeds.share[row]
    elif kind == PUT:
        put(t, state, which, deeds.by[row], orders, diary)
        state[orders.places.door] = orders.door
        marks[OPENED] = word
        if orders.loads.lit[which] == 1:
            marks[LIGHTED] = word
    elif kind == SHUT and word == marks[OPENED]:  # else a later load has opened it
        state[orders.places.door] = 0.0
    elif kind == BURNT_DOWN and word == marks[LIGHTED]:
        state[orders.places.lighting] = 0.0
    elif kind == TURN and word >= marks[AIR_TURNED + which]:  # else the lever has been turned on a later word
        marks[AIR_TURNED + which] = word
        state[orders.levers[which]] = deeds.share[row]
        if deeds.says[row] != QUIETLY:
            note(t, state[orders.places.coals], deeds.says[row], 0.0, deeds.by[row], diary)
    elif kind == BEGIN:
        diary.rules[which, BEGUN] = 1
        wait(t, which, orders.rules.end[which], diary)
        if level(orders.rules, which, state) <= orders.rules.below[which]:
            call(t, state, which, orders, diary)
    elif kind == END:
        diary.rules[which, BEGUN] = 0


def put(t: float, state: Array, load: int, by: int, orders: Orders, diary: Diary) -> None:
    """Put a load on, and light it if it catches; with it whatever lay there unlit."""
    loads, slots, places = orders.loads, orders.slots, orders.places
    lit = loads.lit[load] == 1
    caught = lit or loads.lit[load] == CATCHES_ANYHOW or chance(state, slots, places) >= CATCHES
    what = LIT if lit else CAUGHT if caught else FAILED
    note(t, state[places.coals], what, loads.mass[load], by, diary)
    for k in range(loads.first[load], loads.past[load]):
        state[slots.first_dry + k] += slots.dry[k]
        state[slots.first_water + k] += slots.water[k]
    wood = 0.0
    for k in range(slots.dry.size):
        wood += max(state[slots.first_dry + k], 0.0)
    diary.marks[FULLEST] = max(diary.marks[FULLEST], orders.filled_by * wood)
    state[places.last_load] = loads.dry[load]
    if lit:
        state[places.lighting] = LIGHTING
    if caught:
        for k in range(slots.dry.size):
            if state[slots.first_dry + k] > 0.0 and state[slots.first_caught + k] >= NOT_CAUGHT:
                state[slots.first_caught + k] = t


def chance(state: Array, slots: Slots, places: Places) -> float:
    """Chance that what glows and burns now lights a load."""
    glowing = max(state[places.coals], 0.0)
    for k in range(slots.dry.size):
        if state[slots.first_caught + k] < NOT_CAUGHT:
            glowing += max(state[slots.first_dry + k], 0.0)
    there: float = relight_chance(glowing, state[places.last_load])
    return there


def level(rules: Rules, which: int, state: Array) -> float:
    """Temperature of the level a rule looks at [K]."""
    total = 0.0
    for k in range(rules.weights.shape[1]):
        total += float(rules.weights[which, k]) * float(state[k])
    return total


def watched(which: int, state: Array, orders: Orders, diary: Diary) -> float:
    """How far a rule's level is above the limit, or, once it has called, below being armed again [K]."""
    if diary.rules[which, BEGUN] == 0:
        return 1.0
    above: float = level(orders.rules, which, state) - orders.rules.below[which]
    if diary.rules[which, ARMED] == 1:
        return above
    below: float = orders.rules.rearm[which] - above
    return below


def notice(t: float, which: int, state: Array, orders: Orders, diary: Diary) -> None:
    """A level fell to a rule's limit, or rose far enough after a call."""
    if diary.rules[which, ARMED] == 1:
        call(t, state, which, orders, diary)
    else:
        diary.rules[which, ARMED] = 1
        wait(t, which, orders.rules.end[which], diary)


def call(t: float, state: Array, which: int, orders: Orders, diary: Diary) -> None:
    """Wake whoever tends the stove, unless the rule has called often enough or the coals are too few."""
    rules, turns, coals = orders.rules, orders.turns, state[orders.places.coals]
    diary.rules[which, ARMED] = 0
    stop_waiting(t, which, diary)
    if diary.rules[which, CALLED] == rules.most[which]:
        return
    if rules.needs_coals[which] == 1 and chance(state, orders.slots, orders.places) < CATCHES:
        note(t, coals, rules.words[which] + 1, 0.0, RULE, diary)
        return
    load = rules.first_load[which] + diary.rules[which, CALLED]
    diary.rules[which, CALLED] += 1
    note(t, coals, rules.words[which], 0.0, RULE, diary)
    at = t + rules.wake[which]
    later(at, at, PUT, load, 0.0, QUIETLY, diary)
    later(at + orders.door_open, at, SHUT, load, 0.0, QUIETLY, diary)
    for k in range(rules.first_turn[which], rules.past_turn[which]):
        later(at + turns.after[k], at, TURN, turns.lever[k], turns.share[k], turns.word[k], diary)


def later(due: float, word: float, kind: int, which: int, share: float, says: int, diary: Diary) -> None:
    """Add a row by a rule."""
    deeds, row = diary.deeds, diary.counts[ROWS]
    diary.counts[ROWS] = row + 1
    deeds.due[row], deeds.word[row], deeds.kind[row] = due, word, kind
    deeds.which[row], deeds.share[row], deeds.says[row], deeds.by[row] = which, share, says, RULE


def note(t: float, coals: float, what: int, mass: float, by: int, diary: Diary) -> None:
    """Write down what happened, and how much glowed then; beyond the last line it is only counted."""
    row = diary.counts[NOTES]
    diary.counts[NOTES] = row + 1
    if row < MOST_NOTES:
        diary.notes[row, TIME], diary.notes[row, WHAT], diary.notes[row, MASS] = t, what, mass
        diary.notes[row, COALS], diary.notes[row, BY] = max(coals, 0.0), by


def wait(t: float, which: int, until: float, diary: Diary) -> None:
    """Write down from when on a rule is armed in its hours."""
    row = diary.counts[WAITS]
    diary.counts[WAITS] = row + 1
    if row < MOST_NOTES:
        diary.waits[row, WHOSE], diary.waits[row, SINCE], diary.waits[row, UNTIL] = which, t, until


def stop_waiting(t: float, which: int, diary: Diary) -> None:
    """Write down until when it was."""
    for row in range(min(diary.counts[WAITS], MOST_NOTES) - 1, -1, -1):
        if diary.waits[row, WHOSE] == which:
            diary.waits[row, UNTIL] = t
            return


compiled.compile_module(globals())
