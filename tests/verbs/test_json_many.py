"""Documents of log, compare, study and fit, by what their verbs print."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from simtent.calibrate.calibrated import Calibrated
from simtent.cli import main
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from simtent.studies import batch
from simtent.tell import look
from tests import answers
from tests.calibrate import logs
from tests.comparing.camps import FEW, SHORT
from tests.logbook import nights
from tests.scenario.example import written as example
from tests.surveys.files import written
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)
from tests.verbs.test_compare import CAMP
from tests.verbs.test_json_fire import kept, printed
from tests.verbs.test_study import GRID, OUTPUTS

QUICK = [part for it in (*FEW, *SHORT) for part in ("--set", it)]


def pair(*command: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The document in US units and in SI, held to each other."""
    us, metric = (printed(*command, "--units", system) for system in ("us", "si"))
    assert answers.alike(us, metric) > 5
    return us, metric


def test_logged_nights(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(look, "PIXELS_PER_INCH", 40)  # drawn faster
    path = nights.camp(tmp_path)
    _, metric = pair("log", str(path))
    logged = read_log(load(path), 1)
    first = metric["nights"][0]
    assert first["evening"] == f"{logged.evening}"
    assert {it["place"] for it in first["sensors"]} == set(logged.sensors)
    for it in first["sensors"]:
        sensor = logged.sensors[it["place"]]
        counted = [kelvin for kelvin, odd in zip(sensor.kelvin, sensor.suspect, strict=True) if not odd]
        assert it["lowest"]["temperature"]["value"] == pytest.approx(min(counted) - 273.15)
        assert it["readings"] - it["doubtful"] == len(counted)
    noted = [note for note in logged.notes if note.loaded]
    assert [it["remark"] for it in first["loads"]] == [note.remark for note in noted]
    assert {it["what"] for it in metric["files"]} == {"result", "picture"}


@pytest.mark.usefixtures("in_this_process")
def test_a_study(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:levels")
    path = written(tmp_path, GRID, more=OUTPUTS)
    _, metric = pair("study", str(path))
    assert (metric["cases"], metric["solved"], metric["failed"]) == (6, 6, [])
    first = metric["outputs"][0]
    assert first["output"] == "lowest_in_bed at cot" and first["indices"] == []
    shift, walls = first["factors"]
    assert (shift["factor"], walls["factor"]) == ("outdoors.shift", "model.walls")
    lowest = 4.0 / np.array([0.8, 1.0, 1.25]) - 5.0  # the formula, at the colder end
    assert shift["groups"][0]["mean"] == {"value": pytest.approx(lowest.mean()), "unit": "degC"}
    assert shift["groups"][0]["low"] == {"value": pytest.approx(-5.0), "unit": "K"}
    assert [it["level"] for it in walls["groups"]] == ["0.8", "1.0", "1.25"]
    assert [it["what"] for it in metric["files"]] == ["study", "picture"]


@pytest.mark.compiled
def test_variants(tmp_path: Path) -> None:
    path = example(tmp_path, CAMP)
    command = ("compare", str(path), *QUICK, "--draws", "6")
    with kept("simtent.comparing.compare", "compared") as those:
        _, metric = pair(*command)
    found = those[-1]
    assert [it["name"] for it in metric["variants"]] == [night.name for night in found.variants]
    for number in metric["numbers"]:
        for name, change in number["changes"].items():
            difference = found.difference(name, number["name"])
            amount = difference.amount * (60.0 if change["amount"]["unit"] == "min" else 1.0)
            told = change["amount"]["value"]
            assert np.isnan(amount) if told is None else told == pytest.approx(amount, rel=1e-8, abs=1e-9)
            assert change["apart"] == difference.apart
    assert metric["draws"] == 6 and metric["ranking"] == []


@pytest.mark.compiled
def test_a_fit(tmp_path: Path) -> None:
    path = logs.camp(tmp_path, evenings=("2031-02-13", "2031-02-14"))
    command = ("fit", str(path), "--hold-out", "2031-02-14", "--sample", "0", "--no-help")
    with kept("simtent.calibrate.calibrate", "calibrate") as those:
        told = printed(*command, "--units", "si")
    found: Calibrated = those[0]
    assert [it["name"] for it in told["numbers"]] == [one.name for one in found.sought]
    for it in told["numbers"]:
        low, high = found.posterior.interval(it["name"])
        assert (it["low"]["value"], it["high"]["value"]) == pytest.approx((low, high))
        assert it["found"]["value"] == pytest.approx(found.posterior.value(it["name"]))
    assert {it["place"] for it in told["held_out"]} == {"head", "cot"}
    assert told["weighed"] is False and told["helps"] == []
    assert [it["what"] for it in told["files"]] == ["overlay", "result", "picture"]


def faults_of(command: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> Iterator[str]:
    assert main([*command, "--quiet", "--json"]) == 2
    yield from (it["text"] for it in answers.document(capsys.readouterr().out)["faults"])


def test_what_is_wrong_with_options_is_a_document(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = nights.camp(tmp_path)
    (text,) = faults_of(("log", str(path), "77"), capsys)
    assert "there is no such log" in text
    (text,) = faults_of(("study", str(tmp_path / "none.toml")), capsys)
    assert "none.toml" in text
