"""Kernels of the past of a night as backward differences, shape (orders + 3, states): what `backward` steps from."""

from simtent import compiled
from simtent.network.arrays import Array, Indices


def copy(values: Array | Indices, into: Array | Indices) -> None:
    """Copy numbers one by one: compiled, an assignment of slices brings the making of its error message along."""
    for k in range(into.size):
        into[k] = values[k]


def begin_history(past: Array, state: Array, rate: Array, h: float) -> None:
    """Differences of a history that begins here: the state, and a step's worth of its rate."""
    for i in range(state.size):
        for j in range(2, past.shape[0]):
            past[j, i] = 0.0
        past[0, i] = state[i]
        past[1, i] = h * rate[i]


def forecast(
    past: Array, order: int, gamma: Array, alpha: float, ahead: Array, psi: Array, change: Array
) -> None:
    """State a step ahead by what was, no change over it, and what the earlier differences add to the formula."""
    for i in range(ahead.size):
        total, behind = past[0, i], 0.0
        for j in range(1, order + 1):
            total += past[j, i]
            behind += gamma[j] * past[j, i]
        ahead[i] = total
        psi[i] = behind / alpha
        change[i] = 0.0


def append(past: Array, order: int, change: Array) -> None:
    """Take a solved step into the differences."""
    for i in range(change.size):
        past[order + 2, i] = change[i] - past[order + 1, i]
        past[order + 1, i] = change[i]
        for j in range(order, -1, -1):
            past[j, i] += past[j + 1, i]


def at_share(past: Array, order: int, x: float, out: Array) -> None:
    """State by the polynomial through the last states, x steps after the last: -1 to 0 is the step that led to it."""
    for i in range(out.size):
        out[i] = past[0, i]
    weight = 1.0
    for j in range(1, order + 1):
        weight *= (x + j - 1.0) / j
        for i in range(out.size):
            out[i] += weight * past[j, i]


def regrid(past: Array, order: int, ratio: float, room: Array) -> None:
    """Differences of the same polynomial for a step of another length, which is `ratio` times the one there was."""
    for k in range(order + 1):
        at_share(past, order, -k * ratio, room[k])
    for j in range(1, order + 1):
        for k in range(order, j - 1, -1):
            for i in range(room.shape[1]):
                room[k, i] = room[k - 1, i] - room[k, i]
    for i in range(room.shape[1]):
        for k in range(order + 1):
            past[k, i] = room[k, i]
        past[order + 1, i], past[order + 2, i] = 0.0, 0.0


compiled.compile_module(globals())
