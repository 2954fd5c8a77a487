"""How far a night with a fire is from the exact answer of its own equations: tolerance, solver, step."""

import numpy as np
import pytest
from hypothesis import given

from simtent.network import Accuracy
from simtent.network.arrays import Array
from simtent.network.kernels import node_temperatures
from simtent.run import STANDARD, Run, run
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests.fire.by_cvode import by_cvode
from tests.fire.twelve import TWELVE
from tests.portion import some
from tests.strategies import fires

pytestmark = pytest.mark.compiled

HUNDRED_TIMES_TIGHTER = Accuracy(rtol=STANDARD.rtol / 100.0, atol=STANDARD.atol / 100.0)
AIR, GRAM = 0.05, 1e-3  # K, kg
HALF = [{"for": "15 min", "mark": "wide"}, {"mark": "half"}]


@pytest.fixture(scope="module")
def twelve() -> Scenario:
    """Twelve hours and four loads, each while the coals of the last still light it."""
    first = {"at": "19:30", "pieces": {"kindling": "0.4 kg", "stick": "1.2 kg", "split": "1.4 kg"}}
    night = {"pieces": {"stick": "1.2 kg", "split": "2.0 kg"}, "air": HALF}
    dawn = {"at": "03:30", "pieces": {"stick": "0.6 kg", "split": "0.5 kg"}, "air": HALF}
    return load(TWELVE).replace(
        "stoking.load", [first, {"at": "21:30"} | night, {"at": "00:30"} | night, dawn]
    )


@pytest.fixture(scope="module")
def usual(twelve: Scenario) -> Run:
    return run(twelve)


@pytest.fixture(scope="module")
def tight(twelve: Scenario) -> Run:
    return run(twelve, accuracy=HUNDRED_TIMES_TIGHTER)


def done(night: Run) -> list[str]:
    assert night.tending is not None
    return [event.what for event in night.tending.events]


def masses(night: Run) -> Array:
    """All that was put on, by stage and slot, over time [kg]."""
    stove = night.model.shelter.stove
    return night.solution.states[:, stove.places.first : stove.places.air]


def test_the_night_burns(usual: Run) -> None:
    """Else the other tests here would look at a cold stove."""
    assert sum(what in ("load lit by hand", "load put on") for what in done(usual)) == 4
    assert (usual.temperatures[: 9 * 12, usual.model.shelter.stove.firebox.node] > 400.0).mean() > 0.95


def test_a_tighter_run(usual: Run, tight: Run) -> None:
    assert np.abs(usual.air - tight.air).max() < AIR
    assert np.abs(masses(usual) - masses(tight)).max() < GRAM


@some(2, of=10)
@given(fires(hours=(1, 3), rules=False))
def test_generated_nights_are_as_accurate(scenario: Scenario) -> None:
    near, exact = run(scenario), run(scenario, accuracy=HUNDRED_TIMES_TIGHTER)
    assert done(near) == done(exact)
    assert near.air.size == 0 or np.abs(near.air - exact.air).max() < AIR
    assert np.abs(masses(near) - masses(exact)).max() < GRAM


@pytest.mark.slow
def test_another_solver(twelve: Scenario, usual: Run, tight: Run) -> None:
    """SUNDIALS' CVODE; its own next stretch begins at a stop, so the moments of stops are left out."""
    assert usual.tending is not None
    times = usual.solution.times
    stops = np.array([event.time for event in usual.tending.events])
    free = np.abs(times[:, None] - stops).min(axis=1) > 1.0
    states, _ = by_cvode(twelve, times[free], 1e-9, 1e-7)
    air = node_temperatures(usual.model.shelter.net, states)[:, : usual.air.shape[1]]
    assert np.abs(air - tight.air[free]).max() < 0.001
    assert np.abs(air - usual.air[free]).max() < AIR
    stove = usual.model.shelter.stove
    wood = states[:, stove.places.first : stove.places.air]
    assert np.abs(wood - masses(usual)[free]).max() < GRAM


@pytest.mark.parametrize("step", [60.0, 1800.0])
def test_how_often_a_night_is_reported_changes_nothing(twelve: Scenario, usual: Run, step: float) -> None:
    other = run(twelve, step=step)
    _, ours, theirs = np.intersect1d(usual.solution.times, other.solution.times, return_indices=True)
    assert ours.size >= 25
    assert np.abs(usual.temperatures[ours] - other.temperatures[theirs]).max() < 1e-6
