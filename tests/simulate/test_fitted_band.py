"""The range of a night whose numbers were fitted to logs: made of the axes, of what readings miss, wider outside."""

import numpy as np
import pytest

import simtent
from simtent.assess.findings import from_dataset
from simtent.tell.heights_levels import layering
from simtent.tell.summary import heading, summary
from tests.simulate.cases import scenario

pytestmark = pytest.mark.compiled

SHORT = {"night.end": "19:30", "heat.table": [{"at": "18:00", "power": "2 kW"}], "model.layers": 8}
OUTDOORS = -10.0  # degC, steady
KEYS = ("model.walls", "model.leak_area", "model.heat", "model.mixing")
STILL = [{"times": dict.fromkeys(KEYS, 1.0)}]


def fitted(axis=STILL, beyond=None, coldest="-12 degC", warmest="-5 degC"):
    """A night after logs; without more, one of which nothing stays open."""
    told = {
        "logs": ["2031-01-24 porch_night.csv", "2031-01-25 porch_again.csv"],
        "readings": 3210,
        "version": "0.1.0",
        "coldest": coldest,
        "warmest": warmest,
        "axis": axis,
        "beyond": beyond or {},
    }
    return scenario().replace(SHORT | {"fitted": told})


def widths(dataset):
    """Half the range of every level, and of head over floor, shape (times, levels + 1) [K]."""
    levels = dataset["level_temperature_high"] - dataset["level_temperature_low"]
    over = dataset["head_over_floor_high"] - dataset["head_over_floor_low"]
    return np.column_stack((levels.values, over.values)) / 2.0


def rises(dataset, level):
    return dataset["level_temperature"].sel(level=level).values - OUTDOORS


def the_finding(dataset):
    found = [it for it in from_dataset(dataset) if "extrapolates" in it.what]
    assert len(found) <= 1
    return found[0] if found else None


@pytest.fixture(scope="module")
def missing():
    """Nothing open, and a share missed at three levels."""
    night = fitted(beyond={"cot": "4 %", "head": "6 %", "floor": "3 %"})
    return night, simtent.simulate(night)


def test_axes_without_length_leave_no_range():
    assert widths(simtent.simulate(fitted())) == pytest.approx(0.0, abs=1e-12)


def test_an_axis_is_as_wide_as_the_prior_it_stands_for():
    """Leakage times 2 and mixing times 3, once as the priors they have, once as axes."""
    sure = [{"times": {"model.walls": 1.0, "model.heat": 1.0}}]
    axes = [*sure, {"times": {"model.leak_area": 2.0}}, {"times": {"model.mixing": 3.0}}]
    before, after = (widths(simtent.simulate(fitted(axis))) for axis in (sure, axes))
    assert before[3:].min() > 0.0
    assert after == pytest.approx(before, rel=1e-6, abs=1e-9)


def test_one_axis_of_two_numbers_is_no_sum_of_squares():
    """More heat through more skin: together they leave the night nearly as it is, apart they do not."""
    rest = {"model.leak_area": 1.0, "model.mixing": 1.0}
    together = [{"times": {"model.walls": 1.2, "model.heat": 1.2} | rest}]
    apart = [{"times": {"model.walls": 1.2} | rest}, {"times": {"model.heat": 1.2}}]
    one, two = (widths(simtent.simulate(fitted(axis)))[6:, :-1].mean() for axis in (together, apart))
    assert one < 0.4 * two


def test_what_is_missed_alone_is_a_share_of_the_rise(missing):
    night, dataset = missing
    found, names = widths(dataset), list(night.levels)
    for level, share in (("cot", 0.04), ("head", 0.06), ("floor", 0.03)):
        wanted = share * np.abs(rises(dataset, level))
        assert found[:, names.index(level)] == pytest.approx(wanted, rel=1e-9, abs=1e-9)
    waist = 0.06 * np.abs(rises(dataset, "waist"))  # no sensor hung there: as where most was missed
    assert found[:, names.index("waist")] == pytest.approx(waist, rel=1e-9, abs=1e-9)
    over = np.hypot(0.06 * rises(dataset, "head"), 0.03 * rises(dataset, "floor"))
    assert found[:, -1] == pytest.approx(over, rel=1e-9, abs=1e-9)


def test_what_is_missed_adds_in_squares(missing):
    axis = [*STILL[:0], {"times": {"model.walls": 1.1} | dict.fromkeys(KEYS[1:], 1.0)}]
    alone = simtent.simulate(fitted(axis))
    both = simtent.simulate(fitted(axis, {"cot": "4 %"}))
    cot = list(fitted().levels).index("cot")
    for side, sign in (("low", -1.0), ("high", 1.0)):
        one, two = (
            sign * (it[f"level_temperature_{side}"] - it["level_temperature"]).values[:, cot]
            for it in (alone, both)
        )
        assert two == pytest.approx(np.hypot(one, 0.04 * rises(both, "cot")), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("coldest", "warmest", "wider", "way", "level"),
    [
        # 10 K colder than all that was logged, over 10 K that were: twice. 3.5 K, over 7 K: one and a half.
        ("0 degC", "10 degC", 2.0, "18 degF colder", "caution"),
        ("-6.5 degC", "0.5 degC", 1.0 + 3.5 / 7.0, "6 degF colder", "note"),
        # 10 K warmer, over a span of 1 K that counts as 3.
        ("-21 degC", "-20 degC", 1.0 + 10.0 / 3.0, "18 degF warmer", "caution"),
    ],
)
def test_a_night_outside_the_logs_is_wider_by_the_rule_and_says_so(
    missing, coldest, warmest, wider, way, level
):
    _, inside = missing
    night = fitted(beyond={"cot": "4 %", "head": "6 %", "floor": "3 %"}, coldest=coldest, warmest=warmest)
    night = night.replace("units", "us")
    outside = simtent.simulate(night)
    assert widths(outside) == pytest.approx(wider * widths(inside), rel=1e-9, abs=1e-9)
    found = the_finding(outside)
    assert found.level == level and way in found.what and found.number == "14 degF outdoors"
    assert f"{wider:.1f} times" in found.todo and "Log a night" in found.todo
    told = " ".join(" ".join(summary(night, outside, "us")).split())
    assert f"{100.0 * wider * 0.04:.0f} % at the cot" in told and "made wider" in told


def test_a_night_inside_the_logs_says_nothing_of_it(missing):
    night, dataset = missing
    assert the_finding(dataset) is None
    assert "made wider" not in " ".join(" ".join(summary(night, dataset, "si")).split())


def test_outside_the_logs_without_anything_missed_no_range_is_said_to_be_wider():
    found = the_finding(simtent.simulate(fitted(coldest="0 degC", warmest="10 degC")))
    assert found is not None and "times" not in found.todo and "No range was widened" in found.todo


def test_the_words_name_the_logs_and_what_the_range_is_made_of(missing):
    night, dataset = missing
    told = " ".join(" ".join(summary(night, dataset, "si")).split())
    assert "Range after your log" in told and "Usual range" not in told
    assert "3210 readings of 2 logs leave open in model.walls, model.leak_area, model.heat and 1 more" in told
    assert "4 % at the cot, of the rise above outdoors" in told
    over = dict(layering(night, dataset, "si"))["Range after your log"]
    assert "6 % at the head and 3 % at the floor" in over
    assert "Numbers fitted to 3210 readings of 2 logs: 2031-01-24 porch_night.csv" in " ".join(heading(night))
