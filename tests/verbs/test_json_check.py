"""`simtent check --json`: oddities as rows, faults as a document; nothing is simulated."""

from pathlib import Path

import pytest

from simtent.cli import main
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from tests import answers, fake_night


def test_oddities_are_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    file.write_text(file.read_text().replace('cot_at_least = "40 degF"', 'cot_at_least = "85 degF"'))
    assert main(["check", str(file), "--json"]) == 0
    found = answers.document(capsys.readouterr().out)
    expected = oddities(load(file), "us")
    assert [(it["key"], it["line"], it["what"]) for it in found["oddities"]] == [
        (it.key, it.line, it.what) for it in expected
    ]
    assert any(it["key"] == "wish.cot_at_least" for it in found["oddities"])
    assert found["files"] == [] and found["mended"] == [] and found["cautions"]


def test_every_fault_with_its_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    text = file.read_text().replace('bed = "21:30"', "bed = 9").replace("asleep = 2", "asleep = 200")
    file.write_text(text)
    assert main(["check", str(file), "--json"]) == 2
    found = answers.document(capsys.readouterr().out)
    lines = text.splitlines()
    places = {it["key"]: lines[it["line"] - 1] for it in found["faults"]}
    assert places["wish.bed"] == "bed = 9" and places["crew.asleep"] == "crew = { asleep = 200 }"
    assert all(it["text"] and it["file"] == str(file) for it in found["faults"])


def test_a_file_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path / "none.toml"), "--json"]) == 2
    assert answers.document(capsys.readouterr().out)["format"] == "simtent.faults"
