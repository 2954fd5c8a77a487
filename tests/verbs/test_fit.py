"""The verb fit: what it prints and writes, that other verbs take its overlay, what it refuses."""

from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from simtent import marked
from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.foretell import expected
from simtent.calibrate.helpful import helpful
from simtent.cli import main
from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.tell import frame
from tests.calibrate import logs
from tests.tell.pages import by_id, read, said

pytestmark = pytest.mark.compiled

FAST = ["--sample", "0", "--quiet"]  # ranges of a bell curve
COLD = [{"at": "17:30", "power": "0 kW"}, {"at": "18:00", "power": "0 kW"}]
THREE = ("2031-02-13", "2031-02-14", "2031-02-15")


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A camp of three nights, one held out, and where the verb has written its files."""
    folder = tmp_path_factory.mktemp("fit")
    path = logs.camp(folder, evenings=THREE)
    assert main(["fit", str(path), "--hold-out", THREE[-1], "--sample", "0", "--page", "--quiet"]) == 0
    return path, folder


def test_it_writes_an_overlay_draws_and_a_picture_for_its_scenario(told) -> None:
    path, folder = told
    name = load(path).name
    assert marked.scenario_of(folder / "camp.fit.toml") == name
    assert frame.scenario_of(folder / "camp.fit.png") == name
    with xr.open_dataset(folder / "camp.fit.nc", engine="h5netcdf") as draws:
        assert draws["value"].dims == ("draw", "number") and draws.sizes["draw"] == 200
        walls = draws["value"].sel(number="model.walls").values
        assert np.all((walls > 0.3) & (walls < 3.0)) and draws.attrs["name"] == name


def test_its_page_has_its_numbers(told) -> None:
    path, folder = told
    document = read((folder / "camp.fit.html").read_bytes())
    assert document.every("h1")[0].text == load(path).name
    said(by_id(document, "fitted"), ["model.walls", "believed", "nine in ten", THREE[-1]])
    assert "readings narrow" in by_id(document, "short").text


def test_a_night_takes_the_overlay_and_its_range_is_that_of_the_logs(told, capsys) -> None:
    path, folder = told
    fitted = load(path, overlays=[folder / "camp.fit.toml"])
    assert fitted.fitted is not None and fitted.model.walls != load(path).model.walls
    assert set(fitted.fitted.beyond) == {"head", "cot"}
    out = ["--out", str(folder), "--quiet"]
    assert main(["night", str(path), "--with", str(folder / "camp.fit.toml"), *out]) == 0
    assert "Range after your log" in capsys.readouterr().out


def test_its_axes_make_the_covariance_again(told) -> None:
    path, folder = told
    fitted = load(path, overlays=[folder / "camp.fit.toml"]).fitted
    found = calibrate(load(path).replace("fit.hold_out", [THREE[-1]]))
    keys = [one.name for one in found.of_scenario]
    moves = np.array([[np.log(axis.times.get(key, 1.0)) for key in keys] for axis in fitted.axis])
    where = [found.posterior.index(key) for key in keys]
    spreads = np.array([one.spread for one in found.of_scenario])
    expect = found.posterior.covariance[np.ix_(where, where)] * np.outer(spreads, spreads)
    np.testing.assert_allclose(moves.T @ moves, expect, rtol=0.02, atol=1.1e-4)


def test_what_it_says_of_a_night_that_it_has_not_seen(told, capsys) -> None:
    path, folder = told
    assert main(["fit", str(path), "--hold-out", THREE[-1], "--out", str(folder), *FAST]) == 0
    out = capsys.readouterr().out
    for words in (
        "FITTED TO 2 logs",
        "NUMBERS",
        f"FORETOLD, NOT FITTED TO: {THREE[-1]}",
        "WHAT THE LOGS CANNOT TELL",
    ):
        assert words in out
    assert out.index("CAUTION") < out.index("FITTED TO")


def test_a_night_beyond_the_logs_is_wider_by_the_stated_rule(told) -> None:
    path, _ = told
    found = calibrate(load(path).replace("fit.hold_out", [THREE[-1]]), starts=1)
    night = found.nights[0]
    colder = expected(found, night_colder(night, 10.0))
    span = max(found.outdoors[1] - found.outdoors[0], 3.0)
    assert colder.outside == pytest.approx(10.0, abs=1e-6)
    assert colder.widened == pytest.approx(1.0 + 10.0 / span)
    near = expected(found, night)
    width = [float(np.mean(it.sensors[0].high - it.sensors[0].low)) for it in (near, colder)]
    assert near.widened == 1.0 and width[1] > width[0]


def night_colder(night, by: float):
    from dataclasses import replace  # noqa: PLC0415

    return replace(night, scenario=night.scenario.replace("outdoors.shift", f"-{by} K"))


def test_a_further_measurement_never_makes_it_worse(told) -> None:
    path, _ = told
    found = calibrate(load(path).replace("fit.hold_out", [THREE[-1]]), starts=1)
    helps = helpful(found)
    assert {it.what for it in helps} == {"a sensor at waist", "a sensor at floor"}
    assert all(it.narrows <= 1.0 + 1e-9 and it.most[1] <= 1.0 + 1e-9 for it in helps)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--hold-out", "2031-03-01"], "no log of that evening"),
        (["--hold-out", "yesterday"], "is no date"),
        (["--set", "model.walls=9"], "out of range"),
    ],
)
def test_bad_input_is_one_message(told, tmp_path, capsys, arguments, words) -> None:
    path, _ = told
    assert main(["fit", str(path), "--out", str(tmp_path), *arguments]) == 2
    said = capsys.readouterr()
    assert words in said.err and "Traceback" not in said.err and said.out == "" and not [*tmp_path.iterdir()]


def test_a_scenario_without_logs_is_told_what_to_add(tmp_path: Path, capsys) -> None:
    assert main(["fit", str(logs.LARCH), "--out", str(tmp_path)]) == 2
    assert "[[log]]" in capsys.readouterr().err and not [*tmp_path.iterdir()]


def test_a_file_of_somebody_else_is_left_alone(told, tmp_path: Path, capsys) -> None:
    path, _ = told
    (tmp_path / "camp.fit.toml").write_text("[model]\nwalls = 1.0\n")
    assert main(["fit", str(path), "--out", str(tmp_path)]) == 2
    assert "is in the way" in capsys.readouterr().err
    assert (tmp_path / "camp.fit.toml").read_text() == "[model]\nwalls = 1.0\n"


def test_logs_are_not_counted_twice(told) -> None:
    path, folder = told
    with pytest.raises(InputError, match="come from logs already"):
        calibrate(load(path, overlays=[folder / "camp.fit.toml"]))


@pytest.mark.parametrize("option", [["--starts", "0"], ["--sample", "7"]])
def test_numbers_out_of_range_are_refused(told, option) -> None:
    with pytest.raises(SystemExit) as end:
        main(["fit", str(told[0]), *option])
    assert end.value.code == 2


def shortened(path: Path, rows: int) -> Path:
    """The camp with only the first readings of its log."""
    file = path.parent / "2031-02-14.csv"
    file.write_text("\n".join([*file.read_text().split("\n")[: rows + 1], ""]), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda folder: shortened(logs.camp(folder), 45), "so little tells nothing"),
        (lambda folder: shortened(logs.camp(folder), 8), "12 readings"),
        (lambda folder: logs.camp(folder, changes=logs.SHORT | {"heat.table": COLD}), "a night without heat"),
        (
            lambda folder: logs.camp(folder, fit=logs.FREE + 'hold_out = ["2031-02-14"]\n'),
            "every logged night is held out",
        ),
    ],
    ids=["short", "few readings", "no heat", "all held out"],
)
def test_logs_that_tell_nothing_are_refused_in_one_message(tmp_path: Path, capsys, made, words) -> None:
    path = made(tmp_path)
    out = tmp_path / "out"
    out.mkdir()
    assert main(["fit", str(path), "--out", str(out), *FAST]) == 2
    said = capsys.readouterr()
    assert words in said.err and "Traceback" not in said.err and not [*out.iterdir()]
