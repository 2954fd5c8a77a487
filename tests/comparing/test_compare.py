"""Differences are those of single nights, add up, and are drawn together."""

import numpy as np
import pytest

import simtent
from simtent.assess.curves import curve
from simtent.assess.damp import on_skin
from simtent.assess.loads import burns
from simtent.comparing.asked import NAMES, NUMBERS, asked
from simtent.comparing.compare import compared, wanted
from simtent.comparing.draws import Few, deviations
from simtent.comparing.nights import nights
from simtent.driver import drive
from simtent.errors import InputError, SolveError
from simtent.scenario.load import load
from simtent.scenario.varied import Variant, of_variant
from simtent.simulate import judged
from tests.comparing.camps import fire, known_heat

DRAWS = 6
ACCURATE = 0.05  # K; of each reported temperature, by the design of the solver


@pytest.fixture(scope="module")
def camp(tmp_path_factory):
    return known_heat(tmp_path_factory.mktemp("camp"))


@pytest.fixture(scope="module")
def found(camp):
    return compared(camp, wanted(camp), draws=DRAWS)


@pytest.mark.compiled
def test_numbers_are_those_of_each_night_by_itself(camp, found):
    """By the other solver, from the Dataset that `simulate` gives."""
    for night in found.nights:
        scenario = camp if night.name == "base" else of_variant(camp, night.name).scenario
        dataset = simtent.simulate(scenario)
        bed = scenario.night.seconds_at("19:30"), scenario.night.seconds
        cot, floor, head = (curve(dataset, "level_temperature", level=it) for it in ("cot", "floor", "head"))
        told = night.values
        assert told["cot_lowest"] == pytest.approx(cot.between(*bed).lowest()[1], abs=ACCURATE)
        assert told["floor_lowest"] == pytest.approx(floor.between(*bed).lowest()[1], abs=ACCURATE)
        assert told["head_highest"] == pytest.approx(head.highest()[1], abs=ACCURATE)
        over = (head.values - floor.values).max()
        assert told["head_over_floor"] == pytest.approx(over, abs=2.0 * ACCURATE)
        below = cot.between(*bed).time_below(-5.0) / 3600.0
        assert told["hours_under_wish"] == pytest.approx(below, abs=0.1)
        assert np.isnan([told[name] for name in ("wood", "load_interval", "coals_last", "frost")]).all()


@pytest.mark.compiled
def test_differences_add_up_draw_by_draw(found):
    """A - B = A - C + C - B, of what is told and of every draw."""
    names = [night.name for night in found.nights]
    for number in NAMES[:7]:
        for a, b, c in ((a, b, c) for a in names for b in names for c in names):
            whole = found.between(a, b, number).amount
            parts = found.between(a, c, number).amount + found.between(c, b, number).amount
            assert whole == pytest.approx(parts, abs=1e-9)


@pytest.mark.compiled
def test_differences_add_up_whichever_is_the_base(camp, found):
    """The same from two comparisons with other bases: nights and draws are the same, solved anew."""
    windy = of_variant(camp, "windy").scenario
    other = compared(windy, wanted(windy, {"mat": of_variant(camp, "mat").scenario}), draws=DRAWS)
    column = NAMES.index("cot_mean")
    direct = other.drawn[1, :, column] - other.drawn[0, :, column]
    rows = {night.name: k for k, night in enumerate(found.nights)}
    by_base = found.drawn[rows["mat"], :, column] - found.drawn[rows["windy"], :, column]
    np.testing.assert_allclose(direct, by_base, atol=1e-6)
    mat, wind = (found.difference(name, "cot_mean").amount for name in ("mat", "windy"))
    assert other.difference("mat", "cot_mean").amount == pytest.approx(mat - wind, abs=1e-6)


@pytest.mark.compiled
def test_common_draws_make_the_range_of_a_difference_narrow(found):
    """Far narrower than that of draws that are not the same: what moves both nights cancels."""
    column = NAMES.index("cot_lowest")
    base, mat = found.drawn[0, :, column], found.drawn[1, :, column]
    together, apart = (mat - base).std(), (mat - np.roll(base, 1)).std()
    assert base.std() > 0.5 and together < 0.3 * apart


@pytest.mark.compiled
def test_a_night_of_few_layers_undrawn_is_mended_to_the_whole_one(tmp_path):
    camp = known_heat(tmp_path, more=["model.layers=14"])
    (whole,) = nights([Variant("base", camp, (), same=True)])
    few = Few.of(whole)
    assert np.abs(few.levels).max() > 0.2  # or there would be nothing to mend
    found = few.drawn({prior.key: 0.0 for prior in camp.priors()})
    for name in NAMES[:7]:
        assert found[name] == pytest.approx(whole.values[name], abs=1e-6), name


@pytest.mark.compiled
def test_a_variant_that_says_the_same_is_the_same_night(camp):
    found = compared(camp, wanted(camp, ["same: outdoors.wind=2 m/s", "mat"]), draws=DRAWS)
    same = found.nights[1]
    assert same.variant.same and same.levels is found.base.levels
    for it in NUMBERS:
        difference = found.difference("same", it.name)
        assert not difference.apart and (np.isnan(difference.amount) or difference.amount == 0.0)
    assert (np.diff(found.drawn[:2], axis=0)[np.isfinite(found.drawn[:1])] == 0.0).all()


@pytest.mark.compiled
def test_what_lies_within_the_solvers_reach_is_told_alike(camp):
    found = compared(camp, wanted(camp, ["hair: model.walls=1.0005"]), draws=0)
    difference = found.difference("hair", "cot_lowest")
    assert 0.0 < abs(difference.amount) < 0.1 and not difference.apart
    assert np.isnan(difference.low) and found.drawn.shape == (2, 0, len(NAMES))


@pytest.mark.compiled
def test_every_joule_of_every_night_is_accounted_for(found):
    for night in found.nights:
        came = sum(joules for name, joules in night.energy.items() if not name.startswith("stored_"))
        stored = sum(joules for name, joules in night.energy.items() if name.startswith("stored_"))
        assert came == pytest.approx(stored, abs=1e-6 * night.energy["source"])
    windy = found.nights[2]
    assert windy.energy["leakage"] < found.base.energy["leakage"] < 0.0


@pytest.mark.compiled
def test_a_fire_has_wood_loads_and_coals(tmp_path):
    camp = fire(tmp_path, "", ["night.end=23:30"])
    night = drive(camp.replace("stoking.rule", "none"))
    told = asked(night)
    # 6 sticks of 4 cm by 35 cm, then two splits weighed at 1 kg and 500 g of sticks.
    sticks = camp.wood.load_masses(camp.stoking.loads[0].pieces)["stick"]
    assert told["wood"] == pytest.approx(sticks + 2.5)
    assert np.isnan(told["load_interval"])  # bed at 21:30, the last load at 21:00: none in bed
    assert told["stove_highest"] > 200.0
    last = burns(judged(night))[-1]
    glows = last.until if last.relights else last.coals_until or last.begin
    lasted = (glows - last.begin) / np.timedelta64(1, "s") / 3600.0
    assert told["coals_last"] == pytest.approx(lasted, abs=1e-3)
    early = asked(drive(camp.replace({"stoking.rule": "none", "wish.bed": "20:00"})))
    assert early["load_interval"] == pytest.approx(3.5)  # 17:30 to 21:00


@pytest.mark.compiled
def test_frost_is_counted_where_vapour_is(camp):
    damp = camp.replace({"damp": {}, "crew.asleep": 3})
    found = compared(damp, wanted(damp, ["windy"]), draws=5)
    assert found.base.values["frost"] > 0.0
    dataset = simtent.simulate(damp)
    assert found.base.values["frost"] == pytest.approx(
        sum(on_skin(dataset, damp.night.seconds).values()), rel=0.03
    )
    difference = found.difference("windy", "frost")
    assert np.isfinite(difference.amount) and np.isnan(difference.low)  # drawn nights count none


@pytest.mark.compiled
def test_the_dataset_says_what_it_holds(camp):
    dataset = simtent.compare(camp, ["mat", "warm: outdoors.steady=0 degC"], draws=5)
    assert dataset["variant"].values.tolist() == ["base", "mat", "warm"]
    assert dict(dataset["value"].sizes) == {"variant": 3, "number": len(NUMBERS)}
    assert dict(dataset["drawn"].sizes) == {"variant": 3, "draw": 5, "number": len(NUMBERS)}
    warm = dataset.sel(variant="warm", number="cot_lowest")
    assert warm["difference"] == pytest.approx(
        float(warm["value"] - dataset["value"].sel(variant="base", number="cot_lowest"))
    )
    assert bool(warm["apart"]) and warm["difference_low"] <= warm["difference"] <= warm["difference_high"]
    assert dataset["unit"].sel(number="cot_lowest") == "degC"
    assert all(dataset[name].attrs["long_name"] for name in dataset.data_vars)
    again = simtent.compare(camp, ["mat", "warm: outdoors.steady=0 degC"], draws=5)
    assert again.identical(dataset)
    assert not simtent.compare(camp, ["mat", "warm: outdoors.steady=0 degC"], draws=5, seed=1).identical(
        dataset
    )


@pytest.mark.compiled
def test_levels_that_one_scenario_alone_names_are_left_out(camp):
    named = camp.replace("levels.shelf", "80 cm")
    shared = list(camp.levels)
    for base, other in ((camp, named), (named, camp)):
        dataset = simtent.compare(base, {"other": other}, draws=0)
        assert dataset["level"].values.tolist() == shared
        rows = dataset["level_temperature"]
        assert float(abs(rows.sel(variant="other") - rows.sel(variant="base")).max()) < ACCURATE


def test_each_unknown_is_drawn_once_for_all(camp):
    few = [camp, of_variant(camp, "windy").scenario, camp.replace("outdoors.spread", "none")]
    rows = deviations(few, 40, 3)
    keys = [prior.key for prior in camp.priors()]
    assert list(rows[0]) == keys and "outdoors.shift" in keys
    values = np.array([list(row.values()) for row in rows])
    np.testing.assert_allclose(values[::2], -values[1::2])  # in pairs, so that means stay where they are
    assert 0.7 < values.std() < 1.3
    assert deviations(few, 40, 3) == rows != deviations(few, 40, 4)
    assert len(deviations(few, 7, 0)) == 7 and deviations(few, 0, 0) == []


def test_fitted_scenarios_are_drawn_along_what_logs_leave_open():
    fitted = load("scenarios/alder_ford.toml", overlays="scenarios/overlays/alder_ford_fitted.toml")
    keys = list(deviations([fitted], 2, 0)[0])
    axes = [key for key in keys if key.startswith("fitted.axis[")]
    assert axes and len(axes) <= len(fitted.fitted.axis)
    assert {"missed head", "missed cot", "missed floor"} <= set(keys)
    assert "model.walls" not in keys


def test_wanted(camp):
    assert [it.name for it in wanted(camp)] == ["mat", "windy", "lined"]
    assert [it.name for it in wanted(camp, "lined")] == ["lined"]
    both = wanted(camp, {"a": {"outdoors.wind": "3 m/s"}, "b": camp.replace("outdoors.wind", "3 m/s")})
    assert both[0].scenario == both[1].scenario
    with pytest.raises(InputError, match="no variant is given"):
        wanted(camp.replace("variants", "none"))
    with pytest.raises(InputError, match="two variants have one name"):
        wanted(camp, ["mat", "mat: outdoors.wind=3 m/s"])
    with pytest.raises(InputError) as caught:
        wanted(camp, ["mats", "a: b=3"])
    assert len(caught.value.faults) == 2


@pytest.mark.compiled
def test_a_night_that_cannot_be_solved_is_named(camp, monkeypatch):
    def give_up(*_args, **_options):
        raise SolveError("no step is small enough")

    monkeypatch.setattr("simtent.comparing.nights.drive", give_up)
    with pytest.raises(SolveError, match="base: no step"):
        compared(camp, wanted(camp, "mat"), draws=0)
