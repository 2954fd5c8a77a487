"""A stoking card of a short night, from its verb: rows against the nights they promise, and against each other."""

import contextlib
import io
from itertools import permutations

import numpy as np
import pytest

from simtent.cli import main
from simtent.planning import card as of_card
from simtent.planning.card_weather import in_weather
from simtent.planning.draft import replacements
from simtent.scenario.load import load
from simtent.simulate import plain
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from tests.planning.camps import short_night

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("card")


@pytest.fixture(scope="module")
def made(folder):
    """The camp's file, its card, and what the verb has printed."""
    short_night(folder)
    path = folder / "three_metres.toml"
    changes = ("night.end=03:15", "wish.rise=03:00", "model.layers=5")
    given = [part for text in changes for part in ("--set", text)]
    cards, make = [], of_card.stoking_card
    with pytest.MonkeyPatch.context() as patch, contextlib.redirect_stdout(io.StringIO()) as out:
        patch.setattr(
            of_card, "stoking_card", lambda *how, **more: cards.append(make(*how, **more)) or cards[0]
        )
        assert main(["stoke", str(path), "--card", "--low=-10degC,-5degC", "--quiet", *given]) == 0
    return path, cards[0], out.getvalue()


def test_every_row_is_the_night_that_it_promises(made, folder):
    _, card, _ = made
    scenario = short_night(folder)
    assert len(card.rows) == 4 and not card.missing
    for row in card.rows:
        night = in_weather(scenario, row.weather)
        told = plain(night.replace(replacements(row.draft, night, card.choices)))
        seconds = (told["time"].values - told["time"].values[0]) / np.timedelta64(1, "s")
        cot = told["level_temperature"].sel(level="cot").values
        asleep = (seconds >= card.choices.bed) & (seconds <= card.choices.rise)
        assert cot[asleep].min() == pytest.approx(row.promised.cot_lowest, abs=0.1)
        assert told["outdoor_temperature"].values.min() == pytest.approx(row.weather.low - 273.15, abs=0.01)


def test_a_colder_low_promises_no_warmer_cot_with_fewer_wake_ups(made):
    _, card, _ = made
    for colder, milder in permutations(card.rows, 2):
        if colder.weather.windy == milder.weather.windy and colder.weather.low < milder.weather.low:
            warmer = colder.promised.cot_lowest > milder.promised.cot_lowest + 0.05
            assert not (warmer and colder.wake_ups < milder.wake_ups)


def test_no_row_goes_below_what_was_stated_or_carries_a_stop(made):
    _, card, _ = made
    stove = card.scenario.stove
    for row in card.planned:
        assert all(it.level != "stop" for it in row.findings)
        for put in row.draft.puts:
            assert stove.air.marks[put.levers.air] >= stove.air.marks[stove.air.least_when_asleep]
        if not row.broken:
            assert min(row.promised.chances) >= card.scenario.wish.coals - 1e-6
            assert row.promised.cot_lowest >= card.limits.cot - 1e-6


def test_later_is_no_surer_and_a_relight_takes_its_time(made):
    _, card, _ = made
    half, hour = card.late
    assert 0.0 < hour.chance <= half.chance < 1.0 and hour.lit <= half.lit <= half.loads == hour.loads
    assert card.dead is None or card.dead.slowest is None or 0.0 < card.dead.slowest <= 120.0
    assert card.colder is not None and 0.0 <= card.colder.share <= 1.0


def test_the_verb_prints_cautions_first_and_writes_for_paper_and_phone(made):
    path, card, out = made
    assert out.startswith(TITLE)
    lines = out.splitlines()
    assert max(map(len, lines)) <= 80
    at = lines.index("STOKING CARD  Three metres (invented)")
    assert lines[at - 2].startswith("CAUTION  Makers' manuals")
    name = load(path).name
    assert frame.scenario_of_sheet(path.with_name("three_metres.card.pdf")) == name
    assert frame.scenario_of(path.with_name("three_metres.card.png")) == name
    assert sum(line.lstrip().startswith(("-10 ", "-5 ")) for line in lines[at:]) == len(card.rows)
