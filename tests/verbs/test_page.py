"""`--page`: written beside the other files or not at all, never over what is not its own."""

import importlib
from pathlib import Path

import pytest

from simtent.cli import main
from simtent.tell.page import frame
from tests import fake_night


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The simulation replaced by formulas."""
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", lambda scenario: fake_night.night(5.0, name=scenario.name))


def test_a_page_stands_beside_the_other_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    assert main(["night", str(file), "--page", "--air-at", "23:00"]) == 0
    endings = ("air.png", "html", "nc", "png")
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        *(f"paper.night.{end}" for end in endings),
        "paper.toml",
    ]
    page = tmp_path / "paper.night.html"
    assert frame.scenario_of(page) == "Paper bench"
    assert "paper.night.html" in capsys.readouterr().err
    first = page.read_bytes()
    assert b"The air at 23:00" in first
    assert main(["night", str(file), "--page", "--air-at", "23:00"]) == 0  # over its own
    assert page.read_bytes() == first  # nothing in it depends on the day


def test_without_it_there_is_none(tmp_path: Path) -> None:
    file = fake_night.scenario_file(tmp_path)
    (tmp_path / "paper.night.html").write_text("mine")
    assert main(["night", str(file), "--quiet"]) == 0
    assert (tmp_path / "paper.night.html").read_text() == "mine"


def test_what_is_in_its_way_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    mine = tmp_path / "paper.night.html"
    mine.write_text("mine")
    assert main(["night", str(file), "--page"]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert f"{mine} is in the way: simtent did not write it" in line
    assert mine.read_text() == "mine" and not (tmp_path / "paper.night.nc").exists()


def test_a_place_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    assert main(["night", str(file), "--page", "--out", str(tmp_path / "nowhere")]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "cannot be written" in line and "--out" in line
    assert [path.name for path in tmp_path.iterdir()] == ["paper.toml"]
