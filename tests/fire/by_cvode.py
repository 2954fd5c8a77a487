"""A night with a fire by SUNDIALS' CVODE, on the same right-hand side, Jacobian and script."""

import numpy as np
from sksundae.cvode import CVODE
from threadpoolctl import threadpool_limits

from simtent.assembly.assemble import Model, assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import shelter_rhs
from simtent.network.arrays import Array
from simtent.network.script import Agenda, Idle
from simtent.run import tend
from simtent.scenario.scenario import Scenario

NOT_COUNTED = 1e12


def tolerances(model: Model, atol: float) -> Array:
    """Absolute tolerance of each number in the state, as our own solver has it."""
    net = model.shelter.net
    nodes = np.full(net.capacity.size, atol)
    carried = np.where(net.scale > 0.0, net.scale * atol, NOT_COUNTED)
    return np.concatenate((nodes, np.full(net.paths, NOT_COUNTED), carried))


def by_cvode(
    scenario: Scenario, times: Array, rtol: float, atol: float, *, jacobian: bool = True
) -> tuple[Array, int]:
    """States at the times [s], from stop to stop, and right-hand sides; a night without rules, for none is watched."""
    model = assemble(scenario)
    tending, net = tend(scenario, model), model.shelter.net
    assert tending is None or not tending.watches
    agenda = Agenda(net, model.net.jump_times(), tending or Idle(), float(times[-1]))
    state, rows = model.start.copy(), net.jumps.rows[0].copy()

    # What CVODE lends cannot be written to: a type of its own, for which all would be compiled once more. Hence copies.
    def rates(t: float, y: Array, out: Array) -> None:
        out[:] = shelter_rhs(t, y.copy(), model.shelter, rows)

    def slopes(t: float, y: Array, _rate: Array, out: Array) -> None:
        out[:] = shelter_jacobian(t, y.copy(), model.shelter, rows)

    options = {"jacfn": slopes} if jacobian else {}
    solver = CVODE(rates, rtol=rtol, atol=tolerances(model, atol), max_num_steps=100_000, **options)
    states, now, calls = np.empty((times.size, state.size)), 0.0, 0
    nothing = np.zeros(0, np.int64)
    with threadpool_limits(limits=1, user_api="blas"):
        agenda.begin(state, rows)
        while times[-1] - now > 1e-3:
            stop = agenda.next_stop()
            wanted = (times >= now) & (times < stop)
            answer = solver.solve(np.unique(np.concatenate(([now], times[wanted], [stop]))), state)
            assert answer.success, answer.message
            states[wanted] = answer.y[np.searchsorted(answer.t, times[wanted])]
            state, now, calls = answer.y[-1].copy(), stop, calls + int(answer.nfev)
            agenda.arrive(now, state, rows, nothing)
    states[times >= now] = state
    return states, calls
