"""Parts of a stoking card without a simulated night: which draft a row takes, loads put off, remedies, Ctrl-C."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from simtent.planning import card
from simtent.planning.card_colder import _one_mark, _remedied
from simtent.planning.card_late import _put_off
from simtent.planning.card_rows import fewest
from simtent.planning.card_weather import Weather
from simtent.planning.choices import APART, choices_of
from simtent.planning.draft import Draft, Put
from simtent.planning.limits import Limits
from simtent.planning.nights import Nights
from simtent.scenario.load import load
from tests.tell.cards import measured

HOUR = 3600.0


@pytest.fixture(scope="module")
def scenario():
    return load("scenarios/alder_ford.toml")


@pytest.fixture(scope="module")
def choices(scenario):
    return choices_of(scenario)


def draft_of(choices, *hours, size=2, mark=0):
    times = [choices.at_bed, *(choices.bed + HOUR * it for it in hours)]
    return Draft(tuple(Put(at, choices.loads[size], choices.levers[mark]) for at in times))


def ranked(scenario, choices, nights, asked=4, **limits):
    """The order of drafts with one alarm more each, by what their nights came to."""
    drafts = [draft_of(choices, *range(1, count + 1)) for count in range(len(nights))]
    known = dict(zip(drafts, nights, strict=True))
    there = Nights(scenario, choices, known=known)
    order = fewest(drafts, replace(Limits.of(scenario), head=None, rise=None, **limits), there, asked)
    return [it.wake_ups(choices) for it in order]


def test_the_fewest_alarms_that_keep_all(scenario, choices):
    limits = Limits.of(scenario)
    nights = [measured(choices, limits.cot + by) for by in (-3.0, -0.4, 0.1, 2.0)]
    assert ranked(scenario, choices, nights)[0] == 2


def test_nobody_gets_up_once_more_for_hardly_anything(scenario, choices):
    limits = Limits.of(scenario)
    nights = [measured(choices, limits.cot - by) for by in (9.0, 3.9, 3.2, 3.0)]
    assert ranked(scenario, choices, nights)[0] == 1
    nights = [measured(choices, limits.cot - by) for by in (9.0, 5.0, 3.2, 3.0)]
    assert ranked(scenario, choices, nights)[0] == 2


def test_no_more_alarms_than_asked_and_no_hazard_for_warmth(scenario, choices):
    limits = Limits.of(scenario)
    nights = [measured(choices, limits.cot + by) for by in (-3.0, -2.5, -2.2, 2.0)]
    assert ranked(scenario, choices, nights, asked=2)[0] == 0
    hazard = measured(choices, limits.cot + 5.0, stove=1000.0)
    assert ranked(scenario, choices, [measured(choices, limits.cot - 3.0), hazard])[0] == 0
    assert ranked(scenario, choices, [hazard, measured(choices, limits.cot - 3.0)])[0] == 1


def test_a_load_put_off_leaves_the_other_alarms(choices):
    draft = draft_of(choices, 2.0, 4.0)
    late = _put_off(draft, 1, 1800.0, choices.rise)
    assert [put.at - other.at for put, other in zip(late.puts, draft.puts, strict=True)] == [0.0, 1800.0, 0.0]
    close = draft_of(choices, 2.0, 2.5)
    late = _put_off(close, 1, 3600.0, choices.rise)
    assert late.puts[2].at == late.puts[1].at + APART
    last = draft_of(choices, (choices.rise - choices.bed) / HOUR - 0.4)
    assert _put_off(last, 1, 1800.0, choices.rise) is None


def test_each_remedy_changes_one_thing_from_the_first_alarm_on(scenario, choices):
    draft = draft_of(choices, 2.0, 4.5, size=1)
    since, nights = draft.puts[1].at, Nights(scenario, choices)
    more = _remedied("pieces", draft, since, nights)
    assert more.puts[0] == draft.puts[0]
    assert all(
        dict(a.pieces)["split"] == dict(b.pieces).get("split", 0) + 1
        for a, b in zip(more.puts[1:], draft.puts[1:], strict=True)
    )
    mark = _remedied("mark", draft, since, nights)
    assert [put.levers.air for put in mark.puts] == ["one", "two", "two"]
    sooner = _remedied("earlier", draft, since, nights)
    assert [b.at - a.at for a, b in zip(sooner.puts, draft.puts, strict=True)] == [0.0, 0.0, 1800.0]
    again = _remedied("more", draft, since, nights)
    (added,) = set(again.puts) - set(draft.puts)
    assert added.at == pytest.approx(0.5 * (draft.puts[2].at + choices.rise), abs=900.0)


def test_two_remedies_at_once(scenario, choices):
    draft = draft_of(choices, 2.0, 4.5, size=1)
    since, nights = draft.puts[1].at, Nights(scenario, choices)
    both = _remedied("both", draft, since, nights)
    fuller, sooner = (_remedied(name, draft, since, nights) for name in ("pieces", "earlier"))
    assert both.puts == (draft.puts[0], fuller.puts[1], sooner.puts[2])
    full = draft_of(choices, 2.0, 4.5, size=-1)
    there = _remedied("both", full, since, nights)
    assert there.puts[1] == full.puts[1] and there.puts[2].at < full.puts[2].at


def test_a_full_load_takes_no_piece_more_and_wide_is_wide(scenario, choices):
    full = draft_of(choices, 2.0, size=-1)
    assert _remedied("pieces", full, full.puts[1].at, Nights(scenario, choices)) is None
    assert _one_mark(choices.wide, scenario, choices) == choices.wide


def interrupted(monkeypatch, scenario, after):
    """A card whose search is broken off at its row `after`, with everything that solves nights made up."""
    done = []

    def found(night, weather, *_):
        if len(done) == after:
            raise KeyboardInterrupt
        done.append(weather)
        few = SimpleNamespace(known={})
        return SimpleNamespace(
            weather=weather, few=few, whole=few, search=SimpleNamespace(stopped=False), plan=None
        )

    def told(found, _others):
        return SimpleNamespace(weather=found.weather, stops=(), draft=Draft(()))

    monkeypatch.setattr(card, "first_found", found)
    monkeypatch.setattr(card, "found_beside", found)
    monkeypatch.setattr(card, "told", told)
    for name in ("late_by", "dead", "colder"):
        monkeypatch.setattr(card, name, lambda *_: None)
    return card.stoking_card(scenario), done


def test_ctrl_c_keeps_rows_and_names_what_is_missing(monkeypatch, scenario):
    made, done = interrupted(monkeypatch, scenario, after=4)
    assert [row.weather for row in made.rows] == sorted(done, key=lambda it: (it.low, it.windy))
    assert len(made.rows) == 4 and len(made.missing) == 6
    assert not set(done) & set(made.missing)
    own = min(scenario.outdoors.track("air").values)
    assert max(abs(it.low - own) for it in done) <= min(abs(it.low - own) for it in made.missing)


def test_ctrl_c_before_the_first_row_goes_on_to_the_caller(monkeypatch, scenario):
    with pytest.raises(KeyboardInterrupt):
        interrupted(monkeypatch, scenario, after=0)


def test_the_weather_of_rows_is_told_apart():
    assert Weather(250.0, 1.0) < Weather(250.0, 5.0, True) < Weather(255.0, 1.0)
    assert math.isclose(Weather(250.0, 1.0).low, 250.0)
