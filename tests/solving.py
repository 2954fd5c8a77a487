"""The solver of generated nights, by the profile: one place, so that a test states its law and nothing else.

Two thousand nights (`HYPOTHESIS_PROFILE=thorough`) are solved by the compiled driver, 14 to 260 ms each, fewer by
SciPy's LSODA, as `simtent.simulate` has it. Both give the same `Run`: times, states, rows, what was done. Accuracy is
held to 0.05 K while layers of air differ by a kelvin; nearer to one temperature either may be off by more in a layer
(see simulate/test_accuracy.py).
"""

import pytest

from simtent import driver
from simtent.assembly.assemble import Model
from simtent.driver import drive
from simtent.network import Accuracy, Trajectory
from simtent.run import OUTPUT_STEP, Run, run
from simtent.scenario.scenario import Scenario
from tests.portion import PROFILE

SWIFTLY = PROFILE == "thorough"


def solve_night(scenario: Scenario, *, step: float = OUTPUT_STEP) -> Run:
    """One night, told every `step` [s]."""
    return drive(scenario, step=step) if SWIFTLY else run(scenario, step=step)


def solve_tightly(scenario: Scenario, *, step: float = OUTPUT_STEP) -> Run:
    """The same a hundred times tighter."""
    if SWIFTLY:
        return drive(scenario, accuracy=Accuracy(driver.METHOD, 1e-8, 1e-6), step=step)
    return run(scenario, accuracy=Accuracy(rtol=1e-8, atol=1e-6), step=step)


def drive_model(model: Model, step: float) -> Trajectory:
    """By the driver, a model with a known heat that no scenario tells: one changed by hand."""
    assert model.pile is None  # a stove has to be tended as a scenario says
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(driver, "assemble", lambda _scenario: model)
        return drive(None, step=step).solution  # type: ignore[arg-type]
