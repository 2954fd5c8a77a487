"""Loads that the cold calls for, held to expectations written by hand."""

import pytest

from simtent.assembly.tending import Event
from tests.assembly.tended import (
    COLD,
    DAMPER,
    DOOR,
    FIRST,
    HOUR,
    SPLIT,
    STICK,
    Hand,
    lived_through,
    ruled,
    woken,
)

RULE_KEYS = {  # fields that act through what is done, each tried below
    "stoking.wake", "stoking.rule[].when.below", "stoking.rule[].most", "stoking.rule[].wake", "stoking.rule[].rearm",
}  # fmt: skip


def test_a_rule_looks_only_in_its_hours():
    hand = Hand(ruled()).air(-5.0)
    assert hand.watched() == [1.0]
    assert hand.until(2 * HOUR - 1.0).air(10.0).watched() == [1.0]
    assert hand.until(2 * HOUR).watched() == pytest.approx([8.0])
    assert hand.air(2.5).watched() == pytest.approx([0.5])
    assert hand.until(7 * HOUR).air(-5.0).watched() == [1.0]
    assert hand.told() == [(0.0, "load lit by hand", "clock")]


def test_a_rule_watches_the_air_at_the_height_of_its_level():
    """Between the middles of two layers in proportion."""
    hand = Hand(ruled(level="head") | {"levels.head": "1.3 m"}).until(2 * HOUR)
    centres = hand.model.house.bands.centres
    hand.state[: centres.size] = 280.0 + centres
    assert hand.watched() == pytest.approx([280.0 + 1.3 - 275.15])


@pytest.mark.parametrize(
    ("changes", "wake"),
    [
        ({}, 300.0),
        ({"stoking.wake": "12 min"}, 720.0),
        ({"stoking.wake": "12 min"} | ruled(wake="2 min"), 120.0),
        (ruled(wake="0 min"), 0.0),
    ],
)
def test_a_call_wakes_and_after_a_while_the_load_is_on(changes, wake):
    hand = Hand(ruled() | changes).coals(0.3, wood=0.0).cold(3 * HOUR, 2.0)
    assert hand.told()[1:] == [(3 * HOUR, "woken: cot cold", "rule")]
    if wake:
        assert hand.until(3 * HOUR + wake - 1.0).lies()[0] == [0.0, 0.0, 0.0, 0.0, 0.0]
        hand.until(3 * HOUR + wake)
    else:  # due at once; the engine asks for what a notice made due
        assert hand.tending.next_after(3 * HOUR - 1.0) == 3 * HOUR
        hand.tending.at(3 * HOUR, hand.state)
    assert hand.lies()[0] == pytest.approx([0.0, 0.0, 0.8 * SPLIT, 0.0, 0.0])
    assert hand.lies()[2][2:] == [3 * HOUR + wake, 1e9, 1e9]
    assert hand.door == pytest.approx(DOOR)
    assert hand.lighting == 0.0
    event = hand.tending.events[-1]
    assert event == Event(3 * HOUR + wake, "load put on", pytest.approx(SPLIT), 0.3, "rule")
    assert hand.until(3 * HOUR + wake + 60.0).door == 0.0


def test_a_rule_turns_the_levers_from_the_load_on():
    air = [{"for": "10 min", "mark": "wide"}, {"mark": "shut"}]
    hand = Hand(DAMPER | ruled(air=air, damper="along") | {"stoking.air": "half"})
    hand.coals(0.3, wood=0.0).cold(3 * HOUR, 2.0).until(3 * HOUR + 299.0)
    assert (hand.inlet, hand.damper) == (0.5, 0.3)
    hand.until(3 * HOUR + 300.0)
    assert (hand.inlet, hand.damper) == (1.0, 0.9)
    assert hand.until(3 * HOUR + 900.0).inlet == 0.0
    assert hand.told()[-3:] == [
        (3 * HOUR + 300.0, "air to wide (100 %)", "rule"),
        (3 * HOUR + 300.0, "damper to along (90 %)", "rule"),
        (3 * HOUR + 900.0, "air to shut (0 %)", "rule"),
    ]


def test_a_rule_calls_again_only_once_the_level_has_risen():
    hand = Hand(ruled(rearm="3 K")).coals(0.3, wood=0.0).cold(3 * HOUR, 2.0)
    assert hand.watched() == pytest.approx([3.0])  # it now waits for the rise
    assert hand.air(-1.0).watched() == pytest.approx([6.0])
    assert hand.air(4.5).watched() == pytest.approx([0.5])
    hand.cold(4 * HOUR, 5.0)
    assert hand.watched() == pytest.approx([3.0])  # armed again, 3 K above the limit
    assert [time for time, what, _ in hand.told() if what.startswith("woken")] == [3 * HOUR]
    hand.cold(5 * HOUR, 2.0).until(6 * HOUR)
    assert [time for time, what, _ in hand.told() if what.startswith("woken")] == [3 * HOUR, 5 * HOUR]
    assert hand.lies()[0][2:] == pytest.approx([0.8 * SPLIT, 0.8 * SPLIT, 0.0])  # each its own wood


@pytest.mark.parametrize("most", [1, 2, 4])
def test_a_rule_calls_no_more_often_than_it_may(most):
    hand = Hand(ruled(most=most))
    for k in range(5):
        hand.coals(0.3, wood=0.0).cold((2.5 + k / 2.0) * HOUR, 2.0)
        hand.cold((2.6 + k / 2.0) * HOUR, 3.0)  # risen by the usual 1 K
    assert sum(what.startswith("woken") for _, what, _ in hand.told()) == most
    assert sum(what == "load put on" for _, what, _ in hand.told()) == most


@pytest.mark.parametrize("coals", [0.01, 0.2])
def test_a_rule_that_needs_coals_gets_nobody_up_without(coals):
    hand = Hand(ruled(coals="light the next load", most=1)).coals(coals, wood=0.0).cold(3 * HOUR, 2.0)
    hand.until(4 * HOUR)
    told = hand.told()[1:]
    if coals < 0.1:
        assert told == [(3 * HOUR, "cot cold, but the coals no longer light a load", "rule")]
        assert sum(hand.lies()[0]) == 0.0
        assert hand.watched() == pytest.approx([1.0])  # waits for the rise
        hand.cold(4.5 * HOUR, 3.0).coals(0.2).cold(5 * HOUR, 2.0).until(
            6 * HOUR
        )  # has not used up its one call
        assert hand.told()[-1] == (5 * HOUR + 300.0, "load put on", "rule")
    else:
        assert told == [(3 * HOUR, "woken: cot cold", "rule"), (3 * HOUR + 300.0, "load put on", "rule")]


def test_a_rule_that_needs_no_coals_gets_up_in_vain():
    hand = Hand(ruled()).coals(0.0, wood=0.0).cold(3 * HOUR, 2.0).until(4 * HOUR)
    assert hand.told()[-1] == (3 * HOUR + 300.0, "load put on, does not catch: too few coals", "rule")
    assert hand.lies()[2][2] == 1e9


@pytest.mark.parametrize("air", [1.9, 2.0])
def test_a_rule_whose_hours_begin_in_the_cold_calls_at_once(air):
    hand = Hand(ruled()).coals(0.3, wood=0.0).air(air).until(3 * HOUR)
    assert hand.told()[1:] == [
        (2 * HOUR, "woken: cot cold", "rule"),
        (2 * HOUR + 300.0, "load put on", "rule"),
    ]
    assert hand.watched() == pytest.approx([1.0 - (air - 2.0)])


def test_two_rules_each_put_on_their_own():
    floor = {"load": {"stick": 2}, "when": {"level": "floor", "below": "-1 degC"}, "most": 1}
    rules = [COLD | {"most": 2}, COLD | floor]
    hand = Hand({"stoking.rule": rules}).until(2 * HOUR).air(5.0)
    assert hand.watched() == pytest.approx([3.0, 6.0])
    hand.coals(0.3, wood=0.0)
    hand.tending.noticed(2.5 * HOUR, 1, hand.state)
    hand.until(2.7 * HOUR)
    assert hand.lies()[0] == pytest.approx([0.0, 0.0, 0.0, 0.0, 2 * 0.8 * STICK])
    assert hand.told()[1] == (2.5 * HOUR, "woken: floor cold", "rule")


def test_a_call_comes_when_the_cooling_says():
    """From 5 degC by 1 K/h to the limit of 2 degC at 21:00."""
    assert woken(lived_through(ruled(most=1))[0]) == pytest.approx([3.0], abs=1e-5)


def test_a_room_cold_as_the_hours_begin_calls_once_until_it_has_risen():
    """By 2 K/h at 1 degC when the rule's hours begin, at 20:00; then up from 0.83 by 1 K, not to 2.5 degC."""
    assert woken(lived_through(ruled(rearm="0.5 K"), warms=1.0, per_hour=2.0)[0]) == [2.0]


def test_a_night_rearms_and_calls_again():
    """Hours from 20:00; 2 degC at 21:00; 1.917 at 21:05, 3.917 at 22:05; 2 again after 1.917 h, at 0:00."""
    tending, _ = lived_through(ruled(most=3), warms=2.0)
    assert woken(tending) == pytest.approx([3.0, 6.0], abs=1e-5)
    put_on = [event.time / HOUR for event in tending.events if event.what == "load put on"]
    assert put_on == pytest.approx([3.0 + 1.0 / 12.0, 6.0 + 1.0 / 12.0], abs=1e-5)


def test_a_night_that_comes_near_a_limit_without_reaching_it_is_a_close_call():
    loads = [*FIRST, {"at": "21:00", "pieces": {"split": 1}}]
    for start, close in ((5.1, True), (5.19, True), (5.3, False), (4.9, False)):
        tending, answer = lived_through(ruled() | {"stoking.load": loads}, start=start)
        found = tending.close_calls(answer.times, answer.states)
        assert [rule.level for rule in found] == (["cot"] if close else [])


@pytest.mark.parametrize(("start", "close"), [(9.1, True), (9.3, False)])
def test_a_level_that_still_falls_near_the_limit_as_the_hours_end_is_a_close_call(start, close):
    """By 1 K/h from 18:00 to 1:00."""
    tending, answer = lived_through(ruled(), start=start)
    assert woken(tending) == []
    assert bool(tending.close_calls(answer.times, answer.states)) == close


def test_a_rule_that_called_and_was_armed_again_is_no_close_call():
    tending, answer = lived_through(ruled(most=3), warms=2.0)
    assert tending.close_calls(answer.times, answer.states) == []


def test_a_rule_that_waits_to_be_armed_again_has_no_close_call():
    """Called at 21:00, up to 3.9 degC at 22:05, down to 2.1 by 23:54; a load by the clock; armed at 5 degC."""
    loads = [*FIRST, {"at": "23:54", "pieces": {"split": 1}}]
    tending, answer = lived_through(ruled(rearm="3 K") | {"stoking.load": loads}, warms=2.0)
    assert woken(tending) == pytest.approx([3.0], abs=1e-5)
    centred = answer.states[:, 0] - 275.15
    assert 0.05 < centred[answer.times > 4 * HOUR].min() < 0.15
    assert tending.close_calls(answer.times, answer.states) == []


def test_the_same_rule_twice_is_two_rules():
    hand = Hand({"stoking.rule": [COLD, COLD]}).coals(0.3, wood=0.0).until(2 * HOUR)
    hand.tending.noticed(2.5 * HOUR, 1, hand.state)
    hand.tending.noticed(2.5 * HOUR, 0, hand.state)
    hand.until(3 * HOUR)
    assert sum(what == "load put on" for _, what, _ in hand.told()) == 2
