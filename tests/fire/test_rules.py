"""Loads that the cold calls for, over whole nights: when they come, and that they burn as any other load.

What a rule must do is read off the same night without it, run densely: until the call the two are one night.
"""

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from simtent.departures import departures
from simtent.network import Accuracy
from simtent.readings import level_temperatures
from simtent.run import Run, run
from simtent.scenario.scenario import Scenario
from tests.fire.burns import bedtime

pytestmark = pytest.mark.compiled

TIGHT = Accuracy(rtol=1e-8, atol=1e-6)
MINUTE, STEP = 60.0, 10.0  # s
BEGIN = 20 * 60 + 45  # minutes of the day at which the night begins
LOAD = {"stick": "1.2 kg", "split": "2 kg"}
AIR = [{"for": "15 min", "mark": "wide"}, {"mark": "half"}]
CALLED = "woken: cot cold"
Told = list[tuple[float, str, float]]


def clock(minutes: int) -> str:
    """The clock time so many minutes into the night."""
    hour, minute = divmod(BEGIN + minutes, 60)
    return f"{hour % 24:02d}:{minute:02d}"


def ruled(below: float, begin: int = 270, end: int = 580, coals: bool = False, **changes: Any) -> Scenario:
    """The night of two loads with a rule for the cot [degC], its hours in minutes from the begin."""
    when = {"level": "cot", "below": f"{below:.12f} degC"}
    when |= {"coals": "light the next load"} if coals else {}
    rule = {"from": clock(begin), "to": clock(end), "when": when, "load": LOAD, "air": AIR, "most": 1}
    return bedtime("half").replace("stoking.rule", [rule | changes])


def cot(night: Run) -> np.ndarray:
    """Air at the cot over time [degC]."""
    return level_temperatures(night)[:, list(night.scenario.levels).index("cot")]


def by_rule(night: Run) -> Told:
    """What was done on a rule's word: when [min], what, wood put on [kg]."""
    assert night.tending is not None
    return [(e.time / MINUTE, e.what, e.mass) for e in night.tending.events if e.by == "rule"]


def calls(night: Run) -> list[float]:
    """Moments of the calls [min]."""
    return [t for t, what, _ in by_rule(night) if what == CALLED]


@pytest.fixture(scope="module")
def plain() -> Run:
    """The night without a rule."""
    return run(bedtime("half"), accuracy=TIGHT, step=STEP)


@pytest.fixture(scope="module")
def level(plain: Run) -> Callable[[float], float]:
    """The cot's temperature in it by the minute [degC]."""
    minutes, celsius = plain.solution.times / MINUTE, cot(plain)
    return lambda t: float(np.interp(t, minutes, celsius))


def falls_to(plain: Run, limit: float, after: float) -> float:
    """The first moment after another at which the cot falls to a limit without a rule [min]."""
    minutes, celsius = plain.solution.times / MINUTE, cot(plain)
    k = int(np.flatnonzero((minutes > after) & (celsius <= limit))[0])
    return float(np.interp(-limit, -celsius[k - 1 : k + 1], minutes[k - 1 : k + 1]))


@pytest.mark.parametrize("limit", [20.0, 11.0, 6.3, 2.0])
def test_a_call_comes_when_the_level_falls_to_its_limit(plain: Run, limit: float) -> None:
    assert calls(run(ruled(limit), accuracy=TIGHT)) == pytest.approx([falls_to(plain, limit, 270)], abs=0.01)
    assert calls(run(ruled(limit))) == pytest.approx([falls_to(plain, limit, 270)], abs=0.1)


@pytest.mark.parametrize("wake", [0, 5, 13])
def test_the_load_is_on_so_much_later(plain: Run, wake: int) -> None:
    night = run(ruled(11.0, wake=f"{wake} min"), accuracy=TIGHT, step=STEP)
    told, called = by_rule(night), falls_to(plain, 11.0, 270)
    assert [what for _, what, _ in told] == [
        CALLED, "load put on", "air to wide (100 %)", "air to half (50 %)",
    ]  # fmt: skip
    on = called + wake
    assert [t for t, _, _ in told] == pytest.approx([called, on, on, on + 15.0], abs=0.01)
    assert told[1][2] == pytest.approx(3.2)

    slots, minutes = night.model.shelter.stove.slots, night.solution.times / MINUTE
    dry = night.solution.states[:, slots.first_dry : slots.first_dry + slots.dry.size][:, -2:].sum(axis=1)
    assert (dry[minutes < on - 0.1] == 0.0).all()
    assert np.interp(on + 0.5, minutes, dry) == pytest.approx(3.2 * 0.82, rel=1e-3)
    before = minutes < on - 0.1
    assert np.abs(night.air - plain.air)[before].max() < 1e-3
    assert (cot(night) - cot(plain))[minutes > on + 60.0].min() > 2.5


def test_the_same_load_by_the_clock_gives_the_same_night(level: Callable[[float], float]) -> None:
    """The limit is the cot's temperature at 310 minutes, so that the rule's load falls on a minute."""
    rule = run(ruled(level(310.0), wake="5 min"), accuracy=TIGHT)
    assert calls(rule) == pytest.approx([310.0], abs=0.001)
    assert "load put on" in [what for _, what, _ in by_rule(rule)]
    scenario = bedtime("half")
    assert scenario.stoking is not None
    evening = [
        {"at": clock(0), "pieces": {"kindling": "0.4 kg", "stick": "1.2 kg", "split": "1.4 kg"}},
        {"at": clock(120), "pieces": LOAD, "air": AIR},
        {"at": clock(315), "pieces": LOAD, "air": AIR},
    ]
    by_clock = run(scenario.replace("stoking.load", evening), accuracy=TIGHT)
    times = rule.solution.times / MINUTE
    apart = np.abs(times - 315.0) > 1.0  # at its own moment the one has the load already
    assert np.abs(rule.air - by_clock.air)[apart].max() < 0.005
    assert np.interp(400.0, times, cot(by_clock)) > level(400.0) + 5.0


def test_a_rule_calls_again_once_the_level_has_risen_and_fallen() -> None:
    night = run(ruled(9.0, most=5, rearm="2 K"), accuracy=TIGHT, step=STEP)
    minutes, celsius = night.solution.times / MINUTE, cot(night)
    found = calls(night)
    assert len(found) >= 2
    assert np.interp(found, minutes, celsius) == pytest.approx([9.0] * len(found), abs=0.01)
    for first, second in pairwise(found):
        assert celsius[(minutes > first) & (minutes < second)].max() > 11.0
    assert sum(mass for _, what, mass in by_rule(night) if what == "load put on") == pytest.approx(
        3.2 * len(found)
    )


@pytest.mark.parametrize(("rearm", "more"), [("0.1 K", True), ("20 K", False)])
def test_too_small_a_rise_does_not_arm_it_again(rearm: str, more: bool) -> None:
    """A small load lifts the cot by a few kelvins: enough for the one, not for the other."""
    night = run(ruled(9.0, most=20, rearm=rearm, load={"kindling": "0.3 kg"}))
    assert (len(calls(night)) > 1) == more


@pytest.mark.parametrize("most", [1, 2])
def test_it_calls_no_more_often_than_it_may(most: int) -> None:
    assert len(calls(run(ruled(9.0, most=most)))) == most


@pytest.mark.parametrize(("limit", "loads"), [(9.0, 1), (-1.0, 0)])
def test_it_asks_whether_the_coals_still_light_a_load(plain: Run, limit: float, loads: int) -> None:
    """By the time the cot is at -1 degC they do not."""
    night = run(ruled(limit, coals=True), accuracy=TIGHT, step=STEP)
    told = [what for _, what, _ in by_rule(night)]
    assert told.count("load put on") == loads
    if not loads:
        assert told == ["cot cold, but the coals no longer light a load"]
        assert by_rule(night)[0][0] == pytest.approx(falls_to(plain, limit, 270), abs=0.01)
        assert np.abs(night.air - plain.air).max() < 1e-3


def test_without_asking_it_puts_on_wood_that_does_not_catch(plain: Run) -> None:
    night = run(ruled(-1.0), accuracy=TIGHT, step=STEP)
    assert "load put on, does not catch: too few coals" in [what for _, what, _ in by_rule(night)]
    slots = night.model.shelter.stove.slots
    dry = night.solution.states[-1, slots.first_dry : slots.first_dry + slots.dry.size]
    assert dry[-2:].sum() == pytest.approx(3.2 * 0.82, rel=1e-9)
    assert cot(night)[-1] < cot(plain)[-1] + 0.5


def test_a_rule_whose_hours_begin_in_the_cold_calls_at_once(level: Callable[[float], float]) -> None:
    assert level(300.0) < 12.0
    assert calls(run(ruled(12.0, begin=300))) == [300.0]


def test_a_rule_holds_only_in_its_hours() -> None:
    """The cot is above 9 degC from 136 to 287 minutes."""
    assert calls(run(ruled(9.0, begin=150, end=280))) == []
    assert calls(run(ruled(9.0, begin=150, end=300))) != []


@pytest.mark.parametrize(("below", "said", "called"), [(0.1, True, 0), (1.0, False, 0), (-0.1, False, 1)])
def test_a_limit_missed_by_a_hair_is_said(plain: Run, below: float, said: bool, called: int) -> None:
    """Between two peaks, at 230 minutes, the cot has a minimum."""
    minutes = plain.solution.times / MINUTE
    lowest = float(cot(plain)[(minutes > 200.0) & (minutes < 250.0)].min())
    night = run(ruled(lowest - below, begin=180, end=250))
    _, coords = departures(night)
    sentences = " ".join(coords["departure"]) if "departure" in coords else ""
    assert len(calls(night)) == called
    assert ("missed by a hair" in sentences) == said
