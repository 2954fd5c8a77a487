"""Integrate a network from jump to jump with SciPy's solvers, and keep its ledger.

A load, a setting, a step or a kink of a table is a jump: the solver is stopped there and started anew, since
an adaptive solver can step over a short pulse in a quiet stretch without seeing it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp
from threadpoolctl import threadpool_limits

from simtent.errors import SolveError
from simtent.network.arrays import Array, Indices, Network
from simtent.network.kernels import apply_jump

RightHandSide = Callable[[float, Array, Indices], Array]

# Kept out of the error norm: the paths follow from the temperatures and must not drive the step.
PATH_TOLERANCE = 1e12


@dataclass(frozen=True)
class Accuracy:
    """How a run is solved: SciPy method, relative tolerance, absolute tolerance [K]."""

    method: str = "LSODA"
    rtol: float = 1e-6
    atol: float = 1e-4


@dataclass(frozen=True)
class Trajectory:
    """Solution of a network.

    times    [m] s, as asked for
    states   [m, n + p]: temperatures [K], then heat along each path since the start [J]
    rates    [m, p] W: rate of each path; at a jump, the one after it
    rows     [m, tables, 2]: rows of the tables in force at each time
    calls      evaluations of the right-hand side, those inside a given Jacobian apart
    jacobians  evaluations of the Jacobian
    jumps      number of stretches solved
    accuracy   how it was solved
    """

    times: Array
    states: Array
    rates: Array
    rows: Indices
    calls: int
    jacobians: int
    jumps: int
    accuracy: Accuracy


def solve(
    rhs: RightHandSide,
    network: Network,
    start: Array,
    jumps: Array,
    times: Array,
    accuracy: Accuracy,
    jacobian: RightHandSide | None = None,
) -> Trajectory:
    """Integrate from the first jump to `times[-1]` [s], stopping at every jump; `times` rise.

    `rhs` takes time [s], state and the tables' rows in force; so does `jacobian`, which saves the solver the
    differences if it is given.

    Raises SolveError, with the time reached and what may help, where the solver gives up or leaves the
    finite numbers.
    """
    if not jumps[0] <= times[0]:
        raise ValueError("the first time asked for lies before the first jump")
    n = network.capacity.size
    jumps = jumps[(jumps < times[-1]) | (jumps == jumps[0])]
    state, rows = start.copy(), network.jumps.rows[0].copy()
    states = np.empty((times.size, start.size))
    rates = np.empty((times.size, start.size - n))
    held = np.empty((times.size, *rows.shape), np.int64)
    ends = np.append(jumps[1:], times[-1])
    calls = jacobians = 0
    # On a few hundred nodes threads of linear algebra only wait for each other.
    with threadpool_limits(limits=1, user_api="blas"):
        for jump, (begin, end) in enumerate(zip(jumps, ends, strict=True)):
            apply_jump(network.capacity, network.jumps, jump, state, rows)
            last = jump == len(jumps) - 1
            wanted = np.flatnonzero((times >= begin) & ((times <= end) if last else (times < end)))
            asked = times[wanted] if last else np.append(times[wanted], end)
            answer = _stretch(rhs, jacobian, rows, state, (begin, end), asked, n, accuracy)
            calls += answer.nfev + wanted.size
            jacobians += answer.njev
            state = answer.y[:, -1].copy()
            held[wanted] = rows
            for k, found in zip(wanted, answer.y.T, strict=False):
                states[k] = found
                rates[k] = rhs(times[k], found, rows)[n:]
    return Trajectory(times, states, rates, held, calls, jacobians, len(jumps), accuracy)


def _stretch(
    rhs: RightHandSide,
    jacobian: RightHandSide | None,
    rows: Indices,
    state: Array,
    span: tuple[float, float],
    asked: Array,
    nodes: int,
    accuracy: Accuracy,
) -> Any:
    """Solve from one jump to the next; SciPy's answer, or SolveError."""
    tolerance = np.full(state.size, PATH_TOLERANCE)
    tolerance[:nodes] = accuracy.atol
    implicit = accuracy.method in ("LSODA", "BDF", "Radau")
    answer = solve_ivp(
        lambda t, y: rhs(t, y, rows),
        span,
        state,
        method=accuracy.method,
        t_eval=asked,
        rtol=accuracy.rtol,
        atol=tolerance,
        **({"jac": lambda t, y: jacobian(t, y, rows)} if jacobian and implicit else {}),
    )
    if not answer.success or not np.all(np.isfinite(answer.y)):
        raise SolveError(
            f"The solver ({accuracy.method}) gave up between {span[0] / 3600:.2f} h and {span[1] / 3600:.2f} h after "
            f"the beginning: {answer.message} Look for a part with almost no heat capacity, or try another tolerance."
        )
    return answer
