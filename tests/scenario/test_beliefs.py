"""What is believed of a number before logs are read: from the declarations, by hand, and by [fit]."""

import math

import pytest

from simtent.errors import InputError
from simtent.scenario.beliefs import belief, freed, usual_free
from simtent.scenario.fields import fields
from simtent.scenario.free import free_keys
from simtent.scenario.load import load
from simtent.scenario.quantity import Factor
from tests.scenario.example import FIRE, TEXT, written
from tests.simulate.cases import SHIPPED


@pytest.fixture
def fire(tmp_path):
    return load(written(tmp_path, FIRE))


@pytest.fixture
def known(tmp_path):
    return load(written(tmp_path, TEXT))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_number_has_a_belief_within_its_bounds(path):
    scenario = load(path)
    for key in free_keys(scenario):
        it = belief(scenario, key)
        assert it.spread > 0.0 and math.isfinite(it.spread), key
        assert it.low <= it.number <= it.high and it.median == it.number, key
        assert it.source and it.told, key
        assert it.additive or it.median > 0.0, key


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_what_a_fit_frees_by_itself_has_a_prior_of_its_own(path):
    scenario = load(path)
    keys = usual_free(scenario)
    assert keys and len(set(keys)) == len(keys)
    for key in keys:
        assert "names no prior" not in belief(scenario, key).source, key


def test_every_factor_of_the_model_says_how_far_it_may_be_off_and_who_says_so():
    for field in fields():
        if field.path[0] == "model" and isinstance(field.declared, Factor):
            found = field.declared.prior or field.declared.spread
            assert found is not None and found.source, field.key


def test_logarithms_by_hand(fire):
    # x2: ln 2. +-20 %: half of ln(1.2 / 0.8).
    assert belief(fire, "model.leak_area").spread == pytest.approx(0.693147, abs=1e-6)
    assert belief(fire, "model.walls").spread == pytest.approx(0.5 * math.log(1.2 / 0.8))
    assert belief(fire, "model.leak_area").unit == "cm2"
    assert (belief(fire, "model.leak_area").low, belief(fire, "model.leak_area").high) == (
        1.0,
        pytest.approx(2e4),
    )


def test_what_may_be_zero_or_below_is_added_to(fire):
    start = belief(fire, "site.ground_start")
    assert (start.unit, start.number, start.spread, start.additive) == (
        "degC",
        pytest.approx(-5.0),
        2.0,
        True,
    )
    shift = belief(fire, "outdoors.shift")
    assert (shift.number, shift.spread, shift.additive) == (0.0, 1.0, True)
    cloud = belief(fire, "outdoors.cloud")
    assert (cloud.unit, cloud.number, cloud.spread, cloud.additive) == ("%", 0.0, 20.0, True)


def test_a_factor_of_what_is_zero_now_says_what_stands_in_for_it(fire):
    dead_calm = fire.replace("outdoors.wind", "0 m/s")
    wind = belief(dead_calm, "outdoors.wind")
    assert (wind.additive, wind.spread) == (True, pytest.approx(2.5))  # a quarter of the usual 10 m/s
    assert "a quarter of the largest usual value" in wind.source


def test_a_field_without_a_prior_says_so(fire):
    it = belief(fire, "shelter.length")
    assert (it.told, it.spread) == ("x1.5", pytest.approx(math.log(1.5)))
    assert "names no prior" in it.source


def test_the_forecasts_own_spread_is_taken(fire):
    assert belief(fire.replace("outdoors.spread", "9 degF"), "outdoors.shift").spread == pytest.approx(5.0)


def test_numbers_that_were_left_away_count_as_what_stands_in_for_them(fire):
    loose = fire.replace("shelter.skirt", "loose")
    leak = belief(loose, "model.leak_below_skirt")
    assert leak.number == pytest.approx(1e4 * loose.leak_below_skirt) and leak.number > 0.0
    mass = belief(fire, "stove.mass")
    assert mass.number == pytest.approx(fire.stove.body_mass)
    stick = belief(fire, "wood.pieces.stick.mass")
    assert stick.number == pytest.approx(1000.0 * fire.wood.piece_mass("stick"))
    assert belief(fire, "model.leak_below_skirt").number == 0.0
    with pytest.raises(InputError):
        belief(fire, "crew.pad")


def test_what_is_freed_by_what_the_scenario_has(fire, known):
    shelter = ("model.walls", "model.leak_area", "model.mixing", "model.ground")
    assert usual_free(known) == shelter
    both = usual_free(fire)
    assert both[:4] == shelter and {"model.gas_side", "model.burn_rate", "model.inlet"} < set(both)
    outside = fire.replace({"shelter": "none", "stoking.rule": "none"})
    assert usual_free(outside) == both[4:]
    raised = known.replace({"shelter.floor.raised": "20 cm", "shelter.floor.board": "20 mm plywood"})
    assert usual_free(raised) == shelter[:3]


def test_fit_names_what_is_free_and_how_far(fire):
    chosen = fire.replace(
        "fit", {"free": ["model.walls", "stove.air.leak"], "spread": {"model.walls": "x1.05"}}
    )
    assert freed(chosen) == ("model.walls", "stove.air.leak")
    it = belief(chosen, "model.walls")
    assert (it.spread, it.told, it.source) == (
        pytest.approx(math.log(1.05)),
        "x1.05",
        "[fit] of the scenario",
    )
    less = fire.replace("fit.fixed", ["model.heat"])
    assert freed(less) == tuple(key for key in usual_free(fire) if key != "model.heat")
    wide = fire.replace("fit", {"free": ["site.ground_start"], "spread": {"site.ground_start": "+-9 degF"}})
    assert belief(wide, "site.ground_start").spread == pytest.approx(5.0)
    points = fire.replace("fit", {"free": ["outdoors.cloud"], "spread": {"outdoors.cloud": "+-5 %"}})
    assert belief(points, "outdoors.cloud").spread == pytest.approx(5.0)
