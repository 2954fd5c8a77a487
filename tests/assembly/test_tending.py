"""Whoever tends the stove by the clock, held to expectations written by hand: what is done when."""

import numpy as np
import pytest

from simtent.assembly.tending import Event
from tests.assembly.tended import DAMPER, DOOR, FIRST, HOUR, SPLIT, STICK, Hand, ruled

# Fields that act through what is done, each tried below.
TENDING_KEYS = {"stoking.door_open", "stoking.load[].every"}


def test_the_first_load_is_lit_and_the_door_shut_again():
    hand = Hand({"stoking.door_open": "90 s", "stoking.air": "half"})
    dry = [4 * STICK * 0.8, 1.6 * 0.8]
    assert hand.lies()[0] == pytest.approx(dry)
    assert hand.lies()[1] == pytest.approx([4 * STICK * 0.2, 1.6 * 0.2])
    assert hand.lies()[2] == [0.0, 0.0]
    assert (hand.inlet, hand.damper, hand.door, hand.lighting) == pytest.approx((0.5, 1.0, DOOR, 1000.0))
    assert hand.last_load == pytest.approx(sum(dry))
    assert hand.tending.events == [
        Event(0.0, "load lit by hand", pytest.approx(4 * STICK + 1.6), 0.0, "clock")
    ]
    assert hand.until(89.0).door == pytest.approx(DOOR)
    assert hand.until(90.0).door == 0.0
    assert hand.until(239.0).lighting == 1000.0
    assert hand.until(240.0).lighting == 0.0
    assert hand.tending.next_after(240.0) is None


def test_loads_come_at_their_time_with_their_wood_on_top_of_what_is_left():
    loads = [
        *FIRST,
        {"at": "21:00", "pieces": {"split": 2, "stick": 1}},
        {"at": "19:30", "pieces": {"stick": 3}},
    ]
    hand = Hand({"stoking.load": loads, "stoking.door_open": "2 min"}).until(1.5 * HOUR - 1.0)
    first = [4 * STICK * 0.8, 1.6 * 0.8]
    assert hand.lies()[0] == pytest.approx([*first, 0.0, 0.0, 0.0])
    assert (np.array(hand.lies()[2][2:]) == 1e9).all()
    hand.coals(0.3, wood=0.5).until(1.5 * HOUR)  # in the order of time, whatever that of the file
    assert hand.lies()[0] == pytest.approx([*(0.5 * np.array(first)), 3 * STICK * 0.8, 0.0, 0.0])
    assert hand.lies()[2] == [0.0, 0.0, 1.5 * HOUR, 1e9, 1e9]
    assert hand.last_load == pytest.approx(3 * STICK * 0.8)
    assert hand.door == pytest.approx(DOOR)
    assert hand.lighting == 0.0
    hand.until(3.0 * HOUR)
    assert hand.lies()[0][3:] == pytest.approx([2 * SPLIT * 0.8, STICK * 0.8])
    assert hand.lies()[1][3:] == pytest.approx([2 * SPLIT * 0.2, STICK * 0.2])
    assert hand.tending.events[1:] == [
        Event(1.5 * HOUR, "load put on", pytest.approx(3 * STICK), 0.3, "clock"),
        Event(3.0 * HOUR, "load put on", pytest.approx(2 * SPLIT + STICK), 0.3, "clock"),
    ]


def test_a_load_again_and_again_is_put_on_each_time_with_its_own_wood():
    again = {"at": "19:00", "every": "20 min", "until": "20:00", "pieces": {"stick": 2}}
    hand = Hand({"stoking.load": [*FIRST, again]}).until(3.0 * HOUR)
    put_on = [event for event in hand.tending.events if event.what.startswith("load put on")]
    assert [event.time / 60.0 for event in put_on] == [60.0, 80.0, 100.0, 120.0]
    assert [event.mass for event in put_on] == pytest.approx([2 * STICK] * 4)
    assert sum(hand.lies()[0]) == pytest.approx(((4 + 8) * STICK + 1.6) * 0.8)


def test_the_fullest_the_firebox_was_counts_all_wood_that_lay_in_it():
    loads = [*FIRST, {"at": "19:00", "pieces": {"split": 1}}, {"at": "23:00", "pieces": {"stick": 1}}]
    hand = Hand({"stoking.load": loads})
    box, density = 0.45 * 0.25 * 0.30, 410.0
    first = (4 * STICK + 1.6) * 0.8
    assert hand.tending.fullest == pytest.approx(first / density / box)
    hand.coals(0.3, wood=0.9).until(HOUR)
    most = (0.9 * first + 0.8 * SPLIT) / density / box
    assert hand.tending.fullest == pytest.approx(most)
    hand.coals(0.3, wood=0.0).until(8 * HOUR)
    assert hand.tending.fullest == pytest.approx(most)


@pytest.mark.parametrize(("share", "catches"), [(0.039, False), (0.041, True)])
def test_a_load_catches_on_coals_of_four_percent_of_the_last(share, catches):
    """Even odds at 4 % of the last dry load (common practice, no source), rounded into the 50 g by fourth powers."""
    loads = [{"at": "18:00", "pieces": {"split": "5 kg"}}, {"at": "19:00", "pieces": {"split": 1}}]
    hand = Hand({"stoking.load": loads})
    needed = ((0.04 * 4.0) ** 4 + 0.05**4) ** 0.25 / 0.04 / 4.0
    hand.coals(share * 4.0 * needed, wood=0.0).until(HOUR)
    how = "load put on" if catches else "load put on, does not catch: too few coals"
    assert hand.told()[-1] == (HOUR, how, "clock")
    assert hand.lies()[2][1] == (HOUR if catches else 1e9)


def test_wood_that_still_burns_lights_a_load_wood_that_does_not_burn_lights_none():
    loads = [*FIRST, *({"at": at, "pieces": {"split": 1}} for at in ("19:00", "20:00", "21:00"))]
    hand = Hand({"stoking.load": loads})
    hand.coals(0.0, wood=1.0)
    assert hand.tending.chance(hand.state) > 0.99
    hand.coals(0.01, wood=0.0).until(HOUR)  # does not catch
    assert hand.tending.chance(hand.state) < 0.01
    hand.until(2 * HOUR)
    assert hand.lies()[2][2:] == [1e9, 1e9, 1e9]
    hand.state[hand.places.coals] = 0.2
    hand.until(3 * HOUR)
    assert hand.lies()[2] == [0.0, 0.0, 3 * HOUR, 3 * HOUR, 3 * HOUR]  # and lights what lay there


def test_a_later_load_may_be_lit_by_hand_too():
    hand = Hand({"stoking.load": [*FIRST, {"at": "22:00", "pieces": {"split": 1}, "lit": True}]})
    hand.coals(0.0, wood=0.0).until(4 * HOUR)
    assert hand.lighting == 1000.0
    assert hand.lies()[2] == [0.0, 0.0, 4 * HOUR]
    assert hand.told()[-1] == (4 * HOUR, "load lit by hand", "clock")
    assert hand.until(4 * HOUR + 240.0).lighting == 0.0


def test_levers_are_turned_by_loads_and_settings_step_by_step():
    load = FIRST[0] | {
        "air": [{"for": "10 min", "mark": "wide"}, {"for": "20 min", "mark": "half"}, {"mark": "shut"}]
    }
    later = [{"for": "5 min", "mark": "wide"}, {"mark": "half"}]
    settings = [{"at": "20:00", "damper": "along"}, {"at": "21:00", "air": later}]
    hand = Hand(DAMPER | {"stoking.load": [load], "stoking.set": settings, "stoking.air": "shut"})
    seen = []
    for minute in (0, 9, 10, 29, 30, 119, 120, 179, 180, 184, 185):
        hand.until(60.0 * minute)
        seen.append((minute, hand.inlet, hand.damper))
    assert seen == [
        (0, 1.0, 0.3), (9, 1.0, 0.3), (10, 0.5, 0.3), (29, 0.5, 0.3), (30, 0.0, 0.3), (119, 0.0, 0.3),
        (120, 0.0, 0.9), (179, 0.0, 0.9), (180, 1.0, 0.9), (184, 1.0, 0.9), (185, 0.5, 0.9),
    ]  # fmt: skip
    assert [(time / 60.0, what) for time, what, _ in hand.told()] == [
        (0, "load lit by hand"), (0, "air to wide (100 %)"), (10, "air to half (50 %)"), (30, "air to shut (0 %)"),
        (120, "damper to along (90 %)"), (180, "air to wide (100 %)"), (185, "air to half (50 %)"),
    ]  # fmt: skip
    assert {by for _, _, by in hand.told()} == {"clock"}


def test_a_lever_stands_by_the_last_word():
    """Steps still to come of an earlier load or setting no longer count; the other lever's do."""
    steps = [{"for": "2 h", "mark": "wide"}, {"mark": "half"}]
    damper = [{"for": "3 h", "mark": "along"}, {"mark": "turned"}]
    changes = {
        "stoking.load": [FIRST[0] | {"air": steps, "damper": damper}],
        "stoking.set": [{"at": "19:00", "air": "shut"}],
    }
    hand = Hand(DAMPER | changes).until(HOUR)
    assert hand.inlet == 0.0
    hand.until(2.5 * HOUR)
    assert (hand.inlet, hand.damper) == (0.0, 0.9)
    assert hand.until(3 * HOUR).damper == 0.3
    assert [what for _, what, _ in hand.told() if "half" in what] == []


def test_two_loads_shortly_after_one_another_keep_the_door_open_and_the_match_lit():
    loads = [*FIRST, {"at": "18:03", "pieces": {"split": 1}, "lit": True}]
    hand = Hand({"stoking.load": loads, "stoking.door_open": "4 min"}).until(300.0)
    assert hand.door == pytest.approx(DOOR)
    assert hand.lighting == 1000.0
    assert hand.until(420.0).door == 0.0
    assert hand.lighting == 0.0


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ({}, "load put on, does not catch: too few coals"),
        ({"catches": True}, "load put on"),
        ({"lit": True}, "load lit by hand"),
    ],
)
def test_on_dead_coals_a_load_lies_there_unless_it_is_said_to_catch(more, what):
    hand = Hand({"stoking.load": [*FIRST, {"at": "23:00", "pieces": {"split": 1}} | more]})
    hand.coals(0.0, wood=0.0).until(5.0 * HOUR)
    assert [(event.time, event.what) for event in hand.tending.events[1:]] == [(5.0 * HOUR, what)]
    caught = hand.lies()[2][2]
    assert caught == (1e9 if "does not" in what else 5.0 * HOUR)
    assert hand.lighting == (
        1000.0 if "lit" in more else 0.0
    )  # what catches by itself has no match and tinder


def test_that_one_load_catches_says_nothing_of_others_nor_of_a_rules():
    loads = [
        *FIRST,
        {"at": "19:00", "pieces": {"stick": 1}, "catches": True},
        {"at": "19:30", "pieces": {"stick": 1}},
    ]
    hand = Hand(ruled() | {"stoking.load": loads}).coals(0.0, wood=0.0).until(HOUR)
    hand.coals(0.0, wood=0.0).until(1.5 * HOUR).cold(3 * HOUR, 2.0).coals(0.0, wood=0.0).until(
        3 * HOUR + 300.0
    )
    dead = "load put on, does not catch: too few coals"
    assert [event.what for event in hand.tending.events[1:]] == ["load put on", dead, "woken: cot cold", dead]
