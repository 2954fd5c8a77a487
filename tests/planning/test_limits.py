"""What breaks a limit, and which of two nights is the better."""

import math
from dataclasses import replace

import numpy as np
import pytest

from simtent.planning.limits import Limits
from simtent.planning.measure import Measured
from simtent.scenario.load import load
from tests.planning.camps import three_metres

KEPT = Measured(
    cot_lowest=6.0,
    cot_lowest_at=0.0,
    cot_evening=6.0,
    cot_at_rise=9.0,
    head_highest=25.0,
    odds=(3.0, 2.0),
    fullest=0.4,
    stove=300.0,
    jack=150.0,
    cool=0.0,
    wood=12.0,
    unevenness=1.0,
    times=np.zeros(0),
    cot=np.zeros(0),
    lights=np.zeros(0),
)
LIMITS = Limits(cot=5.0, rise=8.0, head=30.0, coals=1.386, wood=20.0)
BREAKS = {
    "cot": {"cot_lowest": 4.0},
    "rise": {"cot_at_rise": 7.0},
    "head": {"head_highest": 31.0},
    "coals": {"odds": (3.0, 0.386)},
    "wood": {"wood": 21.0},
    "fullest": {"fullest": 0.65},
    "stove": {"stove": 620.0},
    "jack": {"jack": 280.0},
    "cool": {"cool": 2400.0},
}


def test_a_night_that_keeps_all():
    assert LIMITS.broken(KEPT) == {}
    assert LIMITS.value(KEPT, 2) == (0.0, 0.0, 2, 12.0, 1.0)


@pytest.mark.parametrize("name", BREAKS)
def test_each_limit_is_broken_alone(name):
    night = replace(KEPT, **BREAKS[name])
    assert list(LIMITS.broken(night)) == [name]
    hazards, wishes, *_ = LIMITS.value(night, 2)
    assert (hazards + wishes) == pytest.approx(1.0, abs=1e-3)
    assert (wishes > 0.0) == (name in ("cot", "rise", "head"))


def test_hazards_before_wishes_before_wake_ups_before_wood_before_evenness():
    def value(wake_ups=2, **changes):
        return LIMITS.value(replace(KEPT, **changes), wake_ups)

    assert value(cot_lowest=-40.0) < value(cool=1900.0)
    assert value(wake_ups=9) < value(cot_lowest=4.9)
    assert value(wake_ups=1, wood=19.9) < value(wake_ups=2, wood=3.0)
    assert value(wood=11.9, unevenness=9.0) < value(wood=12.0, unevenness=0.0)
    assert value(unevenness=0.9) < value()


@pytest.mark.parametrize(
    "relaxed",
    [{"cot": 4.0}, {"rise": None}, {"head": None}, {"coals": 0.5}, {"wood": None}, {"fullest": 0.9}],
)
@pytest.mark.parametrize("name", ["none", *BREAKS])
def test_with_less_asked_no_night_gets_worse(name, relaxed):
    night = replace(KEPT, **BREAKS.get(name, {}))
    assert replace(LIMITS, **relaxed).value(night, 2) <= LIMITS.value(night, 2)


def test_limits_of_a_scenario(tmp_path):
    wished = {"wish__coals": "90 %", "wish__head_at_most": "35 degC", "wood__at_hand": "30 kg"}
    limits = Limits.of(three_metres(tmp_path, **wished))
    assert limits.cot == pytest.approx(5.0) and limits.head == pytest.approx(35.0) and limits.rise is None
    assert limits.coals == pytest.approx(math.log(9.0))
    assert limits.wood == pytest.approx(30.0)


def test_four_in_five_unless_something_else_is_wished():
    assert Limits.of(load("scenarios/alder_ford.toml")).coals == pytest.approx(math.log(4.0))
