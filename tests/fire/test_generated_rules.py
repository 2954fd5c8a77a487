"""Rules over generated nights: they have hysteresis, and a night that hangs on a hair says so.

What a rule must do is read off its level's temperature over time, by a few lines of our own; what it did is in the
night's events. Nights whose level only just reaches, or only just misses, what decides are told apart first.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, event, given
from hypothesis import strategies as st

from simtent.departures import departures
from simtent.network.arrays import Array
from simtent.readings import ZERO_CELSIUS, level_temperatures
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.scenario.timed import TimedRule
from tests.fire.burns import bedtime
from tests.fire.test_rules import calls, cot
from tests.fire.test_rules import ruled as ruled_by_hand
from tests.portion import some, within
from tests.solving import solve_night, solve_tightly
from tests.strategies import built, fire_trees

pytestmark = pytest.mark.compiled

STEP = 20.0  # s
HAIR = 0.2  # K; a night that missed a limit by less says so
BETWEEN = 0.03  # K, by which a level may be mistaken between two times told
AIR = 0.05  # K
LEAST, MOST = -50.0, 60.0  # degC
COLDEST = f"{LEAST} degC"  # which no generated night reaches
SHARES = st.floats(0.05, 0.7)
GAVE_UP = "but the coals no longer light a load"


@st.composite
def ruled(draw: Any) -> dict[str, Any]:
    """A night of a few hours with one rule for a level of the shelter, in force from the first fire on."""
    tree = draw(fire_trees(hours=(3, 5), shapes=("box", "wall tent", "bell"), rules=False))
    stoking = tree["stoking"]
    when = {"level": draw(st.sampled_from(list(tree["levels"]))), "below": COLDEST}
    rule = {
        "from": stoking["load"][0]["at"],
        "to": tree["night"]["end"],
        "when": when | draw(st.sampled_from([{}, {"coals": "light the next load"}])),
        "load": stoking["load"][0]["pieces"],
        "most": draw(st.integers(2, 6)),
        "rearm": f"{draw(st.integers(1, 200)) / 10} K",
        "wake": f"{draw(st.integers(0, 20))} min",
    }
    return tree | {"stoking": stoking | {"rule": [rule]}}


def calling_below(tree: dict[str, Any], kelvin: float) -> Scenario:
    """The night with its rule's limit there."""
    (rule,) = tree["stoking"]["rule"]
    limit = f"{min(max(kelvin - ZERO_CELSIUS, LEAST), MOST):.6f} degC"
    rule = rule | {"when": rule["when"] | {"below": limit}}
    return built(tree | {"stoking": tree["stoking"] | {"rule": [rule]}})


def reached_at(tree: dict[str, Any], share: float) -> Scenario:
    """The night with the limit that its level has at a share of the rule's hours while the rule never calls."""
    quiet = told_by(solve_night(built(tree), step=STEP))
    when = quiet.rule.begin + share * (quiet.rule.end - quiet.rule.begin)
    return calling_below(tree, float(np.interp(when, quiet.times, quiet.level)))


@dataclass
class Told:
    """A rule's level over time, and what it did."""

    rule: TimedRule
    times: Array
    level: Array  # K
    moments: list[float]  # of calls, and of those that coals too few kept from being one

    @property
    def above(self) -> Array:
        """How far the level is above the limit [K]."""
        return self.level - self.rule.below


def told_by(night: Run) -> Told:
    assert night.scenario.stoking is not None and night.tending is not None
    (rule,) = night.scenario.stoking.rules
    level = level_temperatures(night)[:, list(night.scenario.levels).index(rule.level)] + ZERO_CELSIUS
    moments = [e.time for e in night.tending.events if e.what.startswith("woken") or e.what.endswith(GAVE_UP)]
    return Told(rule, night.solution.times, level, moments)


def when_it_acts(told: Told, t: float) -> float:
    """How far the level is above the limit at a moment, less what may move it between two times told [K]."""
    k = int(np.searchsorted(told.times, t))
    around = told.above[max(k - 2, 0) : k + 2]
    return float(told.above[max(k - 1, 0) : k + 1].min() - 0.5 * np.ptp(around))


def asked(told: Told) -> Iterator[tuple[float, bool]]:
    """By hysteresis on the level alone: when the rule acts, and when it is ready to act again."""
    ready, rule = True, told.rule
    for t, above in zip(told.times, told.above, strict=True):
        if not rule.begin <= t < rule.end:
            continue
        if ready and above <= 0.0:
            ready = False
            yield float(t), True
        elif not ready and above >= rule.rearm:
            ready = True
            yield float(t), False


def hangs_on_little(told: Told, little: float) -> bool:
    """Whether a level turns, or the rule's hours begin or end, that near to what decides.

    Or as near as the level moves in a step there, between two times told: a stove door opens in less.
    """
    inside = (told.rule.begin <= told.times) & (told.times <= told.rule.end)
    above = told.above[inside]
    steps = np.sign(np.diff(above))
    turns = np.flatnonzero(np.concatenate(([True], steps[1:] != steps[:-1], [True])))
    moves = np.array([np.ptp(above[max(k - 1, 0) : k + 2]) for k in turns])
    near = np.maximum(little, moves)
    return any((np.abs(above[turns] - mark) < near).any() for mark in (0.0, told.rule.rearm))


@some(2)
@given(ruled(), SHARES)
def test_rules_have_hysteresis(tree: dict[str, Any], share: float) -> None:
    """It acts where the level falls to its limit, and not again before the level has risen by `rearm` above it."""
    night = solve_night(reached_at(tree, share), step=STEP)
    told = told_by(night)
    event(f"it acts {min(len(told.moments), 3)} times")
    reach = [when_it_acts(told, t) for t in told.moments]
    assert all(told.rule.begin <= t <= told.rule.end for t in told.moments)
    within(max(reach, default=-100.0), BETWEEN, "above its limit when it called [K]")
    short = [
        told.rule.rearm - told.above[(first <= told.times) & (told.times <= second)].max(initial=-1e3)
        for first, second in pairwise(told.moments)
    ]
    within(max(short, default=-100.0), BETWEEN, "short of what arms it again [K]")
    calls = [it for it in night.tending.events if it.what.startswith("woken")]  # type: ignore[union-attr]
    assert len(calls) <= told.rule.most


@some(2)
@given(ruled(), SHARES)
def test_rules_act_whenever_they_are_asked(tree: dict[str, Any], share: float) -> None:
    """As often as the level asks, up to `most`; nights that hang on little are left out, and so are
    those in which it acts in the last moment of its hours.
    """
    night = solve_night(reached_at(tree, share), step=STEP)
    told = told_by(night)
    assume(not hangs_on_little(told, BETWEEN))
    wanted = [t for t, acts in asked(told) if acts]
    called = sum(it.what.startswith("woken") for it in night.tending.events)  # type: ignore[union-attr]
    if called == told.rule.most:  # what it no longer may it does not tell
        wanted = wanted[: len(told.moments)]
    assume(max([*told.moments, *wanted], default=0.0) < told.rule.end - 2.0 * STEP)
    assert told.moments == pytest.approx(wanted, abs=STEP + 1e-6)


@some(2)
@given(ruled(), st.floats(0.0, 0.5))
def test_nights_that_miss_a_limit_by_a_hair_are_flagged(tree: dict[str, Any], by: float) -> None:
    """By more than a hair they are not; what lies within a hair's own error is left open.

    The limit is put near the lowest that the level has in the rule's hours while it does not call.
    """
    quiet = told_by(solve_night(built(tree), step=STEP))
    inside = (quiet.rule.begin <= quiet.times) & (quiet.times <= quiet.rule.end)
    night = solve_night(calling_below(tree, float(quiet.level[inside].min()) - by), step=STEP)
    told = told_by(night)
    assume(
        len(told.moments) == sum(acts for _, acts in asked(told))
    )  # nothing happens between two times told
    nearest = min(lowest_while_ready(told), default=np.inf)
    assume(abs(nearest - HAIR) > BETWEEN and nearest > BETWEEN)
    _, coords = departures(night)
    said = any("missed by a hair" in str(sentence) for sentence in coords.get("departure", []))
    event("missed by a hair" if said else "missed by more")
    assert said == (nearest < HAIR), nearest


def lowest_while_ready(told: Told) -> Iterator[float]:
    """Minima above the limit from when the rule is ready until it acts or its hours end [K], those two included.

    One at the limit itself counts too: whether it lies above is a matter of the last digit.
    """
    marks = [(told.rule.begin, False), *asked(told), (told.rule.end, True)]
    for (since, acts), (until, _) in pairwise(marks):
        if acts:
            continue
        there = told.above[(since <= told.times) & (told.times <= until)]
        for k in range(there.size):
            falls = there[k] < there[k - 1] if k > 0 else since == told.rule.begin
            rises = there[k] <= there[k + 1] if k + 1 < there.size else until == told.rule.end
            if there[k] > -BETWEEN and falls and rises:
                yield float(there[k])


@pytest.mark.xfail(
    strict=False,  # most of the nights that are drawn keep it
    reason="sought out, a night with a rule misses a tighter run by 0.0512 K before it calls; 0.05 is asked",
)
@some(1)
@given(ruled(), SHARES)
def test_nights_with_rules_are_as_accurate(tree: dict[str, Any], share: float) -> None:
    """The same is done at any tolerance, and the air is the same; nights that graze a threshold are left out."""
    scenario = reached_at(tree, share)
    near, exact = (solve(scenario, step=STEP) for solve in (solve_night, solve_tightly))
    ours, theirs = told_by(near), told_by(exact)
    assume(not hangs_on_little(theirs, AIR))
    layered = np.ptp(exact.air, axis=1) > 1.0
    if not (near.tending and exact.tending):
        raise AssertionError
    assert [it.what for it in near.tending.events] == [it.what for it in exact.tending.events]
    reach = [when_it_acts(theirs, t) for t in ours.moments]
    within(max(reach, default=-100.0), AIR, "above its limit when the other called [K]")
    first = min(theirs.moments, default=np.inf) - STEP
    before = layered & (exact.solution.times < first)
    within(np.abs(near.air - exact.air)[before].max(initial=0.0), AIR, "of air apart before a call [K]")


def test_a_night_that_hangs_on_a_hair_is_another_at_another_tolerance() -> None:
    """The same is done at any tolerance: in nights that do not graze a threshold.

    Cause: the limit lies between what two tolerances give for the lowest temperature of the cot, a few mK apart at
    most; the one calls, the other does not, and says that it missed by a hair.
    """
    plain = [it(bedtime("half"), step=STEP) for it in (solve_night, solve_tightly)]
    lows = [float(dip(cot(night), night.solution.times).min()) for night in plain]
    assert 0.0 < abs(lows[0] - lows[1]) < 0.005
    between = ruled_by_hand(sum(lows) / 2.0, begin=180, end=250)
    nights = [it(between, step=STEP) for it in (solve_night, solve_tightly)]
    called = [len(calls(night)) for night in nights]
    assert called == [int(low < sum(lows) / 2.0) for low in lows]
    assert "missed by a hair" in " ".join(departures(nights[called.index(0)])[1]["departure"])
    row = np.searchsorted(nights[0].solution.times, 330.0 * 60.0)
    assert abs(nights[0].air[row].mean() - nights[1].air[row].mean()) > 1.0


def dip(celsius: Array, times: Array) -> Array:
    """Where the cot has its minimum between two fires."""
    return celsius[(times > 200.0 * 60.0) & (times < 250.0 * 60.0)]


def test_a_limit_missed_as_the_hours_begin_is_said() -> None:
    """A night colder by that would have had one more load, as with any other near miss."""
    plain = solve_night(bedtime("half"), step=STEP)
    level = float(np.interp(240.0 * 60.0, plain.solution.times, cot(plain)))
    night = solve_night(ruled_by_hand(level - 0.1, begin=240, end=250), step=STEP)
    assert calls(night) == []
    assert calls(solve_night(ruled_by_hand(level + 0.05, begin=240, end=250), step=STEP)) == [240.0]
    assert "missed by a hair" in " ".join(departures(night)[1].get("departure", []))


def test_a_limit_met_as_the_hours_begin_is_no_miss() -> None:
    """The level stands a little above it when the hours begin, and falls through it before the next time told."""
    plain = solve_night(bedtime("half"), step=STEP)
    level = float(np.interp(275.0 * 60.0, plain.solution.times, cot(plain)))
    night = solve_night(ruled_by_hand(level - 0.05, begin=275, end=285), step=STEP)
    (moment,) = calls(night)
    assert 275.0 < moment < 275.0 + STEP / 60.0
    assert "missed by a hair" not in " ".join(departures(night)[1].get("departure", []))
