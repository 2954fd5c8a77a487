"""One night assembled and solved, before it is labelled."""

from dataclasses import dataclass

import numpy as np

from simtent.assembly.assemble import Model, assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import shelter_rhs
from simtent.assembly.tending import Tending
from simtent.errors import SolveError
from simtent.network import ledger
from simtent.network.arrays import Array
from simtent.network.kernels import node_temperatures
from simtent.network.solve import Accuracy, Trajectory, solve
from simtent.network.steps import Steps
from simtent.scenario.scenario import Scenario
from simtent.schema import RESIDUAL_LIMIT

KERNELS = ("jacobian.shelter_jacobian", "rhs.observe")  # compiled last
OUTPUT_STEP = 300.0  # s
STANDARD = Accuracy()


@dataclass(frozen=True)
class Run:
    """A solved night.

    temperatures  of every node at every time reported [K]
    tending       what was done at the stove; None without one
    residual      what the ledger misses, as a share of the throughput
    steps         those accepted; None by SciPy, which does not tell
    """

    scenario: Scenario
    model: Model
    solution: Trajectory
    temperatures: Array
    tending: Tending | None
    residual: float
    steps: Steps | None = None

    @property
    def air(self) -> Array:
        """Temperature of every layer of air at every time, shape (times, layers) [K]; no layers in the open."""
        layers = 0 if self.model.house is None else self.model.house.bands.centres.size
        return self.temperatures[:, :layers]


def run(scenario: Scenario, *, accuracy: Accuracy = STANDARD, step: float = OUTPUT_STEP) -> Run:
    """Assemble and solve one night, reporting every `step` [s].

    Raises
    ------
    SolveError
        The solver gave up, or energy does not add up to a millionth of the throughput.
    """
    model = assemble(scenario)
    times = reported(model.net.end, step)
    tending = tend(scenario, model)
    solution = solve(
        lambda t, y, rows: shelter_rhs(t, y, model.shelter, rows),
        model.shelter.net,
        model.start,
        model.net.jump_times(),
        times,
        accuracy,
        lambda t, y, rows: shelter_jacobian(t, y, model.shelter, rows),
        script=tending,
    )
    residual = closed(model, solution.states)
    temperatures = node_temperatures(model.shelter.net, solution.states)
    return Run(scenario, model, solution, temperatures, tending, residual)


def reported(end: float, step: float) -> Array:
    """Times that a night tells: every `step` from 0 on, and its end [s]; ValueError unless the step is above 0."""
    if not step > 0.0:
        raise ValueError(f"a night is told every `step` seconds, which must be above 0, not {step!r}")
    return np.append(np.arange(0.0, end - 1e-6, step), end)


def closed(model: Model, states: Array) -> float:
    """What the ledger misses, as a share of the throughput; SolveError if that is more than a millionth."""
    residual = ledger.residual(model.net, states)
    if residual > RESIDUAL_LIMIT:
        raise SolveError(
            f"Energy does not add up: {residual:.1e} of the throughput is missing, {RESIDUAL_LIMIT:.0e} "
            "is allowed. This is a fault of the engine, not of the scenario; please report the scenario."
        )
    return residual


def tend(scenario: Scenario, model: Model) -> Tending | None:
    """Who tends the stove of a model; None where there is none."""
    if model.pile is None:
        return None
    centres = np.zeros(0) if model.house is None else model.house.bands.centres
    return Tending(scenario, model.pile, model.shelter.stove.slots, model.shelter.stove.places, centres)
