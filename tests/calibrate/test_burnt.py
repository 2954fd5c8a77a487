"""Notes as deeds: loads, settings, masses that nobody knows, times that nobody is sure of, what lit a load."""

from datetime import UTC, date, time

import pytest

from simtent.calibrate.burnt import COUNT, deeds_of, stoking
from simtent.logbook.notes import Note
from simtent.scenario.clock import Span
from simtent.scenario.load import load
from tests.scenario.example import FIRE, written

SPAN = Span(date(2031, 2, 14), UTC, time(17, 30), time(7, 30))
BEGIN = SPAN.begin_utc.timestamp()
LABEL = ", 2031-02-14"


def at(hours, line=2, **more):
    return Note(line, BEGIN + 3600.0 * hours, **more)


@pytest.fixture
def wood(tmp_path):
    return load(written(tmp_path, FIRE)).wood


def told(notes, wood, **values):
    deeds, sought = deeds_of(notes, SPAN, wood, LABEL)
    medians = {one.name: one.median for one in sought}
    return stoking(deeds, medians | values, SPAN), {one.name: one for one in sought}


def kilograms(row):
    return {kind: float(text.removesuffix(" kg")) for kind, text in row["pieces"].items()}


def test_counted_pieces_are_loads_of_their_mass_and_levers_turn_with_them(wood):
    notes = [
        at(0.0, pieces={"stick": 6}, mass=2.0, mass_unsure=0.2, air="wide", damper="open", coals=False),
        at(2.0, pieces={"split": 2, "stick": 0.5}, mass=2.5, mass_unsure=0.1, coals=True),
        at(3.0, air="2"),
        at(4.0, remark="wind got up"),
    ]
    changes, sought = told(notes, wood)
    first, second = changes["stoking.load"]
    assert (first["at"], first["air"], first["damper"], first["lit"]) == ("17:30", "wide", "open", True)
    assert second["at"] == "19:30" and second["catches"] is True and "lit" not in second
    assert sum(kilograms(second).values()) == pytest.approx(2.5)
    assert changes["stoking.set"] == [{"at": "20:30", "air": "2"}] and changes["stoking.rule"] == "none"
    assert list(sought) == [COUNT]
    more, _ = told(notes, wood, **{COUNT: 1.1})
    assert sum(kilograms(more["stoking.load"][1]).values()) == pytest.approx(2.75)


def test_levers_turned_before_the_first_load_stand_so_as_the_night_begins(wood):
    changes, _ = told(
        [at(0.1, damper="across"), at(0.5, mass=2.0, mass_unsure=0.02), at(0.6, damper="open")], wood
    )
    assert changes["stoking.damper"] == "across" and "stoking.air" not in changes
    assert changes["stoking.set"] == [{"at": "18:06", "damper": "open"}]


def test_a_load_of_which_nobody_says_what_lit_it_follows_the_odds(wood):
    changes, _ = told([at(0.0, mass=2.0, mass_unsure=0.02), at(1.0, mass=2.0, mass_unsure=0.02)], wood)
    assert all("lit" not in row and "catches" not in row for row in changes["stoking.load"])


def test_an_unknown_mass_is_a_number_that_scales_its_load_alone(wood):
    notes = [at(0.0, mass=3.0, mass_unsure=0.02), at(4.0, mass=1.0, mass_unsure=0.5)]
    name = "mass of the load at 21:30, 2031-02-14"
    changes, sought = told(notes, wood, **{name: 1.5})
    assert list(sought) == [name] and sought[name].spread == 0.5 and sought[name].factor
    first, second = (kilograms(row) for row in changes["stoking.load"])
    assert first == pytest.approx({"split": 3.0}) and second == pytest.approx({"split": 1.5})


def test_a_load_of_which_nobody_knows_anything_is_the_mean_of_the_others(wood):
    notes = [
        at(0.0, mass=3.0, mass_unsure=0.02),
        at(2.0, mass=1.0, mass_unsure=0.02),
        at(4.0, mass_unsure=0.5),
    ]
    changes, _ = told(notes, wood)
    assert kilograms(changes["stoking.load"][2]) == pytest.approx({"split": 2.0})
    alone, _ = told([at(0.0, mass_unsure=0.5)], wood)
    assert kilograms(alone["stoking.load"][0]) == pytest.approx({"split": 2.0})  # two pieces of 1 kg


def test_an_unsure_time_is_a_number_that_moves_its_deed_alone(wood):
    notes = [at(0.0, mass=3.0, mass_unsure=0.02), at(2.0, unsure=600.0, mass=1.0, mass_unsure=0.02)]
    name = "time of 19:30, 2031-02-14"
    changes, sought = told(notes, wood, **{name: -90.25})
    assert list(sought) == [name] and not sought[name].factor and sought[name].unit == "s"
    assert [row["at"] for row in changes["stoking.load"]] == ["17:30", "19:28:29.750000"]


def test_times_never_meet_and_never_leave_the_night(wood):
    notes = [
        at(0.05, unsure=900.0, mass=1.0, mass_unsure=0.02),
        at(0.15, unsure=900.0, mass=1.0, mass_unsure=0.02),
        at(13.95, unsure=900.0, mass=1.0, mass_unsure=0.02),
    ]
    _, sought = told(notes, wood)
    first, second, last = sought.values()
    assert 180.0 + first.low >= 0.0 and first.high - second.low < 360.0
    assert last.high <= 180.0 and last.low < -1800.0


def test_a_weighed_load_weighs_what_the_scale_said(wood):
    notes = [at(0.0, pieces={"split": 2}, mass=3.04, mass_unsure=0.02)]
    changes, _ = told(notes, wood)
    assert kilograms(changes["stoking.load"][0]) == pytest.approx({"split": 3.04})
