"""The verb stoke with --now: one sentence first after the cautions, an overlay, and what it refuses."""

from datetime import date

import pytest

from simtent import marked
from simtent.cli import main
from simtent.scenario.load import load
from simtent.tell import now_words
from tests.verbs.test_stoke import camp, settings

SHORT = ("night.end=03:15", "wish.rise=03:00", "model.layers=5")
REFUSED = {
    "no clock": (["--at", "late"], "--at", "no clock time"),
    "day": (["--at", "12:00"], "--at", "outside the night"),
    "evening": (["--at", "20:00"], "--at", "nobody is in bed"),
    "after": (["--at", "23:00", "--last-load", "23:30"], "--last-load", "after now"),
    "unlit": (["--at", "23:00", "--last-load", "18:30"], "--last-load", "outside the night"),
    "load": (["--at", "23:00", "--load", "3 logs"], "--load", "no count of pieces"),
    "none": (["--at", "23:00", "--load", "0 split"], "--load", "no count of pieces"),
    "much": (["--at", "23:00", "--load", "60 splits"], "--load", "of the firebox"),
    "unit": (["--at", "23:00", "--cot", "3"], "--cot", "no unit"),
    "cold": (["--at", "23:00", "--cot=-30 degC"], "--cot", "no night of this shelter"),
    "wood": (["--at", "23:00", "--wood", "some"], "--wood", "no count of pieces"),
    "card": (["--at", "23:00", "--card"], "--card", "none of what is told at night"),
    "picture": (["--at", "23:00", "--picture", "svg"], "--picture", "none of what is told at night"),
    "seed": (["--at", "23:00", "--seed", "3"], "--seed", "none of what is told at night"),
    "page": (["--at", "23:00", "--page"], "--page", "none of what is told at night"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_message_and_nothing_else(tmp_path, capsys, name):
    given, option, words = REFUSED[name]
    assert main(["stoke", str(camp(tmp_path)), "--now", *given]) == 2
    out = capsys.readouterr()
    (line,) = out.err.splitlines()
    assert out.out == "" and line.startswith(option) and words in line
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]


@pytest.mark.parametrize(
    "given", [["--at", "23:00"], ["--cot", "3 degC"], ["--wood", "3"], ["--coals", "dead"]]
)
def test_what_is_told_at_night_only(tmp_path, capsys, given):
    assert main(["stoke", str(camp(tmp_path)), *given]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(given[0]) and "--now" in line


def test_what_cannot_be_planned(tmp_path, capsys):
    bad = settings("wish.cot_at_least=none")
    assert main(["stoke", str(camp(tmp_path)), "--now", "--at", "23:00", *bad]) == 2
    assert "a plan needs this wish" in capsys.readouterr().err


@pytest.mark.slow
def test_a_cot_hotter_than_any_air(tmp_path, capsys):
    path = camp(tmp_path)
    given = ["--at", "23:00", "--cot", "60 degC", "--quiet", *settings(*SHORT)]
    assert main(["stoke", str(path), "--now", *given]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("--cot") and "hotter than any air" in line
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]


@pytest.mark.slow
def test_cautions_then_the_sentence_then_the_rest(tmp_path, capsys):
    path = camp(tmp_path)
    told = ["--at", "23:00", "--last-load", "21:50", "--load", "2 splits and 1 stick", "--coals", "glowing"]
    assert main(["stoke", str(path), "--now", *told, "--cot", "4 degC", *settings(*SHORT)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("CAUTION  Carbon monoxide alarm")
    parts = ["CAUTION", "NOW, 23:00", "The cot reads 4 degC", "THE REST OF THE NIGHT", "Taken as put on"]
    places = [out.index(part) for part in parts]
    assert places == sorted(places)
    assert max(map(len, out.splitlines())) <= 80
    assert "21:50 2 split, 1 stick" in " ".join(out.split())
    laid = path.with_name("camp.now.toml")
    assert marked.scenario_of(laid) == load(path).name
    night = load(path, overlays=[laid], settings=list(SHORT))
    put_on = [night.night.seconds_at(it) for it in ("19:00", "19:45", "21:50")]
    assert [it.at for it in night.stoking.loads[:3]] == put_on


def test_a_word_on_another_day(tmp_path):
    scenario = load(camp(tmp_path))
    for day, told in (("2031-02-01", 0), ("2031-02-02", 0), ("2031-02-03", 1), ("2031-01-31", 1)):
        lines = now_words.another_day(scenario, date.fromisoformat(day))
        assert bool(lines) == bool(told) and (day in " ".join(lines)) == bool(told)
    assert now_words.another_day(scenario, None) == []
