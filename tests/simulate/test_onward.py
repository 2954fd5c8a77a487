"""Nights that go on from another which is the same up to a moment."""

from pathlib import Path

import numpy as np
import pytest

import simtent
from simtent.driver import drive
from simtent.network.solve import Accuracy
from simtent.onward import Course
from simtent.run import Run
from simtent.scenario.scenario import Scenario

SCENARIOS = Path(__file__).parents[2] / "scenarios"
CLOSE = Accuracy("NDF", 1e-8, 1e-6)
FIRST = [
    {"at": "18:00", "pieces": {"kindling": 6, "stick": 3}},
    {"at": "18:40", "pieces": {"stick": 3}, "air": "wide"},
]
WIDE_THEN_TWO = [{"for": "15 min", "mark": "wide"}, {"mark": "two"}]
OTHER_NIGHT = [*FIRST, {"at": "20:10", "pieces": {"stick": 4}, "air": WIDE_THEN_TWO}]
# More loads, of more sizes: a night with other slots.
THIS_NIGHT = [
    *FIRST,
    {"at": "19:35", "pieces": {"split": 1, "stick": 2}},
    {"at": "21:20", "pieces": {"split": 2}},
]

pytestmark = pytest.mark.compiled


def camp(loads: list[dict[str, object]], **changes: object) -> Scenario:
    """A damp camp with few layers and a short night, fed as given."""
    return simtent.load(SCENARIOS / "alder_ford.toml").replace(
        {
            "night.begin": "18:00",
            "night.end": "23:00",
            "model.layers": 6,
            "wish": "none",
            "trip": "none",
            "log": "none",
            "fit": "none",
            "stoking.load": loads,
            "stoking.set": "none",
            "stoking.rule": "none",
            **changes,
        }
    )


def until(run: Run, clock: str) -> tuple[Course, float]:
    """The course of a night, and a moment of it."""
    return Course.of(run.model, run.solution), float(run.scenario.night.seconds_at(clock))


@pytest.fixture(scope="module", params=[{}, {"damp": {}}], ids=["dry", "damp"])
def nights(request) -> tuple[Run, Run, dict[str, object]]:
    """A night, and another that is the same until its third load, each from its beginning."""
    more = request.param
    other, whole = (drive(camp(loads, **more), accuracy=CLOSE) for loads in (OTHER_NIGHT, THIS_NIGHT))
    return other, whole, more


@pytest.mark.parametrize("clock", ["19:35", "19:33", "18:40", "18:00"])
def test_a_night_gone_on_with_is_the_night_from_its_beginning(nights, clock: str) -> None:
    """Whether it parts at a load, between two times told, at a load of both, or at the beginning."""
    other, whole, more = nights
    onward = drive(camp(THIS_NIGHT, **more), accuracy=CLOSE, onward=until(other, clock))
    assert np.array_equal(onward.solution.times, whole.solution.times)
    assert np.abs(onward.temperatures - whole.temperatures).max() < 2e-3
    assert np.array_equal(onward.solution.rows, whole.solution.rows)
    assert onward.residual < 1e-11
    assert onward.tending.fullest == pytest.approx(whole.tending.fullest, abs=1e-4)
    assert clock == "18:00" or onward.solution.calls < 0.9 * whole.solution.calls


def test_how_full_the_firebox_was_before_is_remembered(nights) -> None:
    _, whole, more = nights
    onward = drive(camp(THIS_NIGHT, **more), accuracy=CLOSE, onward=until(whole, "22:50"))
    assert onward.tending.fullest == pytest.approx(whole.tending.fullest, abs=1e-3)


def test_what_was_done_before_is_not_done_again(nights) -> None:
    """No load of the evening is put on twice: all wood is burnt, lies there, or glows."""
    other, whole, more = nights
    onward = drive(camp(THIS_NIGHT, **more), accuracy=CLOSE, onward=until(other, "19:35"))
    first = onward.model.shelter.stove.places.first
    amounts = slice(first, first + onward.model.shelter.net.amounts)
    assert onward.solution.states[-1, amounts] == pytest.approx(whole.solution.states[-1, amounts], abs=1e-4)


def test_a_night_that_ends_earlier_is_the_same_till_then(nights) -> None:
    _, whole, more = nights
    short = drive(camp(THIS_NIGHT, **more), accuracy=CLOSE, until=9000.0, rates=False)
    assert short.solution.times[-1] == 9000.0
    assert short.solution.rates.shape == (short.solution.times.size, 0)
    assert np.abs(short.temperatures - whole.temperatures[: short.solution.times.size]).max() < 2e-3
