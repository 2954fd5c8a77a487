"""What a plan may choose from, and what is told where nothing can be planned."""

import itertools

import pytest

from simtent.errors import InputError
from simtent.planning.choices import LOOSE, choices_of
from simtent.planning.refused import faults_of
from simtent.scenario.load import load
from tests.planning.camps import three_metres

SCENARIOS = ("alder_ford", "gauge_bar", "sedge_hollow", "stone_sheep", "fence_shelf")


@pytest.mark.parametrize("name", SCENARIOS)
def test_loads_are_whole_pieces_that_lie_loosely(name):
    scenario = load(f"scenarios/{name}.toml")
    choices = choices_of(scenario)
    masses = [sum(scenario.wood.load_masses(pile).values()) for pile in choices.loads]
    assert all(isinstance(count, int) and count > 0 for pile in choices.loads for _, count in pile)
    assert masses == sorted(masses)
    assert max(map(scenario.wood.volume_of, masses)) <= LOOSE * scenario.stove.firebox.volume
    assert all(later >= 1.15 * earlier for earlier, later in itertools.pairwise(masses))
    # No room is left for another piece of the thickest kind, but for the tenth that fewer pieces may cost.
    thickest = max(scenario.wood.pieces, key=lambda kind: scenario.wood.pieces[kind].thick)
    fuller = 1.1 * masses[-1] + scenario.wood.piece_mass(thickest)
    assert scenario.wood.volume_of(fuller) > LOOSE * scenario.stove.firebox.volume


@pytest.mark.parametrize("name", SCENARIOS)
def test_no_mark_below_the_least_for_sleepers(name):
    scenario = load(f"scenarios/{name}.toml")
    air = scenario.stove.air
    least = air.marks[air.least_when_asleep]
    choices = choices_of(scenario)
    assert min(air.marks[levers.air] for levers in choices.levers) == least
    assert air.marks[choices.wide.air] == max(air.marks.values())


def test_without_a_stated_least_nothing_is_nearly_shut(tmp_path):
    marks = {"shut": "0 %", "crack": "10 %", "some": "30 %", "wide": "100 %"}
    damper = {"marks": {"across": "10 %", "slant": "60 %", "along": "100 %"}}
    changes = {
        "stove.air": {"opening": "16 cm2", "marks": marks},
        "stove.air.least_when_asleep": "none",
        "stove.damper": damper,
        "stoking.damper": "along",
        "stoking.air": "wide",
    }
    choices = choices_of(three_metres(tmp_path).replace(changes))
    assert {levers.air for levers in choices.levers} == {"some", "wide"}
    assert {levers.damper for levers in choices.levers} == {"slant", "along"}


def test_times_lie_between_bed_and_rise(tmp_path):
    choices = choices_of(three_metres(tmp_path), grid=1800.0)
    times = choices.times()
    assert times[0] == choices.bed + 1800.0 and times[-1] == choices.rise - 1800.0
    assert len(times) == 17


@pytest.mark.parametrize(
    ("changes", "key", "words"),
    [
        ({"wish__cot_at_least": "none"}, "wish.cot_at_least", "needs this wish"),
        ({"wish__bed": "none"}, "wish.bed", "needs this wish"),
        ({"wish__rise": "none"}, "wish.rise", "needs this wish"),
        ({"wish__head_at_most": "5 degC"}, "wish.cot_at_least", "as warm as the head"),
        (
            {"wish__head_at_most": "20 degC", "wish__cot_at_rise": "21 degC"},
            "wish.cot_at_rise",
            "as warm as the head",
        ),
        ({"wish__bed": "19:30"}, "wish.bed", "30 min before bed"),
        ({"wood__at_hand": "1 kg"}, "wood.at_hand", "not wood enough"),
    ],
)
def test_one_fault_with_its_key(tmp_path, changes, key, words):
    (fault,) = faults_of(three_metres(tmp_path, **changes))
    assert fault.key == key
    assert words in fault.what
    assert fault.todo


def test_a_camp_without_faults(tmp_path):
    assert faults_of(three_metres(tmp_path)) == []


@pytest.mark.parametrize(("name", "key"), [("larch_bench", "stove"), ("yard_burn", "shelter")])
def test_nothing_to_plan_for(name, key):
    (fault,) = faults_of(load(f"scenarios/{name}.toml"))
    assert fault.key == key


@pytest.mark.parametrize("hand", ["0 kg", "0 lb"])
def test_no_wood_at_all(tmp_path, hand):
    with pytest.raises(InputError, match=r"wood\.at_hand.*out of range"):
        three_metres(tmp_path, wood__at_hand=hand)
