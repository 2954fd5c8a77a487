"""Room for the arrays of a stepper, made in Python."""

from typing import Any

import numpy as np

from simtent.network.arrays import Array
from simtent.network.backward import MOST_ORDER, formulas
from simtent.network.factors import Factors
from simtent.network.stepper import CARRIED, PACE, Solver


def room_for_factors(n: int) -> Factors:
    """Room for a matrix of n rows."""
    return Factors(
        matrix=np.zeros((n, n)),
        places=np.zeros(n * n, np.int64),
        starts=np.zeros(2 * n + 1, np.int64),
        inverse=np.zeros(n),
    )


def room_for_solver(states: int, **given: Any) -> Solver:
    """A solver of so many states that has not begun; `given` are its fields that are no room."""
    first, end = given["paths"]
    unknowns = given["unknowns"].size

    def room(*shape: int) -> Array:
        return np.zeros(shape)

    return Solver(
        **given,
        formulas=formulas(),
        counts=np.zeros(CARRIED + 1, np.int64),
        kept=room(PACE + 1),
        past=room(MOST_ORDER + 3, states),
        room=room(MOST_ORDER + 1, states),
        jacobian=room(states, states),
        feed=room(unknowns, end - first),
        factors=room_for_factors(unknowns),
        x=room(unknowns),
        trial=room(states),
        ahead=room(states),
        psi=room(states),
        change=room(states),
        move=room(states),
        rate=room(states),
    )
