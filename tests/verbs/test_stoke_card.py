"""The verb stoke with --card: what it refuses, with one message and nothing written."""

import pytest

from simtent.cli import main
from simtent.tell.page import frame as page_frame
from tests.tell import cards
from tests.tell.pages import by_id, read
from tests.verbs.test_stoke import REFUSED, camp, settings

OPTIONS = {
    "words": (["--low", "cold"], "--low"),
    "no unit": (["--low", "-12"], "--low"),
    "far": (["--low=-200degC"], "--low: out of range"),
    "far, apart": (["--low", "-200degC,0degC"], "--low: out of range"),
    "too cold, apart": (["--low", "-65 degC"], "too far from the scenario's night"),
    "too cold": (["--low=-65 degC"], "too far from the scenario's night"),
    "long": (["--low=-40 degC,0 degC"], "a card of 9 lows"),
    "storm": (["--wind", "40 m/s"], "--wind: out of range"),
    "winds": (["--wind", "1 m/s,2 m/s,3 m/s"], "3 winds are given"),
}


@pytest.mark.parametrize("name", OPTIONS)
def test_one_message_for_each_bad_option(tmp_path, capsys, name):
    given, words = OPTIONS[name]
    assert main(["stoke", str(camp(tmp_path)), "--card", *given]) == 2
    told = capsys.readouterr()
    assert told.out == "" and len(told.err.splitlines()) == 1
    assert words in told.err, told.err
    assert [it.name for it in tmp_path.iterdir()] == ["camp.toml"]


@pytest.mark.parametrize("name", ["rise", "none", "cot", "little"])
def test_what_cannot_be_planned_has_no_card(tmp_path, capsys, name):
    setting, key, words = REFUSED[name]
    assert main(["stoke", str(camp(tmp_path)), "--card", *settings(setting)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert key in line and words in line


def test_a_band_without_a_card(tmp_path, capsys):
    assert main(["stoke", str(camp(tmp_path)), "--low", "-10 degC", "--wind", "2 m/s"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 2 and all("only a card" in line for line in lines)


def test_its_page_is_the_card_and_stands_beside_it(tmp_path, capsys, monkeypatch):
    """The nights of its rows are not simulated."""
    made_up = cards.card(most=2)
    monkeypatch.setattr("simtent.planning.card.stoking_card", lambda *_given, **_how: made_up)
    assert main(["stoke", "scenarios/alder_ford.toml", "--card", "--page", "--out", str(tmp_path)]) == 0
    ends = ("html", "pdf", "png")
    assert sorted(it.name for it in tmp_path.iterdir()) == [f"alder_ford.card.{end}" for end in ends]
    page = tmp_path / "alder_ford.card.html"
    assert page_frame.scenario_of(page) == "Alder ford"
    rows = by_id(read(page.read_bytes()), "card").every("tr")
    told = [line for line in capsys.readouterr().out.splitlines() if line.strip()[:2].strip("-").isdigit()]
    assert len([row for row in rows if row.every("th") and row.every("td")]) == len(made_up.rows) <= len(told)


def test_a_camp_without_a_stove(tmp_path, capsys):
    assert main(["stoke", "scenarios/larch_bench.toml", "--card", "--out", str(tmp_path)]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_folder_that_is_not_there_and_files_of_others(tmp_path, capsys):
    assert main(["stoke", str(camp(tmp_path)), "--card", "--out", str(tmp_path / "no")]) == 2
    assert "cannot be written" in capsys.readouterr().err
    (tmp_path / "camp.card.pdf").write_bytes(b"%PDF-1.4 mine")
    assert main(["stoke", str(camp(tmp_path)), "--card"]) == 2
    assert "is in the way" in capsys.readouterr().err
    assert (tmp_path / "camp.card.pdf").read_bytes() == b"%PDF-1.4 mine"
