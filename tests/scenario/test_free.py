"""Numbers that may be moved: found by key, written back, and nothing else changed."""

import pytest

from simtent.errors import InputError
from simtent.scenario.free import free, free_keys
from simtent.scenario.load import load
from tests.simulate.cases import SHIPPED


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_number_is_written_back_as_it_was(path):
    scenario = load(path)
    for key in free_keys(scenario):
        it = free(scenario, key)
        again = free(scenario.replace(it.replacement(it.number)), key)
        assert again.number == pytest.approx(it.number, rel=1e-14, abs=1e-14)
        assert it.size > 0.0


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_number_moved_is_moved_by_as_much(path):
    scenario = load(path)
    for key in free_keys(scenario):
        it = free(scenario, key)
        for wanted in (it.number + 1e-4 * it.size, it.number - 1e-4 * it.size):
            try:
                there = scenario.replace(it.replacement(wanted))
            except InputError:
                continue  # at the end of its range
            assert free(there, key).number == pytest.approx(wanted, rel=1e-12)
            break
        else:
            raise AssertionError(f"{key} can be moved neither way")


def test_marks_of_a_stove_from_the_table_stay_beside_the_one_that_is_moved():
    scenario = load(next(path for path in SHIPPED if path.stem == "fence_shelf"))
    it = free(scenario, "stove.air.marks.low")
    there = scenario.replace(it.replacement(it.number + 1.0))
    assert there.stove.air.marks == {
        **scenario.stove.air.marks,
        "low": pytest.approx(0.01 + it.number / 100.0),
    }


def test_units_and_sizes():
    scenario = load(next(path for path in SHIPPED if path.stem == "sedge_hollow"))
    leak, shift, glass = (free(scenario, key) for key in ("model.leak_area", "outdoors.shift", "stove.glass"))
    assert (leak.unit, shift.unit, free(scenario, "model.walls").unit) == ("cm2", "K", "1")
    assert leak.number == pytest.approx(20.0 * 6.4516)
    assert (shift.number, shift.size) == (0.0, 10.0)
    assert (glass.number, glass.size) == (0.0, pytest.approx(500.0))
    assert free(scenario, "wood.moisture").number == pytest.approx(19.0)


@pytest.mark.parametrize(
    "key", ["", "model", "model.layers", "wood.species", "nothing.at.all", "night.begin"]
)
def test_what_is_no_number_is_refused(key):
    with pytest.raises(InputError):
        free(load(SHIPPED[0]), key)
