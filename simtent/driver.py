"""One night by the compiled driver: assembled, solved in one call, and handed back as `run.run` hands it back.

For where many nights are wanted: no step returns to Python, and the Jacobian is kept for many of them.
"""

import numpy as np

from simtent.assembly.assemble import Model, assemble
from simtent.assembly.parameters import SURFACE
from simtent.assembly.plan import nobody
from simtent.assembly.whole_night import (
    CALLS,
    JACOBIANS,
    NOT_FINITE,
    STRETCHES,
    TOO_MANY,
    TOO_MUCH,
    TOO_SMALL,
    Solver,
    Told,
    rates_told,
    whole_night,
)
from simtent.errors import SolveError
from simtent.network.arrays import Indices
from simtent.network.kernels import node_temperatures
from simtent.network.solve import Accuracy, Trajectory
from simtent.network.wmethod import method
from simtent.run import OUTPUT_STEP, Run, closed, tend
from simtent.scenario.scenario import Scenario

METHOD = "ROS34PW2"
SWIFT = Accuracy(METHOD, 3e-6, 3e-4)
ENDINGS = {
    NOT_FINITE: "its numbers are no longer finite, however small the step. Look for a value that no law can take.",
    TOO_SMALL: "no step is small enough. Look for a part with almost no heat capacity, or try another tolerance.",
    TOO_MANY: "it has made as many steps as a night may have. Look for a part with almost no heat capacity, or try "
    "another tolerance.",
    TOO_MUCH: "a rule was armed, or called, thousands of times. Give it a larger `rearm`.",
}


def drive(scenario: Scenario, *, accuracy: Accuracy = SWIFT, step: float = OUTPUT_STEP) -> Run:
    """Assemble and solve one night, reporting every `step` [s]; the method of `accuracy` is the driver's own.

    Raises
    ------
    SolveError
        The driver gave up, or energy does not add up to a millionth of the throughput.
    """
    model = assemble(scenario)
    net = model.shelter.net
    times = np.append(np.arange(0.0, model.net.end - 1e-6, step), model.net.end)
    tending = tend(scenario, model)
    plan = tending.plan if tending else nobody(model.shelter.stove.slots, model.shelter.stove.places)
    state, rows = model.start.copy(), net.jumps.rows[0].copy()
    told = Told(
        times,
        np.empty((times.size, state.size)),
        np.empty((times.size, *rows.shape), np.int64),
        np.zeros(1, np.int64),
    )
    solver = _solver(model, accuracy)
    ended, reached = whole_night(state, rows, model.shelter, model.net.jump_times(), plan, solver, told)
    if ended in ENDINGS:
        raise SolveError(f"The driver gave up {reached / 3600.0:.2f} h after the beginning: {ENDINGS[ended]}")
    solution = Trajectory(
        times,
        told.states,
        rates_told(model.shelter, told),
        told.rows,
        int(solver.counts[CALLS]) + times.size,
        int(solver.counts[JACOBIANS]),
        int(solver.counts[STRETCHES]),
        accuracy,
    )
    residual = closed(model, solution.states)
    return Run(scenario, model, solution, node_temperatures(net, solution.states), tending, residual)


def _solver(model: Model, accuracy: Accuracy) -> Solver:
    """How steps are made, with the room they need."""
    net, states = model.shelter.net, model.start.size
    unknowns, coefficients = _unknowns(model), method()
    tolerance = np.full(states, accuracy.atol)
    carried = net.capacity.size + net.paths
    scale = np.where(net.scale > 0.0, net.scale, np.inf)
    tolerance[carried:] = accuracy.atol * scale
    return Solver(
        method=coefficients,
        unknowns=unknowns,
        paths=(net.capacity.size, carried),
        rtol=accuracy.rtol,
        tolerance=tolerance,
        counts=np.zeros(6, np.int64),
        kept=np.zeros(2),
        sums=np.zeros((coefficients.alpha.size, states)),
        jacobian=np.zeros((states, states)),
        matrix=np.zeros((unknowns.size, unknowns.size)),
        x=np.zeros(unknowns.size),
        trial=np.zeros(states),
    )


def _unknowns(model: Model) -> Indices:
    """Nodes that are buried or are surfaces, then amounts, then air and stove: few zeros are lost to elimination."""
    net, felt = model.shelter.net, model.shelter.felt
    order = np.argsort(felt, kind="stable")
    first = net.capacity.size + net.paths
    amounts = np.arange(first, first + net.amounts)
    outer = felt[order] <= SURFACE
    return np.concatenate((order[outer], amounts, order[~outer])).astype(np.int64)
