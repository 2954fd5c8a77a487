"""One night by the compiled driver: assembled, solved in one call, and handed back as `run.run` hands it back.

For where many nights are wanted: no step returns to Python, and the Jacobian is kept for many of them.
"""

import numpy as np

from simtent.assembly.assemble import Model, assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.parameters import SURFACE
from simtent.assembly.plan import nobody
from simtent.assembly.rhs import shelter_rhs
from simtent.assembly.stretch import MOST_STEPS, NOT_FINITE, STRAYED, TOO_MANY, TOO_MUCH, TOO_SMALL, Told
from simtent.assembly.whole_night import whole_night
from simtent.errors import SolveError
from simtent.handle import entry, handle
from simtent.network.arrays import Array, Indices
from simtent.network.book import made, open_book
from simtent.network.kernels import node_temperatures
from simtent.network.rooms import room_for_solver
from simtent.network.solve import Accuracy, Trajectory
from simtent.network.stepper import CALLS, JACOBIANS, STRETCHES, Solver
from simtent.network.steps import Steps
from simtent.onward import Course, begun_at, done_till
from simtent.run import OUTPUT_STEP, Run, closed, reported, tend
from simtent.scenario.scenario import Scenario

KERNELS = ("whole_night.whole_night",)  # compiled last
METHOD = "NDF"
SWIFT = Accuracy(METHOD, 1e-6, 1e-4)
# share of the allowed error at which the corrections of a step end, and how many there may be; closer where steps are
# gone again, for what two such nights differ by must not be the rest of a correction
ENOUGH, CLOSER = (0.02, 4), (2e-5, 30)
ENDINGS = {
    NOT_FINITE: "its numbers are no longer finite, however small the step. Look for a value that no law can take.",
    TOO_SMALL: "no step is small enough. Look for a part with almost no heat capacity, or try another tolerance.",
    TOO_MANY: "it has made as many steps as a night may have. Look for a part with almost no heat capacity, or try "
    "another tolerance.",
    TOO_MUCH: "a rule was armed, or called, thousands of times. Give it a larger `rearm`.",
    STRAYED: "it does not go from stop to stop as the night does whose steps it was to repeat.",
}


def drive(
    scenario: Scenario,
    *,
    accuracy: Accuracy = SWIFT,
    step: float = OUTPUT_STEP,
    replay: Steps | None = None,
    until: float = np.inf,
    onward: tuple[Course, float] | None = None,
    rates: bool = True,
) -> Run:
    """Assemble and solve one night, reporting every `step` [s]; the method of `accuracy` is the driver's own.

    With `replay` it makes the steps of another run, whatever their error: for nights that differ by a hair. With
    `until` it ends earlier [s]. With `onward` it goes on from the course of another night, told every `step` too, that
    is the same until a moment [s]: same shelter, weather, accuracy, and the same deeds before it. It tells those times
    as the other did; of its events and steps only what came later is its own. Without `rates` those along paths are
    left out, for nights of which only states are read.

    Raises
    ------
    SolveError
        The driver gave up, or energy does not add up to a millionth of the throughput; or the night does not go
        from stop to stop as the one whose steps it repeats.
    """
    model = assemble(scenario)
    net = model.shelter.net
    times = reported(min(model.net.end, until), step)
    tending = tend(scenario, model)
    plan = tending.plan if tending else handle(nobody(model.shelter.stove.slots, model.shelter.stove.places))
    state, rows, moments, begun = model.start.copy(), net.jumps.rows[0].copy(), model.net.jump_times(), 0
    states = np.empty((times.size, state.size))
    rows_told = np.empty((times.size, *rows.shape), np.int64)
    if onward is not None:
        course, moment = onward
        begun = begun_at(times, moment)
        states[: begun + 1], rows_told[:begun] = course.laid_out(model, begun + 1), course.rows[:begun]
        done_till(times[begun], model, plan, states[: begun + 1])
        state, moments = states[begun].copy(), np.maximum(moments, times[begun])
    told = handle(Told(times[begun:], states[begun:], rows_told[begun:], np.zeros(1, np.int64)))
    solver = handle(_solver(model, accuracy, *(ENOUGH if replay is None else CLOSER)))
    book = handle(open_book(replay, MOST_STEPS))
    ended, reached = whole_night(state, rows, model.shelter, moments, plan, solver, told, book)
    if ended in ENDINGS:
        raise SolveError(f"The driver gave up {reached / 3600.0:.2f} h after the beginning: {ENDINGS[ended]}")
    solution = Trajectory(
        times,
        states,
        _rates_along_paths(model, times, states, rows_told) if rates else np.empty((times.size, 0)),
        rows_told,
        int(solver.counts[CALLS]) + times.size,
        int(solver.counts[JACOBIANS]),
        int(solver.counts[STRETCHES]),
        accuracy,
    )
    residual = closed(model, solution.states)
    return Run(
        scenario, model, solution, node_temperatures(net, solution.states), tending, residual, made(book)
    )


def _rates_along_paths(model: Model, times: Array, states: Array, rows: Indices) -> Array:
    """Rate of every path at every time told [W]."""
    first, paths = model.shelter.net.capacity.size, model.shelter.net.paths
    out = np.empty((times.size, paths))
    for n, (t, state, in_force) in enumerate(zip(times, states, rows, strict=True)):
        out[n] = shelter_rhs(t, state, model.shelter, in_force)[first : first + paths]
    return out


def _solver(model: Model, accuracy: Accuracy, enough: float, most: int) -> Solver:
    """How steps are made, with the room they need."""
    net = model.shelter.net
    carried = net.capacity.size + net.paths
    tolerance = np.full(model.start.size, accuracy.atol)
    tolerance[carried:] = accuracy.atol * np.where(net.scale > 0.0, net.scale, np.inf)
    asked = (0.0, model.start, model.shelter, net.jumps.rows[0])
    return room_for_solver(
        model.start.size,
        rates=entry(shelter_rhs, *asked),
        slopes=entry(shelter_jacobian, *asked),
        unknowns=_unknowns(model),
        paths=(net.capacity.size, carried),
        rtol=accuracy.rtol,
        tolerance=tolerance,
        enough=enough,
        most=most,
    )


def _unknowns(model: Model) -> Indices:
    """Nodes that are buried or are surfaces, then amounts, then air and stove: few zeros are lost to elimination."""
    net, felt = model.shelter.net, model.shelter.felt
    order = np.argsort(felt, kind="stable")
    first = net.capacity.size + net.paths
    amounts = np.arange(first, first + net.amounts)
    outer = felt[order] <= SURFACE
    return np.concatenate((order[outer], amounts, order[~outer])).astype(np.int64)
