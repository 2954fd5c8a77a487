"""A draft as plain data, and the scenario in which it is done."""

import itertools

import pytest

from simtent.planning.choices import CATCHING, choices_of
from simtent.planning.draft import Draft, Put, replacements
from simtent.planning.neighbours import neighbours
from simtent.scenario.load import load
from tests.planning.camps import three_metres


def drawn(choices):
    """Loads at bed and twice in the night."""
    first, last, levers = choices.loads[0], choices.loads[-1], choices.levers[0]
    times = (choices.at_bed, choices.bed + 3.0 * 3600.0, choices.bed + 6.0 * 3600.0)
    return Draft(tuple(Put(at, pile, levers) for at, pile in zip(times, (last, last, first), strict=True)))


def test_equal_drafts_are_one(tmp_path):
    choices = choices_of(three_metres(tmp_path))
    assert len({drawn(choices), drawn(choices)}) == 1
    assert drawn(choices).wake_ups(choices) == 2


def test_loads_settings_and_rules_are_replaced_but_the_first_and_those_from_rise_on():
    scenario = load("scenarios/alder_ford.toml")
    choices = choices_of(scenario)
    planned = scenario.replace(replacements(drawn(choices), scenario, choices)).stoking
    before = scenario.stoking.loads
    assert planned.loads[0] == before[0]
    assert planned.loads[-1] == before[-1]
    assert [load.at for load in planned.loads[1:-1]] == [put.at for put in drawn(choices).puts]
    assert planned.rules == () and planned.settings == ()
    relit = scenario.replace(replacements(drawn(choices), scenario, choices, relit=True)).stoking
    assert relit.loads[-1].lit and not before[-1].lit


def test_levers_are_wide_while_a_load_catches_and_then_at_their_marks():
    scenario = load("scenarios/alder_ford.toml")
    choices = choices_of(scenario)
    planned = scenario.replace(replacements(drawn(choices), scenario, choices)).stoking.loads[1]
    marks = choices.levers[0]
    assert [(step.after, step.mark) for step in planned.air] == [(0.0, "wide"), (CATCHING, marks.air)]
    assert [(step.after, step.mark) for step in planned.damper] == [(0.0, "open"), (CATCHING, marks.damper)]


def test_loads_that_are_repeated_in_the_file_become_single_ones():
    scenario = load("scenarios/stone_sheep.toml")
    choices = choices_of(scenario)
    planned = scenario.replace(replacements(drawn(choices), scenario, choices)).stoking.loads
    rise = choices.rise
    kept = [load.at for load in scenario.stoking.loads if load.at >= rise]
    assert [load.at for load in planned if load.at >= rise] == kept


@pytest.mark.parametrize("index", [0, 1, 2])
def test_neighbours_differ_and_stay_in_the_night(tmp_path, index):
    choices = choices_of(three_metres(tmp_path))
    draft = drawn(choices)
    near = neighbours(draft, index, choices)
    assert draft not in near
    assert len(near) == len(set(near)) > 5
    for other in near:
        assert other.wake_ups(choices) == 2
        assert other.puts[0].at == choices.at_bed
        times = [put.at for put in other.puts]
        assert all(later - earlier >= 1800.0 for earlier, later in itertools.pairwise(times))
        assert all(put.pieces in choices.loads and put.levers in choices.levers for put in other.puts)


def test_no_neighbour_brings_two_loads_closer_than_half_an_hour(tmp_path):
    choices = choices_of(three_metres(tmp_path))
    second = choices.bed + 3.0 * 3600.0
    close = drawn(choices).with_put(2, Put(second + 2700.0, choices.loads[-1], choices.levers[0]))
    times = {other.puts[2].at - second for other in neighbours(close, 2, choices)}
    assert min(times) == 1800.0
    assert max(times) == 6300.0
