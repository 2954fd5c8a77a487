"""Results, studies and overlays of an older or newer simtent: one message, never a guess and never a traceback."""

import importlib
import json
from pathlib import Path

import numpy as np
import pytest

import simtent
from simtent import results
from simtent.cli import main
from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.schema import SCHEMA
from simtent.studies import batch
from simtent.studies.manifest import FORMAT
from simtent.surveys.opened import opened
from tests import answers, fake_night
from tests.surveys.files import written
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)
from tests.verbs.test_study import GRID

OTHERS = (SCHEMA - 1, SCHEMA + 1)


@pytest.mark.parametrize("schema", OTHERS)
def test_a_result_of_another_schema_is_refused(tmp_path: Path, schema: int) -> None:
    night = fake_night.night(5.0).assign_attrs(schema=np.int64(schema))
    path = tmp_path / "old.night.nc"
    path.write_bytes(results.to_bytes(night))
    with pytest.raises(
        InputError, match=f"has schema {schema}, and this version of simtent reads {SCHEMA}"
    ) as error:
        results.read(path)
    (fault,) = error.value.faults
    assert fault.file == str(path) and fault.todo and "Simulate the night anew" in fault.todo
    with pytest.raises(InputError, match=f"schema {schema}"):
        simtent.assess(load(fake_night.scenario_file(tmp_path)), night)


def test_a_result_is_read_back_whole(tmp_path: Path) -> None:
    night, path = fake_night.night(5.0), tmp_path / "paper.night.nc"
    results.write(night, path)
    again = results.read(path)
    path.unlink()  # its file is closed, and no longer needed
    assert again.identical(night)


@pytest.mark.parametrize("content", [b"", b"mine", None])
def test_what_is_no_result(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "x.nc"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(InputError, match="it cannot be read as a result"):
        results.read(path)


def test_a_file_that_holds_something_else(tmp_path: Path) -> None:
    path = tmp_path / "x.nc"
    fake_night.night(5.0).drop_attrs().to_netcdf(path, engine="h5netcdf")
    with pytest.raises(InputError, match="it is no result of a night"):
        results.read(path)


def test_a_verb_replaces_its_own_older_result(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It can be simulated again: the scenario is there."""
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", lambda scenario: fake_night.night(5.0, name=scenario.name))
    file = fake_night.scenario_file(tmp_path)
    old = fake_night.night(5.0).assign_attrs(schema=np.int64(SCHEMA - 1))
    (tmp_path / "paper.night.nc").write_bytes(results.to_bytes(old))
    assert main(["night", str(file), "--quiet"]) == 0
    assert results.read(tmp_path / "paper.night.nc").attrs["schema"] == SCHEMA


@pytest.mark.usefixtures("in_this_process")
@pytest.mark.parametrize("given", [FORMAT - 1, FORMAT + 1])
def test_a_study_of_another_format(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], given: int
) -> None:
    monkeypatch.setattr(batch, "ONE_NIGHT", "tests.surveys.formulas:levels")
    file = written(tmp_path, GRID)
    assert main(["study", str(file), "--quiet"]) == 0
    whole = simtent.open_study(tmp_path / "sweep.study")
    told = tmp_path / "sweep.study" / "study.json"
    told.write_text(json.dumps(json.loads(told.read_text()) | {"format": given}))
    kept = {path.name: path.read_bytes() for path in told.parent.iterdir()}
    capsys.readouterr()
    assert main(["study", str(file), "--quiet", "--json"]) == 2
    printed = capsys.readouterr()
    (line,) = printed.err.splitlines()
    assert f"the study has format {given}, and this version of simtent reads {FORMAT}" in line
    assert answers.document(printed.out)["faults"][0]["file"] == str(told)
    assert {path.name: path.read_bytes() for path in told.parent.iterdir()} == kept
    with pytest.raises(InputError, match=f"format {given}"):
        opened(whole.assign_attrs(study=given))


def test_an_overlay_that_this_version_does_not_know(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = fake_night.scenario_file(tmp_path)
    for text, words in (("format = 2\n", "format"), ("[fitted]\nlater = 1\n", "later")):
        overlay = tmp_path / "paper.fit.toml"
        overlay.write_text(f'# simtent fit of "Paper bench"\n{text}')
        assert main(["check", str(file), "--with", str(overlay)]) == 2
        first = capsys.readouterr().err.splitlines()
        assert any(str(overlay) in line and words in line for line in first), first
