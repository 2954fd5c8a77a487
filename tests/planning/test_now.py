"""The rest of a night planned from now: what was put on, what is promised, what a cold cot or dead coals ask."""

from dataclasses import replace

import numpy as np
import pytest

from simtent.assess.judge import assess
from simtent.felt import air_at
from simtent.planning import overlay
from simtent.planning.choices import choices_of
from simtent.planning.draft import Draft, Put, load_row, replacements
from simtent.planning.nights import Nights
from simtent.planning.now import plan_from_now, stops_from
from simtent.planning.now_past import Left, Seen, counted, past_of
from simtent.planning.now_refused import faults_of_seen, unsure_of_coals
from simtent.planning.now_search import judged
from simtent.planning.planned import plan_stoking
from simtent.run import run
from simtent.scenario.load import load
from tests.planning.camps import short_night

BED, RISE = 3.0 * 3600.0, 8.0 * 3600.0  # s from 19:00, when the fire is lit


def at(scenario, clock):
    return scenario.night.seconds_at(clock)


def told(scenario, clock, **seen):
    return plan_from_now(scenario, Seen(at(scenario, clock), **seen))


def wood_of(now):
    wood = now.scenario.wood
    return sum(sum(wood.load_masses(put.pieces).values()) for put in now.draft.puts)


@pytest.fixture(scope="module")
def camp(tmp_path_factory):
    """A camp that means to load at 20:45, at bed and at 00:15."""
    scenario = short_night(tmp_path_factory.mktemp("now"))
    choices = choices_of(scenario)
    middle, levers = choices.loads[len(choices.loads) // 2], choices.levers[0]
    puts = [Put(at(scenario, clock), middle, levers) for clock in ("19:45", "20:45", "21:45", "00:15")]
    return scenario.replace(replacements(Draft(tuple(puts)), scenario, choices))


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """A camp with its plan laid over it, and the plan."""
    plan = plan_stoking(short_night(tmp_path_factory.mktemp("planned")))
    return plan.scenario, plan


LAST = {  # now, last load, those put on, those missed, those ahead
    "on time": ("23:00", "21:45", ["19:00", "19:45", "20:45", "21:45"], [], ["00:15"]),
    "not told": ("23:00", None, ["19:00", "19:45", "20:45", "21:45"], [], ["00:15"]),
    "slept through": ("01:00", "21:45", ["19:00", "19:45", "20:45", "21:45"], ["00:15"], []),
    "late": ("01:00", "00:50", ["19:00", "19:45", "20:45", "21:45", "00:50"], [], []),
    "early": ("00:10", "23:55", ["19:00", "19:45", "20:45", "21:45", "23:55"], [], []),
    "just now": ("00:15", "21:45", ["19:00", "19:45", "20:45", "21:45"], [], ["00:15"]),
    "at the alarm": ("00:15", None, ["19:00", "19:45", "20:45", "21:45"], [], ["00:15"]),
    "one more": ("23:30", "22:50", ["19:00", "19:45", "20:45", "21:45", "22:50"], [], ["00:15"]),
    "one more before it": ("00:40", "23:40", ["19:00", "19:45", "20:45", "21:45", "23:40"], ["00:15"], []),
    "missed two": ("01:00", "20:45", ["19:00", "19:45", "20:45"], ["21:45", "00:15"], []),
}


@pytest.mark.parametrize("name", LAST)
def test_what_was_put_on(camp, name):
    now, last, put_on, missed, ahead = LAST[name]
    seen = Seen(at(camp, now), last=None if last is None else at(camp, last))
    past = past_of(camp, seen, RISE)
    for loads, clocks in ((past.loads, put_on), (past.missed, missed), (past.ahead, ahead)):
        assert [it.at for it in loads] == [at(camp, clock) for clock in clocks]
    assert [it.at for it in past.scenario.stoking.loads] == [at(camp, clock) for clock in put_on]


def test_what_the_last_load_was(camp):
    given = (("split", 1), ("stick", 2))
    past = past_of(camp, Seen(at(camp, "23:00"), last=at(camp, "22:00"), load=given), RISE)
    of_file = camp.stoking.loads[3]
    assert past.loads[-1] == replace(of_file, at=at(camp, "22:00"), pieces=given, catches=True)
    assert past.moved == of_file and past.moved.at == at(camp, "21:45")
    more = past_of(camp, Seen(at(camp, "23:30"), last=at(camp, "22:50"), load=given), RISE)
    assert [it.pieces for it in more.loads[-2:]] == [of_file.pieces, given] and more.moved is None


@pytest.mark.parametrize(
    ("left", "taken", "beyond"),
    [
        (Left(), {"split": 90}, 0.0),
        (Left(count=5), {"split": 3, "stick": 2}, 0.0),
        (Left(count=4), {"split": 3, "stick": 2}, 1.0),
        (Left(kinds=(("split", 4),)), {"split": 3, "stick": 2}, 2.0),
        (Left(count=0), {"split": 1}, 1.0),
    ],
)
def test_pieces_that_are_not_there(left, taken, beyond):
    assert left.beyond(taken) == beyond


def test_what_is_left_once_kindling_is_taken(camp):
    assert counted(camp.stoking.loads[0].pieces, camp) == {"kindling": 8, "stick": 2}
    piece = camp.wood.piece_mass("split")
    assert counted((("split", 2.5 * piece),), camp) == {"split": pytest.approx(2.5)}
    assert Left(count=12).without({"kindling": 8, "stick": 2}) == Left(count=2)
    left = Left(kinds=(("split", 3), ("stick", 4))).without({"stick": 1.5})
    assert left == Left(kinds=(("split", 3), ("stick", 2)))
    assert Left().without({"stick": 2}) == Left()


def test_a_cot_so_cold_that_the_fire_may_be_out():
    fault = unsure_of_coals(Seen(0.0, cot=2.0), -5.1)
    assert fault.file == "--coals" and fault.allowed == "glowing or dead"
    for seen, beside in (
        (Seen(0.0), -4.9),
        (Seen(0.0, glowing=True), -9.0),
        (Seen(0.0, glowing=False), -9.0),
    ):
        assert unsure_of_coals(seen, beside) is None


REFUSED = {
    "up": ("21:00", {}, "--at"),
    "risen": ("03:00", {}, "--at"),
    "later": ("23:00", {"last": BED + 3601.0}, "--last-load"),
    "unlit": ("23:00", {"last": -60.0}, "--last-load"),
    "full": ("23:00", {"load": (("split", 60),)}, "--load"),
    "cold": ("23:00", {"cot": -14.1}, "--cot"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be(camp, name):
    clock, seen, option = REFUSED[name]
    (fault,) = faults_of_seen(camp, Seen(at(camp, clock), **seen))
    assert fault.file == option and fault.allowed and fault.todo
    assert not faults_of_seen(camp, Seen(at(camp, "23:00"), cot=-13.9))


@pytest.mark.slow
def test_the_promise_holds_in_the_night_as_it_is_told(camp, tmp_path):
    now = told(camp, "23:20", last=at(camp, "22:05"), glowing=True)
    now = told(camp, "23:20", last=at(camp, "22:05"), glowing=True, cot=now.model)
    assert now.offset == pytest.approx(0.0, abs=1e-9)
    laid = tmp_path / "rest.toml"
    laid.write_text(overlay.written(now.laid, camp, ()), encoding="utf-8")
    night = run(
        load(camp.path, overlays=[laid], settings=["night.end=03:15", "wish.rise=03:00", "model.layers=5"])
    )
    times = night.solution.times
    cot = air_at(night, [night.scenario.levels["cot"]])[:, 0] - 273.15
    after = (times >= at(camp, "23:20")) & (times <= at(camp, "03:00"))
    assert float(cot[after].min()) == pytest.approx(now.coldest()[0], abs=0.1)
    assert float(np.interp(at(camp, "03:00"), times, cot)) == pytest.approx(
        now.cot_at(at(camp, "03:00")), abs=0.1
    )
    assert now.draft.puts, "a night in which nothing is to be done proves little"


@pytest.mark.slow
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_plan_that_was_followed_is_kept(planned, share):
    scenario, plan = planned
    moment = 60.0 * round((BED + share * (RISE - BED)) / 60.0)
    before = plan_from_now(scenario, Seen(moment))
    now = plan_from_now(scenario, Seen(moment, cot=before.model))
    ahead = [put for put in plan.chosen.draft.puts if put.at >= moment]
    assert plan.reached and not now.broken
    assert len(now.later) <= len(ahead)
    if len(now.later) == len(ahead):
        assert wood_of(now) <= wood_of(replace(now, draft=Draft(tuple(ahead)))) + 1e-9


@pytest.mark.slow
def test_a_colder_reading_never_asks_for_less_wood(camp):
    foretold = told(camp, "23:30")
    readings = (1.0, 0.0, -0.5, -1.0, -2.0, -4.0)
    taken = [wood_of(told(camp, "23:30", cot=foretold.model + it)) for it in readings]
    assert taken == sorted(taken)
    assert taken[-1] > taken[0]


@pytest.mark.slow
def test_a_reading_moves_what_is_promised(camp):
    foretold = told(camp, "23:30")
    colder = told(camp, "23:30", cot=foretold.model - 1.5)
    assert colder.offset == pytest.approx(-1.5)
    same = np.interp(at(camp, "23:30"), colder.promised.times, colder.promised.cot)
    assert same == pytest.approx(foretold.model, abs=0.05)
    assert colder.cot_at(at(camp, "23:30")) == pytest.approx(foretold.model - 1.5, abs=0.05)


@pytest.mark.slow
def test_dead_coals_ask_for_kindling(camp):
    dead = told(camp, "00:30", last=at(camp, "21:45"), glowing=False)
    assert dead.by_hand and dead.kindling == camp.stoking.loads[0].pieces
    (again,) = (it for it in dead.scenario.stoking.loads[1:] if it.lit)
    assert again.at == at(camp, "00:30") and again.pieces == dead.kindling
    assert all(put.at >= at(camp, "00:45") for put in dead.draft.puts)
    glowing = told(camp, "00:30", last=at(camp, "21:45"), glowing=True)
    assert not glowing.by_hand and glowing.kindling is None
    assert glowing.put_now is not None
    (load_now,) = (it for it in glowing.scenario.stoking.loads if it.at == at(camp, "00:30"))
    assert load_now.catches and not load_now.lit


@pytest.mark.slow
def test_nothing_burns_on_of_a_fire_that_is_out(camp):
    hardy = camp.replace({"wish.cot_at_least": "-20 degC"})
    glowing, dead = told(hardy, "23:00"), told(hardy, "23:00", glowing=False)
    assert glowing.draft == dead.draft == Draft(()) and dead.kindling is None
    assert dead.out.wood > 0.1 and dead.out.coals > 0.1, "a fire that has burnt out proves little"
    assert dead.by_hand is False and dead.chance > 0.99
    after = dead.promised.times >= at(hardy, "23:00")
    assert float(abs(dead.dataset["heat_release"].values[after]).max()) < 1.0
    assert dead.cot_at(at(hardy, "01:00")) < glowing.cot_at(at(hardy, "01:00")) - 2.0
    warm = camp.replace({"wish.cot_at_least": "-5 degC"})
    assert told(warm, "23:00").draft == Draft(())
    assert told(warm, "23:00", glowing=False).by_hand


@pytest.mark.slow
def test_a_warmer_reading_counts_little_and_nothing_without_a_fire(camp):
    hardy = camp.replace({"wish.cot_at_least": "-20 degC"})
    model = told(hardy, "23:00").model
    for glowing, warmer, counts in (
        (None, 1.5, 1.5),
        (None, 6.0, 2.0),
        (False, 1.5, 0.0),
        (False, -1.5, -1.5),
    ):
        now = told(hardy, "23:00", cot=model + warmer, glowing=glowing)
        assert (now.beside, now.offset) == (pytest.approx(warmer), pytest.approx(counts))


@pytest.mark.slow
def test_no_fire_is_lit_with_wood_that_is_not_there(camp):
    for left in (Left(count=9), Left(kinds=(("split", 20), ("stick", 5)))):
        lacking = told(camp, "00:30", last=at(camp, "21:45"), glowing=False, left=left)
        assert lacking.lacking and lacking.kindling is None and lacking.draft == Draft(())
        assert not any(it.lit for it in lacking.scenario.stoking.loads[1:])
    enough = told(camp, "00:30", last=at(camp, "21:45"), glowing=False, left=Left(count=10))
    assert not enough.lacking and enough.kindling and enough.draft == Draft(())
    assert "cot" in enough.broken, "a night that needs no load proves little"


@pytest.mark.slow
def test_what_is_over_moves_no_limit_and_is_no_hazard(camp):
    full = replace(camp.stoking.loads[1], at=at(camp, "20:15"), pieces=(("split", 5),))
    rows = [load_row(camp, it) for it in (camp.stoking.loads[0], full, *camp.stoking.loads[3:])]
    now = told(camp.replace("stoking.load", rows), "23:30", glowing=True)
    after = now.promised.times >= at(camp, "23:30")
    for name, hottest in (("stove_temperature", now.promised.stove), ("jack_temperature", now.promised.jack)):
        metal = now.dataset[name].values
        assert hottest == pytest.approx(float(metal[after].max()), abs=1.0)
        assert hottest < float(metal.max()) - 5.0, "an evening as hot as the night proves little"
    masses = [sum(camp.wood.load_masses(put.pieces).values()) for put in now.draft.puts]
    share = camp.wood.volume_of(max(masses)) / camp.stove.firebox.volume
    assert share <= now.promised.fullest < share * 1.2
    nights = Nights.few(camp, now.rest)
    limits = judged(now.limits, nights, 0.0)
    assert (limits.stove, limits.jack, limits.fullest) == (
        now.limits.stove,
        now.limits.jack,
        now.limits.fullest,
    )


@pytest.mark.slow
def test_a_stop_that_is_over_withholds_nothing(camp):
    dataset = told(camp, "23:30").dataset
    after = dataset["time"] >= dataset["time"][0] + np.timedelta64(int(at(camp, "23:30")), "s")
    mild = dataset["jack_temperature"].clip(max=90.0)
    for hot, stops in ((~after, 0), (after, 1)):
        night = dataset.assign(jack_temperature=mild.where(~hot, 300.0))
        assert any(it.level == "stop" and it.where == "stove jack" for it in assess(camp, night))
        assert len(list(stops_from(camp, night, at(camp, "23:30")))) == stops


@pytest.mark.slow
def test_coals_that_nobody_can_count_on(camp):
    late = told(camp, "02:00", last=at(camp, "20:45"))
    assert late.chance < 0.5 and late.by_hand


@pytest.mark.slow
def test_no_more_wood_than_is_left(camp):
    wanted = told(camp, "00:30", last=at(camp, "21:45"), glowing=True)
    pieces = sum(count for put in wanted.draft.puts for _, count in put.pieces)
    little = told(camp, "00:30", last=at(camp, "21:45"), glowing=True, left=Left(count=pieces - 1))
    assert sum(count for put in little.draft.puts for _, count in put.pieces) <= pieces - 1
    assert told(camp, "00:30", last=at(camp, "21:45"), glowing=True, left=Left(count=0)).draft == Draft(())
