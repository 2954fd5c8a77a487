"""The compiled driver against SciPy's way on the same laws: nights, rules, ledger, guards, plain Python."""

import dataclasses
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings

from simtent import driver
from simtent.assembly.plan import MOST_NOTES, NOTES
from simtent.assembly.stretch import MOST_STEPS
from simtent.driver import drive
from simtent.errors import SolveError
from simtent.network import Accuracy
from simtent.network.stepper import STEPS
from simtent.run import STANDARD, run, tend
from simtent.scenario.load import load
from tests.fire.burns import STORY
from tests.simulate.cases import SHIPPED
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

ROOT = Path(__file__).parents[2]
YARD = ROOT / "scenarios" / "yard_burn.toml"
AIR = 0.05  # K, air and skins
GRAM = 1e-3  # kg
TIGHT = Accuracy(rtol=1e-8, atol=1e-6)
RULED = [ROOT / "scenarios" / "overlays" / "when_cold.toml"]
SHORT = {
    "night.end": "14:10",
    "stoking.load": [
        {"at": "14:00", "pieces": {"split": 2}, "air": [{"for": "5 min", "mark": "open"}, {"mark": "half"}]}
    ],
    "stoking.set": "none",
}
SECOND = {"at": "14:07", "pieces": {"split": 1}}
PLAIN = """
import json, sys, numpy as np
from simtent import compiled
from simtent.driver import drive
from simtent.scenario.load import load
night = drive(load(sys.argv[1]).replace(json.loads(sys.argv[3])))
np.savez(sys.argv[2], states=night.solution.states, calls=night.solution.calls, compiled=compiled.NUMBA is not None)
"""


def apart(one, other):
    """Largest difference of air and skins while layers differ by a kelvin, or of the stove in the open [K].

    Air of one temperature turns over in no order that the laws would give, see test_accuracy.py.
    """
    house = one.model.house
    if house is None:
        return np.abs(one.temperatures - other.temperatures)[:, one.model.hearth.body].max()
    layered = np.ptp(other.air, axis=1) > 1.0
    seen = [*house.layers, *house.surfaces.values()]
    return np.abs(one.temperatures - other.temperatures)[layered][:, seen].max(initial=0.0)


def done(night):
    """What was done, in which order; two things at one moment in any."""
    return sorted((round(e.time), e.what, e.by) for e in night.tending.events) if night.tending else []


def agree(scenario, accuracy=STANDARD):
    swift, exact = drive(scenario), run(scenario, accuracy=accuracy)
    assert done(swift) == done(exact)
    assert apart(swift, exact) < AIR
    if swift.tending is not None:
        stove = swift.model.shelter.stove
        wood = slice(stove.places.first, stove.places.air)
        assert np.abs(swift.solution.states[:, wood] - exact.solution.states[:, wood]).max() < GRAM
    assert swift.residual < 1e-9


def test_a_known_heat():
    agree(load(ROOT / "scenarios" / "snow_saddle.toml"))


def test_a_fire_in_the_open():
    agree(load(YARD))


@given(fires(hours=(1, 2), rules=False))
@settings(max_examples=2)
def test_generated_fires(scenario):
    agree(scenario)


@pytest.mark.slow
@pytest.mark.parametrize("path", [*SHIPPED, STORY], ids=lambda path: path.stem)
def test_shipped_nights(path):
    agree(load(path), TIGHT)


@pytest.mark.slow
@given(scenarios())
@settings(max_examples=10)
def test_many_generated_nights(scenario):
    agree(scenario)


@pytest.mark.slow
@given(fires(hours=(1, 6), rules=False))
@settings(max_examples=10)
def test_many_generated_fires(scenario):
    agree(scenario)


def called(swift, exact, seconds):
    """A night with rules by both: the same is done, at the same time, with the same coals."""
    scenario = load(ROOT / "scenarios" / "sedge_hollow.toml", overlays=RULED)
    ours, theirs = (night.tending.events for night in (swift(scenario), exact(scenario)))
    assert [(e.what, e.by) for e in ours] == [(e.what, e.by) for e in theirs]
    assert any(e.what.startswith("woken") for e in ours)
    assert [e.time for e in ours] == pytest.approx([e.time for e in theirs], abs=seconds)
    assert [e.mass for e in ours] == pytest.approx([e.mass for e in theirs])
    assert [e.coals for e in ours] == pytest.approx([e.coals for e in theirs], abs=1e-3)


def test_rules_call_when_they_do_by_scipy():
    called(drive, run, 5.0)


@pytest.mark.slow
def test_rules_call_when_they_do_by_scipy_to_a_second():
    fine = Accuracy(driver.METHOD, 1e-7, 1e-5)
    called(lambda s: drive(s, accuracy=fine), lambda s: run(s, accuracy=TIGHT), 1.0)


def test_how_often_a_night_is_reported_changes_nothing():
    scenario = load(STORY)
    one, other = drive(scenario), drive(scenario, step=1800.0)
    _, ours, theirs = np.intersect1d(one.solution.times, other.solution.times, return_indices=True)
    assert ours.size > 15
    assert (one.solution.states[ours] == other.solution.states[theirs]).all()


def test_work_of_a_night_is_bounded():
    solution = drive(load(STORY)).solution
    assert solution.calls < 3000
    assert solution.jacobians < 40


def test_rates_are_those_of_scipy():
    scenario = load(STORY)
    ours, theirs = drive(scenario).solution, run(scenario).solution
    assert np.median(np.abs(ours.rates - theirs.rates)) < 0.5  # W
    assert (ours.rows == theirs.rows).all()


def test_steps_gone_again():
    """To the last digit when gone twice; but for the rests of corrections where they were found."""
    scenario = load(STORY)
    found = drive(scenario)
    once = drive(scenario, replay=found.steps)
    twice = drive(scenario, replay=once.steps)
    assert (once.solution.states == twice.solution.states).all()
    assert apart(found, once) < 0.02
    assert (once.steps.length == twice.steps.length).all()
    assert pytest.approx(found.steps.length, rel=1e-6) == once.steps.length


def test_steps_follow_a_moment_that_a_rule_moves():
    """The steps of a night with rules, for one a hair warmer: the calls come later, by more the more it is."""
    scenario = load(ROOT / "scenarios" / "sedge_hollow.toml", overlays=RULED)
    base = drive(scenario, replay=drive(scenario).steps)
    first = next(n for n, e in enumerate(base.tending.events) if e.what.startswith("woken"))
    moments = []
    for hair in (0.001, 0.002):
        warmer = drive(scenario.replace({"outdoors.shift": f"{hair} K"}), replay=base.steps)
        moments.append(warmer.tending.events[first].time - base.tending.events[first].time)
    assert 0.0 < moments[0] < 60.0
    assert moments[1] == pytest.approx(2.0 * moments[0], rel=0.05)


def test_a_night_that_goes_otherwise_is_refused(short):
    steps = drive(short).steps
    with pytest.raises(SolveError, match="from stop to stop"):
        drive(short.replace({"stoking.load": [*SHORT["stoking.load"], SECOND]}), replay=steps)


@pytest.fixture
def short():
    return load(YARD).replace(SHORT)


def test_no_step_is_small_enough(short):
    with pytest.raises(SolveError, match="no step is small enough"):
        drive(short, accuracy=Accuracy(driver.METHOD, 1e-40, 1e-40))


def test_numbers_that_are_not_finite(short, monkeypatch):
    def broken(scenario):
        model = assemble(scenario)
        model.start[model.hearth.body] = np.nan
        return model

    assemble = driver.assemble
    monkeypatch.setattr(driver, "assemble", broken)
    with pytest.raises(SolveError, match="no longer finite"):
        drive(short)


def test_as_many_steps_as_a_night_may_have(short, monkeypatch):
    def tired(*given):
        solver = make(*given)
        solver.counts[STEPS] = MOST_STEPS
        return solver

    make = driver._solver
    monkeypatch.setattr(driver, "_solver", tired)
    with pytest.raises(SolveError, match="as many steps as a night may have"):
        drive(short)


def test_a_rule_that_is_asked_without_end(short, monkeypatch):
    def full(scenario, model):
        tending = tend(scenario, model)
        tending.plan.diary.counts[NOTES] = MOST_NOTES + 1
        return tending

    monkeypatch.setattr(driver, "tend", full)
    with pytest.raises(SolveError, match="larger `rearm`"):
        drive(short)


def test_a_ledger_that_does_not_close_is_refused(short, monkeypatch):
    def leaking(model, states):
        leaky = states.copy()
        leaky[:, len(model.net.capacities)] += 1e-3 * np.abs(states[:, len(model.net.capacities)])
        return closed(model, leaky)

    closed = driver.closed
    monkeypatch.setattr(driver, "closed", leaking)
    with pytest.raises(SolveError, match="Energy does not add up"):
        drive(short)


def test_another_accuracy_is_told(short):
    accuracy = dataclasses.replace(driver.SWIFT, rtol=1e-5)
    assert drive(short, accuracy=accuracy).solution.accuracy.rtol == 1e-5
    assert drive(short, accuracy=accuracy).solution.calls < drive(short).solution.calls


@pytest.mark.slow
def test_plain_python_takes_the_same_steps(tmp_path):
    found = []
    for pure in ("0", "1"):
        target = tmp_path / f"{pure}.npz"
        subprocess.run(
            [sys.executable, "-c", PLAIN, *map(str, (YARD, target, json.dumps(SHORT)))],
            check=True,
            cwd=ROOT,
            env={**os.environ, "SIMTENT_PURE": pure},
        )
        found.append(np.load(target))
    compiled, plain = found
    assert compiled["compiled"]
    assert not plain["compiled"]
    assert compiled["calls"] == plain["calls"]
    assert plain["states"] == pytest.approx(compiled["states"], rel=1e-7, abs=1e-9)
