"""Integrate a network from stop to stop with SciPy's solvers, and keep its ledger.

A load, a setting, a step or a kink of a table is a jump: the solver is stopped there and started anew, since
an adaptive solver can step over a short pulse in a quiet stretch without seeing it. A script stops it likewise,
at moments of its own or where a value it watches falls.
"""

import warnings
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from scipy.integrate import ODEintWarning, odeint, solve_ivp
from threadpoolctl import threadpool_limits

from simtent.errors import SolveError
from simtent.network.arrays import Array, Indices, Network
from simtent.network.builder import SHORTEST_STRETCH
from simtent.network.script import Agenda, Idle, Script

RightHandSide = Callable[[float, Array, Indices], Array]
Watch = Callable[[float, Array], Array]

# Kept out of the error norm: paths follow from the temperatures and must not drive the step; held numbers stay.
NO_TOLERANCE = 1e12
FIRST_STEP = 0.01  # s
MOST_STEPS = 1_000_000  # between two moments asked for
SUCCESSFUL = "Integration successful."
NOTHING = np.zeros(0, np.int64)
TINY = np.finfo(float).tiny


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
    states   [m, n + p + a + h]: nodes [K], heat along each path since the start [J], amounts, held numbers
    rates    [m, p] W: rate of each path; at a stop, the one after it
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
    script: Script | None = None,
) -> Trajectory:
    """Integrate from the first jump to `times[-1]` [s], stopping at every jump and for the script; `times` rise.

    `rhs` takes time [s], state and the tables' rows in force; so does `jacobian`, which saves the solver the
    differences if it is given. At a stop's own moment the state after it is reported.

    Raises SolveError, with the time reached and what may help, where the solver gives up or leaves the
    finite numbers.
    """
    if not jumps[0] <= times[0]:
        raise ValueError("the first time asked for lies before the first jump")
    script = Idle() if script is None else script
    stretches = _Stretches(rhs, jacobian, _tolerance(network, accuracy), accuracy, script)
    agenda = Agenda(network, jumps, script, float(times[-1]))
    state, rows = start.copy(), network.jumps.rows[0].copy()
    states = np.empty((times.size, start.size))
    held = np.empty((times.size, *rows.shape), np.int64)
    now, told, solved, calls, jacobians, spent = float(jumps[0]), 0, 0, 0, 0, NOTHING
    # On a few hundred nodes threads of linear algebra only wait for each other.
    with threadpool_limits(limits=1, user_api="blas"):
        agenda.begin(state, rows)
        while times[-1] - now > SHORTEST_STRETCH:
            stretch = stretches.solve(rows, state, (now, agenda.next_stop()), times[told:], spent)
            reached = told + len(stretch.states)
            states[told:reached], held[told:reached] = stretch.states, rows
            told, now, state = reached, stretch.stop, stretch.state
            solved, calls, jacobians = solved + 1, calls + stretch.calls, jacobians + stretch.jacobians
            spent = agenda.arrive(now, state, rows, stretch.fell)
        states[told:], held[told:] = state, rows
        first = network.capacity.size
        paths = slice(first, first + network.paths)
        rates = np.array([rhs(*seen)[paths] for seen in zip(times, states, held, strict=True)])
    return Trajectory(times, states, rates, held, calls + times.size, jacobians, solved, accuracy)


class _Stretch(NamedTuple):
    """From stop to stop: states at the times asked for before it, the stop, the state there, what fell there."""

    states: Array
    stop: float
    state: Array
    fell: Indices
    calls: int
    jacobians: int


@dataclass(frozen=True)
class _Stretches:
    """Solves stretch after stretch in one and the same way."""

    rhs: RightHandSide
    jacobian: RightHandSide | None
    tolerance: Array
    accuracy: Accuracy
    script: Script

    def solve(
        self, rows: Indices, state: Array, span: tuple[float, float], times: Array, spent: Indices
    ) -> _Stretch:
        """Solve from one stop to the next; `spent` values are not watched until they have risen."""
        watch = self._watched(span[0], spent)
        asked = times[: np.searchsorted(times, span[1])]
        if self.accuracy.method == "LSODA" and watch(span[0], state).size == 0:
            return self._unwatched(rows, state, span, asked)
        answer = self._answer(rows, state, span, np.append(asked, span[1]), watch)
        if answer.status == 0:
            return _Stretch(
                answer.y.T[:-1], span[1], answer.y[:, -1].copy(), NOTHING, answer.nfev, answer.njev
            )
        which = next(k for k, moments in enumerate(answer.t_events) if moments.size)
        stop, there = float(answer.t_events[which][0]), answer.y_events[which][0]
        before = np.searchsorted(asked, stop)
        states = answer.y.T[:before] if before else np.empty((0, state.size))
        fell = np.union1d(which, self._falling(stop, there, rows, watch))
        return _Stretch(states, stop, there, fell, answer.nfev + 1, answer.njev)

    def _unwatched(self, rows: Indices, state: Array, span: tuple[float, float], asked: Array) -> _Stretch:
        """Solve by the same LSODA without a return to Python at every step, where no value has to be watched."""
        rhs, jacobian = self.rhs, self.jacobian
        moments = np.concatenate(([span[0]], asked[asked > span[0]], [span[1]]))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", ODEintWarning)  # the message is read below
            answer, told = odeint(
                lambda t, y: rhs(t, y, rows),
                state,
                moments,
                tfirst=True,
                Dfun=(lambda t, y: jacobian(t, y, rows)) if jacobian else None,
                rtol=self.accuracy.rtol,
                atol=self.tolerance,
                tcrit=[span[1]],
                h0=min(FIRST_STEP, span[1] - span[0]),  # LSODA's own would depend on the first time asked for
                mxstep=MOST_STEPS,
                full_output=True,
            )
        self._refuse(told["message"] == SUCCESSFUL, answer, told["message"], span)
        states = answer[:-1] if asked.size and asked[0] <= span[0] else answer[1:-1]
        return _Stretch(
            states, span[1], answer[-1].copy(), NOTHING, int(told["nfe"][-1]), int(told["nje"][-1])
        )

    def _refuse(self, success: bool, states: Array, message: str, span: tuple[float, float]) -> None:
        """Raise SolveError unless the solver reached the end among finite numbers."""
        if not success or not np.all(np.isfinite(states)):
            raise SolveError(
                f"The solver ({self.accuracy.method}) gave up between {span[0] / 3600:.2f} h and "
                f"{span[1] / 3600:.2f} h after the beginning: {message} Look for a part with almost no "
                "heat capacity, or try another tolerance."
            )

    def _answer(
        self, rows: Indices, state: Array, span: tuple[float, float], asked: Array, watch: Watch
    ) -> Any:
        """SciPy's answer, or SolveError."""
        rhs, jacobian, method = self.rhs, self.jacobian, self.accuracy.method
        implicit = method in ("LSODA", "BDF", "Radau")
        answer = solve_ivp(
            lambda t, y: rhs(t, y, rows),
            span,
            state,
            method=method,
            t_eval=asked,
            events=[_event(watch, k) for k in range(watch(span[0], state).size)],
            rtol=self.accuracy.rtol,
            atol=self.tolerance,
            **({"jac": lambda t, y: jacobian(t, y, rows)} if jacobian and implicit else {}),
        )
        self._refuse(answer.success, answer.y, answer.message, span)
        return answer

    def _watched(self, begin: float, spent: Indices) -> Watch:
        """What the script watches, such that nothing that is at 0 or spent at the beginning falls there."""

        def watch(t: float, state: Array) -> Array:
            values = self.script.watch(t, state)
            values = np.where(values == 0.0, -TINY, values)
            if t <= begin + SHORTEST_STRETCH:
                values[spent] = -TINY
            return values

        return watch

    def _falling(self, t: float, state: Array, rows: Indices, watch: Watch) -> Indices:
        """Values that fall through 0 so near t that they do it together; a solver stopped there would lose them."""
        slope = self.rhs(t, state, rows)
        earlier = watch(t - SHORTEST_STRETCH, state - SHORTEST_STRETCH * slope)
        later = watch(t + SHORTEST_STRETCH, state + SHORTEST_STRETCH * slope)
        return np.flatnonzero((earlier > 0.0) & (later <= 0.0))


def _event(watch: Watch, which: int) -> Callable[[float, Array], float]:
    """One watched value as SciPy wants it: the solver stops where it falls through 0."""

    def event(t: float, state: Array) -> float:
        return float(watch(t, state)[which])

    event.terminal = True  # type: ignore[attr-defined]
    event.direction = -1.0  # type: ignore[attr-defined]
    return event


def _tolerance(network: Network, accuracy: Accuracy) -> Array:
    """Absolute tolerance of each number in the state."""
    nodes = np.full(network.capacity.size, accuracy.atol)
    paths = np.full(network.paths, NO_TOLERANCE)
    carried = np.where(network.scale > 0.0, accuracy.atol * network.scale, NO_TOLERANCE)
    return np.concatenate((nodes, paths, carried))
