"""Which numbers a fit seeks: what [fit] frees, fixes, ties and widens is so."""

from dataclasses import replace

import numpy as np
import pytest

from simtent.calibrate import numbers
from simtent.calibrate.outlook import Setting
from simtent.scenario.beliefs import usual_free
from simtent.scenario.load import load
from tests.calibrate.planted import plant
from tests.scenario.example import FIRE, TEXT, written

SEDGE = "scenarios/sedge_hollow.toml"


def sought(folder, fit="", text=FIRE):
    return {one.name: one for one in numbers.of_scenario(load(written(folder, text + fit)))}


def test_without_fit_the_usual_ones_are_sought_each_with_its_belief(tmp_path):
    found = sought(tmp_path)
    assert tuple(found) == usual_free(load(written(tmp_path, FIRE)))
    for name, one in found.items():
        assert one.keys == (name,) and one.source and one.spread > 0.0
        assert one.low < one.median < one.high
        assert one.value(0.0) == pytest.approx(one.median)


def test_free_and_fixed_are_obeyed(tmp_path):
    fit = '[fit]\nfree = ["model.walls", "outdoors.shift", "stove.air.leak"]\n'
    found = sought(tmp_path, fit)
    assert list(found) == ["model.walls", "outdoors.shift", "stove.air.leak"]
    assert not found["outdoors.shift"].factor and found["outdoors.shift"].unit == "K"
    assert list(sought(tmp_path, '[fit]\nfixed = ["model.walls"]\n', TEXT)) == [
        "model.leak_area", "model.mixing", "model.ground",
    ]  # fmt: skip


def test_a_spread_is_the_one_that_is_asked_for(tmp_path):
    """x1.5 is a deviation of ln 1.5; +-2 K is one of 2 K."""
    spread = 'spread = { "model.walls" = "x1.5", "outdoors.shift" = "+-2 K" }\n'
    fit = '[fit]\nfree = ["model.walls", "outdoors.shift"]\n' + spread
    found = sought(tmp_path, fit)
    assert found["model.walls"].spread == pytest.approx(np.log(1.5))
    assert found["outdoors.shift"].spread == pytest.approx(2.0)
    assert sought(tmp_path)["model.walls"].spread != pytest.approx(np.log(1.5))


def test_tied_numbers_are_one_and_move_by_one_factor(tmp_path):
    tied = 'tied = [["model.walls", "model.leak_area"]]\n'
    fit = '[fit]\nfree = ["model.walls", "model.leak_area", "model.heat"]\n' + tied
    scenario = load(written(tmp_path, FIRE.replace("[wood]", '[model]\nleak_area = "100 cm2"\n[wood]') + fit))
    one, heat = numbers.of_scenario(scenario)
    assert one.keys == ("model.walls", "model.leak_area") and heat.keys == ("model.heat",)
    setting = Setting((one, heat), numbers.bases(scenario, (one, heat)))
    moved = scenario.replace(setting.of_scenario({one.name: 1.3 * one.median, heat.name: heat.median}))
    assert moved.model.walls == pytest.approx(1.3 * scenario.model.walls)
    assert moved.model.leak_area == pytest.approx(1.3 * scenario.model.leak_area)
    assert moved.model.heat == pytest.approx(scenario.model.heat)


def test_a_sensor_glows_only_where_a_stove_is_seen():
    """A camp warmed by a known heat has none: a number that moves nothing would stand in every table as believed."""
    found = plant(3)
    assert [night.scenario.stove for night in found.nights] == [None, None]
    assert "glow at head" not in [one.name for one in found.sought]
    stove = replace(found.nights[0], scenario=load(SEDGE))
    assert "glow at head" in [one.name for one in numbers.of_sensors([stove, found.nights[1]])]
