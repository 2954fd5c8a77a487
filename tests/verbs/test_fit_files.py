"""Files of the verb fit: the same twice, whole or as they were, with numbers that are added to; what it refuses."""

from pathlib import Path

import pytest

from simtent import files
from simtent.calibrate.calibrate import calibrate
from simtent.cli import main
from simtent.errors import Fault, InputError
from simtent.scenario.load import load
from tests.calibrate import logs

ENDINGS = ("toml", "nc", "png")
EVENING, OTHER = "2031-02-14", "2031-02-15"
QUICK = ["--sample", "0", "--starts", "1", "--no-help", "--quiet"]


def fit(path, *more):
    return main(["fit", str(path), *QUICK, *more])


def written(folder):
    return {ending: (folder / f"camp.fit.{ending}").read_bytes() for ending in ENDINGS}


def kept(path, until):
    """The log of the camp cut after some readings."""
    file = path.parent / f"{EVENING}.csv"
    file.write_text("\n".join([*file.read_text().splitlines()[: until + 1], ""]))
    return path


@pytest.mark.compiled
@pytest.mark.parametrize("sample", ["0", "50"])
def test_fitted_twice_the_files_are_the_same_byte_by_byte(tmp_path: Path, sample) -> None:
    path, both = logs.camp(tmp_path), []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        assert fit(path, "--sample", sample, "--out", str(tmp_path / name)) == 0
        both.append(written(tmp_path / name))
    for ending in ENDINGS:
        assert both[0][ending] == both[1][ending], ending


@pytest.mark.compiled
def test_an_error_in_the_middle_leaves_the_files_as_they_were(tmp_path: Path, monkeypatch, capsys) -> None:
    path = logs.camp(tmp_path)
    assert fit(path) == 0
    before, there = written(tmp_path), sorted(tmp_path.iterdir())
    kept(path, 100)  # another log, so other files
    from simtent.tell import fit_picture  # noqa: PLC0415

    def no_picture(*_: object) -> bytes:
        raise InputError(Fault("no picture"))

    with monkeypatch.context() as patch:
        patch.setattr(fit_picture, "to_bytes", no_picture)
        assert fit(path) == 2
    assert written(tmp_path) == before and sorted(tmp_path.iterdir()) == there

    written_out = []

    def full(number: int) -> None:
        written_out.append(number)
        if len(written_out) == 2:
            raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(files.os, "fsync", full)
        capsys.readouterr()
        assert fit(path) == 2
    said = capsys.readouterr()
    assert "No space left" in said.err and "NUMBERS" in said.out  # the answer is shown all the same
    assert written(tmp_path) == before and sorted(tmp_path.iterdir()) == there
    assert fit(path) == 0
    assert all(content != before[ending] for ending, content in written(tmp_path).items())


@pytest.mark.compiled
def test_numbers_that_are_added_to_come_back_by_with(tmp_path: Path, capsys) -> None:
    path = logs.camp(tmp_path, fit='\n[fit]\nfree = ["model.walls", "outdoors.shift"]\n')
    assert fit(path) == 0
    overlay = tmp_path / "camp.fit.toml"
    assert "plus" in overlay.read_text()
    fitted = load(path, overlays=[overlay])
    found = {one.key: one for one in fitted.fitted.found}
    text = f"{found['outdoors.shift'].value}"
    assert text.endswith(" K") and float(text.split(maxsplit=1)[0]) == pytest.approx(
        fitted.outdoors.shift, abs=1e-4
    )
    moves = [axis.plus["outdoors.shift"] for axis in fitted.fitted.axis if "outdoors.shift" in axis.plus]
    assert moves and all(f"{move}".endswith("K") for move in moves)
    assert all("outdoors.shift" not in axis.times for axis in fitted.fitted.axis)
    assert main(["night", str(path), "--with", str(overlay), "--out", str(tmp_path), "--quiet"]) == 0
    assert "Range after your log" in capsys.readouterr().out


def steady(folder, power="4 kW", noise=logs.NOISE):
    """A camp with one heat from the begin on."""
    one = {**logs.SHORT, "heat.table": [{"at": "17:30", "power": power}]}
    return logs.camp(folder, changes=one, noise=noise)


@pytest.mark.compiled
@pytest.mark.parametrize(
    ("made", "words"),
    [
        (
            lambda folder: kept(steady(folder), 50),
            ("the readings last 98 min at most", "2 hours", "whole night"),
        ),
        (
            lambda folder: steady(folder, "1 W", 0.01),
            ("a night without heat tells nothing", "3 K or more", "fire"),
        ),
        (lambda folder: kept(steady(folder), 8), ("no sensor has 12 readings", EVENING, "begin")),
    ],
    ids=["too short", "no heat", "too few readings"],
)
def test_a_log_that_tells_nothing_is_refused_and_nothing_is_written(
    tmp_path: Path, capsys, made, words
) -> None:
    path = made(tmp_path)
    there = sorted(tmp_path.iterdir())
    assert fit(path) == 2
    said = capsys.readouterr().err
    assert all(word in said for word in words), said
    assert "Traceback" not in said and sorted(tmp_path.iterdir()) == there


def test_where_every_evening_is_held_out_it_says_so(tmp_path: Path, capsys) -> None:
    path = logs.camp(tmp_path)
    assert fit(path, "--hold-out", EVENING) == 2
    said = capsys.readouterr().err
    assert "every logged night is held out" in said and "Traceback" not in said


@pytest.mark.compiled
def test_several_loggers_of_an_evening_are_one_night_with_sensors_of_their_own(tmp_path: Path) -> None:
    """The cot's readings stand in a file of their own, of a logger whose clock is ten minutes ahead."""
    whole = calibrate(load(logs.camp(tmp_path)), starts=1)
    path, file = tmp_path / "camp.toml", tmp_path / f"{EVENING}.csv"
    rows = [line.split(",") for line in file.read_text().splitlines()]  # when, head, cot, outdoors
    file.write_text("\n".join(",".join([row[0], row[1], row[3]]) for row in rows) + "\n")
    late = [[*rows[0][:1], "cot"], *([_later(row[0]), row[2]] for row in rows[1:])]
    (tmp_path / "second.csv").write_text("\n".join(map(",".join, late)) + "\n")
    text = (
        path.read_text()
        .replace('cot = "cot", ', "")
        .replace('time = "when"', 'time = "when"\nlogger = "grey"')
    )
    more = logs.log(EVENING, ["cot"], file="second.csv", logger="old", clock_ahead="10 min")
    path.write_text(text + more)
    found = calibrate(load(path), starts=1)
    names = [one.name for one in found.sought if one.sensor]
    assert names == ["lag of head (grey)", "offset of head (grey)", "lag of cot (old)", "offset of cot (old)"]
    assert found.readings == whole.readings and len(found.nights) == 1
    assert found.posterior.value("model.walls") == pytest.approx(
        whole.posterior.value("model.walls"), rel=0.01
    )


def _later(stamp):
    """Ten minutes later."""
    hour, minute = int(stamp[11:13]), int(stamp[14:16]) + 10
    day, hour = int(stamp[8:10]) + (hour + minute // 60) // 24, (hour + minute // 60) % 24
    return f"{stamp[:8]}{day:02d}T{hour:02d}:{minute % 60:02d}{stamp[16:]}"


@pytest.mark.compiled
def test_a_night_with_another_heat_in_its_own_file_is_fitted_with_the_other(tmp_path: Path) -> None:
    """The second evening a heater of 2 kW stands in the tent: `with` says so, and walls are found from both."""
    heater = {**logs.SHORT, "heat.table": [{"at": "17:30", "power": "2 kW"}]}
    (tmp_path / "other").mkdir()
    other = logs.camp(tmp_path / "other", evenings=(OTHER,), changes=heater, seed=7)
    path = logs.camp(tmp_path, evenings=(EVENING,))
    (tmp_path / f"{OTHER}.csv").write_bytes((other.parent / f"{OTHER}.csv").read_bytes())
    columns = ("head", "cot", "outdoors")
    overlay = {"with": "heater.toml"}
    (tmp_path / "heater.toml").write_text('[heat]\ntable = [{ at = "17:30", power = "2 kW" }]\n')
    path.write_text(path.read_text() + logs.log(OTHER, columns, **overlay))
    found = calibrate(load(path), starts=1)
    assert len(found.nights) == 2
    low, high = (found.posterior.value("model.walls") * factor for factor in (0.9, 1.1))
    assert low < logs.TRUTH["model.walls"] < high
    assert max(one.rmse for one in found.residuals) < 1.0
    path.write_text(path.read_text().replace('with = "heater.toml"\n', ""))
    wrong = calibrate(load(path), starts=1)
    assert max(one.rmse for one in wrong.residuals) > 2.0
