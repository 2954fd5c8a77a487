"""Documents of explain and new, and of a stoking card: nothing is simulated."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from simtent.cli import main
from simtent.scenario.fields import SECTIONS, fields
from simtent.scenario.materials import shelter_names, stove_names
from simtent.tell import glossary
from simtent.tell.answers import card
from simtent.tell.answers.head import Around
from simtent.tell.answers.text import text
from simtent.tell.fields import shown_key
from tests import answers
from tests.tell import cards


def told(capsys: pytest.CaptureFixture[str], *command: str, code: int = 0) -> dict[str, Any]:
    assert main([*command, "--json"]) == code
    return answers.document(capsys.readouterr().out)


def test_a_key_a_table_and_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "explain", "outdoors.wind")
    (key,) = found["keys"]
    assert key["key"] == "outdoors.wind" and found["units"] is None and found["scenario"] is None
    allowed = {it["label"]: it["text"] for it in key["facts"]}["allowed"]
    assert "25 m/s (0 mph to 55.9 mph)" in allowed  # 25 m/s / 0.44704 m/s, NIST SP 811: the mile
    found = told(capsys, "explain", "stove")
    below = [it for it in fields(tables=True) if it.path[0] == "stove" and len(it.path) == 2]
    assert found["tables"][0]["table"] == "stove" and "stove" in SECTIONS
    assert {it["key"] for it in found["listed"]} >= {shown_key(it.path) for it in below}
    found = told(capsys, "explain", "draught")
    assert found["words"][0] == {"word": "draught", "meaning": glossary.WORDS["draught"]}
    assert [it["level"] for it in found["cautions"]] == ["caution"] * 3
    found = told(capsys, "explain", "shelter.width")
    assert len(found["keys"]) == 3
    found = told(capsys, "explain", "wish.bed", "crew.asleep")
    assert [it["key"] for it in found["keys"]] == ["wish.bed", "crew.asleep"]
    found = told(capsys, "explain", "no such thing at all", code=2)
    assert found["format"] == "simtent.faults"


def test_what_a_first_file_can_be_like(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = told(capsys, "new")
    assert [it["name"] for it in found["shelters"]] == list(shelter_names())
    assert [it["name"] for it in found["stoves"]] == list(stove_names())
    assert all(it["source"] and it["shape"] for it in found["shelters"]) and found["files"] == []
    file = tmp_path / "camp.toml"
    found = told(capsys, "new", str(file), "--like", shelter_names()[1])
    assert found["files"] == [{"path": str(file), "what": "scenario"}] and file.exists()
    assert found["like"] == shelter_names()[1]
    assert told(capsys, "new", str(file), "--like", shelter_names()[1], code=2)["faults"]


def test_what_talks_to_people_is_no_document(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for option in ("--ask", "--sheet", "--burn-sheet"):
        (fault,) = told(capsys, "new", str(tmp_path / "camp.toml"), option, code=2)["faults"]
        assert fault["file"] == option
    assert not list(tmp_path.iterdir())


def test_a_card() -> None:
    made = cards.card(missing=1, stopped=True)
    around = Around(made.scenario.path, made.scenario, "us", ())
    us, metric = (
        answers.document(text(card.answer(replace(around, system=system), made))) for system in ("us", "si")
    )
    assert answers.alike(us, metric) > 50
    assert [it["windy"] for it in us["rows"]] == [row.weather.windy for row in made.rows]
    assert us["rows"][0]["low"] == {"value": pytest.approx(0.0, abs=1e-6), "unit": "degF"}
    assert us["rows"][0]["misses"] == ["cot", "head", "flue"]
    stopped = [it for it in us["rows"] if not it["given"]]
    assert [it["stops"][0]["what"] for it in stopped] == ["the pipe glows"] and stopped[0]["loads"] == []
    for row, it in zip(made.rows, us["rows"], strict=True):
        assert it["wake_ups"] == row.wake_ups
        assert sum(load["asleep"] for load in it["loads"]) == (0 if row.stops else len(made.asleep(row)))
    assert len(us["missing"]) == 1 and us["cases"][0]["when"] == "BEFORE BED"
