"""`simtent night --json`: one document that a stranger can check, with the Dataset's own numbers."""

import importlib
import json
import signal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import xarray as xr

from simtent.cli import main
from simtent.errors import SolveError
from simtent.tell.answers.quantities import Temperature, series
from tests import answers, fake_night

STILL = ("--quiet", "--json")


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The simulation replaced by formulas."""
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", lambda scenario: fake_night.night(5.0, name=scenario.name))


def told(capsys: pytest.CaptureFixture[str], *command: str, code: int = 0) -> dict[str, Any]:
    assert main([*command, *STILL]) == code
    return answers.document(capsys.readouterr().out)


def test_a_night_is_told_in_the_datasets_numbers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    found = told(capsys, "night", str(file), "--units", "si")
    with xr.open_dataset(tmp_path / "paper.night.nc", engine="h5netcdf") as night:
        cot = night["level_temperature"].sel(level="cot")
        (series,) = [
            it
            for it in found["over_time"]["series"]
            if (it["name"], it["of"]) == ("level_temperature", "cot")
        ]
        assert series["unit"] == "degC"
        assert np.allclose(series["values"], cot.values, rtol=1e-8, atol=1e-8)
        asleep = cot.sel(time=slice("2031-02-15T04:30", "2031-02-15T13:30"))  # 21:30 to 06:30 at -07:00
        assert found["cot"]["coldest"] == {"value": pytest.approx(float(asleep.min())), "unit": "degC"}
        assert found["cot"]["begin"] == {"clock": "21:30", "time": "2031-02-14T21:30:00-07:00"}
        ledger = {it["account"]: it["energy"]["value"] for it in found["energy"]}
        for name in night["account"].values.tolist():
            assert ledger[name] == pytest.approx(float(night["energy"].sel(account=name)[-1]) / 3.6e6)
        names = {"outdoors", *night["level"].values.tolist()}
        assert all(set(row["temperatures"]) == names for row in found["hours"])
    assert (
        found["file"] == str(file) and found["units"] == "si" and found["scenario"]["name"] == "Paper bench"
    )
    assert [it["what"] for it in found["files"]] == ["result", "picture"]
    assert all(Path(it["path"]).exists() for it in found["files"]) and found["faults"] == []
    assert found["cautions"][0]["level"] == "caution" and found["scenario"]["invented"] is True


def test_units_change_numbers_and_nothing_else(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    us, metric = (told(capsys, "night", file, "--units", system) for system in ("us", "si"))
    assert answers.alike(us, metric) > 1000
    assert us["cot"]["asked"] == {"value": 40.0, "unit": "degF"}  # as the file has it


def test_words_and_document_are_one_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    found = told(capsys, "night", file)
    assert main(["night", file, "--quiet"]) == 0
    words = " ".join(capsys.readouterr().out.split())
    for pair in found["answer"]:
        assert f"{pair['label']} {pair['text']}" in words
    for finding in (*found["cautions"], *found["findings"]):
        assert " ".join(finding["todo"].split()) in words


def test_the_page_and_the_air_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    found = told(capsys, "night", file, "--page", "--air-at", "23:00")
    assert [it["what"] for it in found["files"]] == ["result", "picture", "picture", "page"]


def test_faults_are_a_document_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = fake_night.scenario_file(tmp_path)
    file.write_text(file.read_text().replace('bed = "21:30"', 'bed = "25:30"'))
    assert main(["night", str(file), *STILL]) == 2
    printed = capsys.readouterr()
    found = answers.document(printed.out)
    assert found["format"] == "simtent.faults" and found["exit_code"] == 2
    assert [it["text"] for it in found["faults"]] == printed.err.splitlines()
    (fault,) = found["faults"]
    line = file.read_text().splitlines().index('bed = "25:30"') + 1
    assert (fault["file"], fault["line"], fault["key"]) == (str(file), line, "wish.bed")


def test_an_answer_whose_files_cannot_be_written_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_files: Any) -> None:
        raise OSError(28, "No space left on device")

    file = fake_night.scenario_file(tmp_path)
    monkeypatch.setattr("simtent.files.write_all", full)
    found = told(capsys, "night", str(file), code=2)
    assert found["format"] == "simtent.night" and found["files"] == [] and found["hours"]
    assert "No space left" in found["faults"][0]["what"]
    assert [path.name for path in tmp_path.iterdir()] == ["paper.toml"]


def test_an_interruption_prints_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(_scenario: Any) -> None:
        raise KeyboardInterrupt

    file = str(fake_night.scenario_file(tmp_path))
    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", stopped)
    assert main(["night", file, *STILL]) == 130
    assert capsys.readouterr().out == ""


def test_what_is_not_known_is_null(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert Temperature.of(float("nan"), "us").model_dump() == {"value": None, "unit": "degF"}
    assert series([float("inf"), 0.0], Temperature, "us").model_dump() == {
        "unit": "degF",
        "values": [None, 32.0],
    }
    file = fake_night.scenario_file(tmp_path)
    file.write_text(file.read_text().replace('name = "Paper bench"', 'name = "Hütte \\U0001F525"'), "utf-8")
    assert told(capsys, "night", str(file))["scenario"]["name"] == "Hütte \U0001f525"


def test_words_stay_without_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file, "--quiet"]) == 0
    with pytest.raises(json.JSONDecodeError):
        json.loads(capsys.readouterr().out)


def test_ctrl_c_waits_until_the_document_is_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Stopped:
        """An output that is interrupted while it is written to."""

        def write(self, whole: str) -> None:
            half = len(whole) // 2
            written.append(whole[:half])
            signal.raise_signal(signal.SIGINT)
            written.append(whole[half:])

        def flush(self) -> None:
            pass

    written: list[str] = []
    monkeypatch.setattr("sys.stdout", Stopped())
    assert main(["night", str(fake_night.scenario_file(tmp_path)), *STILL]) == 130
    assert answers.document("".join(written))["format"] == "simtent.night"
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_fault_of_ours_is_a_document(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def gives_up(_scenario: Any) -> None:
        raise SolveError("The solver stopped at 02:10.")

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", gives_up)
    found = told(capsys, "night", str(fake_night.scenario_file(tmp_path)), code=1)
    assert found["format"] == "simtent.faults" and found["exit_code"] == 1
    assert found["faults"][0]["text"] == "The solver stopped at 02:10."
