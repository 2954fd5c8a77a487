"""Whole plans: a story from practice, promises against the night they are laid over, ensembles, what is in the way."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from simtent.planning import overlay, planned
from simtent.planning.choices import choices_of
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.nights import Nights
from simtent.planning.planned import plan_stoking
from simtent.planning.search import Search
from simtent.planning.unsure import ensemble
from simtent.scenario.checks_fire import TEST_LOAD
from simtent.scenario.load import load
from simtent.simulate import plain
from simtent.tell import stoke_words
from tests.planning.camps import short_night, three_metres

HOUR = 3600.0


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("planned")


@pytest.fixture(scope="module")
def plan(folder):
    """The plan of nine hours in bed at -9 degC."""
    return plan_stoking(three_metres(folder))


@pytest.mark.slow
def test_nine_hours_at_nine_below_take_two_to_four_reloads(plan):
    """Common practice, no source: a full damped load of a small sheet-steel stove lasts some three hours there."""
    assert plan.reached
    assert 2 <= plan.chosen.wake_ups <= 4


@pytest.mark.slow
def test_a_full_damped_load_warms_for_about_three_hours(folder):
    """Common practice, no source; "about" as two to four hours, in which the cot stays above 5 degC."""
    scenario = three_metres(folder)
    choices = choices_of(scenario)
    evening = [Put(choices.at_bed - k * HOUR, choices.loads[1], choices.levers[-1]) for k in (2, 1)]
    draft = Draft((*evening, Put(choices.at_bed, choices.loads[-1], choices.levers[0])))
    night = Nights.whole(scenario, choices).of(draft)
    after = night.times >= choices.bed
    warm = night.times[after & (night.cot >= 5.0)]
    assert 2.0 * HOUR <= warm[-1] - choices.at_bed <= 4.0 * HOUR


@pytest.mark.slow
def test_the_night_that_takes_the_overlay_has_the_temperatures_promised(plan, folder):
    scenario = three_metres(folder)
    laid = folder / "plan.toml"
    laid.write_text(overlay.text(plan, scenario), encoding="utf-8")
    night = plain(load(folder / "three_metres.toml", overlays=laid))
    seconds = (night["time"].values - night["time"].values[0]) / np.timedelta64(1, "s")
    cot = night["level_temperature"].sel(level="cot").values
    head = night["level_temperature"].sel(level="head").values
    asleep = (seconds >= plan.choices.bed) & (seconds <= plan.choices.rise)
    assert cot[asleep].min() == pytest.approx(plan.promised.cot_lowest, abs=0.1)
    assert cot[seconds == plan.choices.rise][0] == pytest.approx(plan.promised.cot_at_rise, abs=0.1)
    assert head[seconds <= plan.choices.bed].max() == pytest.approx(plan.promised.head_highest, abs=0.1)


@pytest.mark.slow
def test_nothing_in_a_plan_goes_below_what_was_stated(plan):
    stove = plan.scenario.stove
    for line in plan.lines():
        if line.levers is not None:
            assert stove.air.marks[line.levers.air] >= stove.air.marks[stove.air.least_when_asleep]
            assert line.chance >= plan.scenario.wish.coals
    assert not plan.stops
    assert plan.promised.fullest <= plan.limits.fullest
    assert plan.promised.wood == pytest.approx(sum(line.mass for line in plan.lines()))


@pytest.mark.slow
def test_a_load_above_a_test_load_is_told(plan):
    """Words alone change with the firebox that the same loads are held against."""
    most = max(line.mass for line in plan.lines())
    for share, said in ((1.25, True), (0.8, False)):
        box = plan.scenario.stove.firebox
        size = most / share / TEST_LOAD / box.volume
        other = plan.scenario.replace("stove.firebox.height", f"{box.height * size} m")
        words = " ".join(" ".join(stoke_words.loads(replace(plan, scenario=other), "si")).split())
        assert (f"The largest load is {share:.1f} times" in words) == said


@pytest.mark.slow
def test_fewer_wake_ups_than_the_plan_miss_a_wish(plan):
    fewer = [option for option in plan.options if option.wake_ups < plan.chosen.wake_ups]
    assert fewer
    assert all(option.broken for option in fewer)
    assert [option.wake_ups for option in plan.options] == list(range(len(plan.options)))


@pytest.mark.slow
def test_the_same_seed_gives_the_same_ensemble_and_plan(folder):
    scenario = short_night(folder)
    first, second, other = (plan_stoking(scenario, seed=seed) for seed in (3, 3, 4))
    assert first.chosen.draft == second.chosen.draft == other.chosen.draft
    assert first.held == second.held
    held, drawn_otherwise = (it.held[it.chosen.wake_ups] for it in (first, other))
    assert held.lowest != drawn_otherwise.lowest
    assert list(held.lowest) == sorted(held.lowest)
    assert sum(cold >= held.colder for cold in held.lowest) == 24  # eight in ten of 30


def drafted(scenario):
    choices = choices_of(scenario)
    moments = (choices.follows, choices.follows + HOUR, choices.at_bed, choices.bed + 2.0 * HOUR)
    loads = (choices.loads[2], choices.loads[2], choices.loads[-1], choices.loads[-1])
    return choices, Draft(
        tuple(Put(at, pile, choices.levers[0]) for at, pile in zip(moments, loads, strict=True))
    )


def test_without_anything_unsure_but_the_wood_nights_lie_close(tmp_path):
    scenario = short_night(tmp_path, outdoors__spread="0 K")
    choices, draft = drafted(scenario)
    nights = Nights.few(scenario, choices)
    held = ensemble(nights, draft, Limits.of(scenario), seed=0, count=6)
    wider = ensemble(
        Nights.few(scenario.replace("outdoors.spread", "8 K"), choices),
        draft,
        Limits.of(scenario),
        seed=0,
        count=6,
    )
    assert held.of[-2:] == ("moisture of the wood", "sizes of pieces and loads")
    assert "forecast of the outdoor temperature" in wider.of
    assert held.lowest[0] <= nights.of(draft).cot_lowest + 0.2 <= held.lowest[-1] + 0.4


def test_ctrl_c_keeps_the_best_so_far(tmp_path):
    scenario = short_night(tmp_path)
    choices, draft = drafted(scenario)

    def search(after):
        def impatient(count):
            if count == after:
                raise KeyboardInterrupt

        few = Draft(draft.puts[:3])
        nights = Nights.few(scenario, choices, impatient)
        return Search(nights, Limits.of(scenario), seeds=[few, draft])

    stopped = search(after=6)
    stopped.run(2)
    assert stopped.stopped
    assert stopped.plan(2) in stopped.best.values()
    with pytest.raises(KeyboardInterrupt):  # nothing to keep yet
        search(after=1).run(2)


@pytest.mark.slow
def test_a_stove_that_is_too_small_is_told(folder):
    freezing = {"outdoors__steady": "-35 degC", "wish__cot_at_least": "15 degC", "wish__wake_ups_at_most": 1}
    plan = plan_stoking(short_night(folder, **freezing))
    assert not plan.reached
    assert plan.chosen.wake_ups <= 1
    assert plan.why is not None and plan.why.small and not plan.why.short
    assert plan.why.fed_better > plan.why.fed


@pytest.mark.slow
def test_a_fire_that_goes_out_is_lit_again_before_rise(folder):
    plan = plan_stoking(short_night(folder, wish__fire_may_go_out=True, wish__cot_at_least="2 degC"))
    again = plan.relight
    assert again is not None
    assert plan.choices.bed < again.lit_at < plan.choices.rise
    assert plan.choices.bed <= again.lowest_at <= again.lit_at
    assert again.draft.wake_ups(plan.choices) == 0
    assert again.minutes is None or again.lit_at + 60.0 * again.minutes <= plan.choices.rise


def test_the_best_plan_of_whose_night_no_finding_says_stop_is_told(monkeypatch, tmp_path):
    scenario = short_night(tmp_path)
    limits = Limits.of(scenario)
    nights = [SimpleNamespace(wood=wood) for wood in (3.0, 1.0, 2.0)]
    options = [SimpleNamespace(wake_ups=0, night=night) for night in nights]
    monkeypatch.setattr(Limits, "value", lambda _self, night, _wake_ups: night.wood)

    def told(stopped):
        def as_told(_scenario, _limits, _choices, option):
            return SimpleNamespace(option=option, stops=("stop",) if option.night.wood in stopped else ())

        monkeypatch.setattr(planned, "_as_told", as_told)
        return planned._told(scenario, limits, SimpleNamespace(choices=None), options)

    assert told(stopped=()).option.night.wood == 1.0
    assert told(stopped=(1.0,)).option.night.wood == 2.0
    assert told(stopped=(1.0, 2.0, 3.0)).option.night.wood == 1.0
    assert told(stopped=(1.0, 2.0, 3.0)).stops
