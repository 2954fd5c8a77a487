"""The command line: exit codes, what it prints where, what it writes and what it leaves alone."""

import errno
import importlib
import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import xarray as xr
from CoolProp.CoolProp import PropsSI
from PIL import Image

import simtent
from simtent import compiled, results
from simtent.assess.air import edges_of
from simtent.assess.findings import to_values
from simtent.assess.judge import assess
from simtent.cli import main
from simtent.errors import SolveError
from simtent.scenario.scenario import Scenario
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from tests import fake_fire, fake_night

HEAVY = ("numpy", "scipy", "xarray", "matplotlib", "numba", "pydantic", "rich", "pandas")
COMMAND = [sys.executable, "-m", "simtent"]


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The simulation replaced by formulas, for what does not depend on it."""
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", lambda scenario: fake_night.night(5.0, name=scenario.name))


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[subprocess.CompletedProcess[str], Path]:
    """One real night at the command line."""
    folder = tmp_path_factory.mktemp("night")
    file = fake_night.scenario_file(folder)
    told = subprocess.run([*COMMAND, "night", str(file)], capture_output=True, text=True, check=False)
    return told, folder


# A night that works.


def test_a_night_ends_well(done: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    told, folder = done
    assert told.returncode == 0, told.stderr
    assert names(folder) == ["paper.night.nc", "paper.night.png", "paper.toml"]
    assert max(map(len, told.stdout.splitlines())) <= 80


def test_cautions_come_first(done: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    told, _ = done
    assert told.stdout.startswith(TITLE)
    assert told.stdout.index("carbon monoxide") < told.stdout.index("outdoors  ")
    assert "not a safety guarantee" in " ".join(told.stdout.split())


def test_the_heading_stands_between_the_cautions_and_the_answer(
    done: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    told, _ = done
    lines = told.stdout.splitlines()
    at = lines.index("Paper bench, night of 2031-02-14, 17:30 to 07:30. Invented scenario: it")
    assert lines[at - 1] == ""
    assert lines[at + 1 : at + 3] == ["describes no real camp.", ""]
    assert (
        told.stdout.index("carbon monoxide")
        < told.stdout.index("Paper bench")
        < told.stdout.index("outdoors  ")
    )
    assert "Changed from the file" not in told.stdout


def test_what_was_changed_from_the_file_is_told(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    overlay = fake_night.scenario_file(tmp_path, "[model]\nmixing = 2\n", "mixed.toml")
    file = str(fake_night.scenario_file(tmp_path))
    settings = [
        "--set",
        "wish.bed=19:10",
        "--set",
        "shelter.skin.wall=" + str(["10 oz/yd2 cotton canvas"] * 3),
    ]
    assert main(["night", file, "--with", str(overlay), *settings]) == 0
    told = capsys.readouterr().out
    assert max(map(len, told.splitlines())) <= 80
    assert told.count("Changed from the file: ") == 3
    assert '\nChanged from the file: wish.bed = "19:10"\n' in told
    assert "\nChanged from the file: model.mixing = 2\n" in told
    layers = ", ".join(['"10 oz/yd2 cotton canvas"'] * 3)
    assert f"Changed from the file: shelter.skin.wall = [{layers}]" in " ".join(told.split())
    assert told.index("Paper bench") < told.index("Changed from") < told.index("outdoors  ")


def test_table_and_summary_follow(done: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    told, _ = done
    rows = re.findall(r"^\d\d:\d\d .*$", told.stdout, re.MULTILINE)
    assert rows[0].startswith("17:30") and rows[-1].startswith("07:30")
    for label in (
        "Coldest at the cot",
        "Usual range then",
        "Air changes",
        "Air comes in",
        "Neutral height",
        "Heat used",
        "Where the heat went",
        "Sums checked",
    ):
        assert f"\n{label} " in told.stdout
    # 2 kW from 17:30 to 21:30 and 1 kW until 07:30: 18 kWh, 61.4 kBtu by 3,412.14 Btu a kWh (NIST SP 811)
    assert "Heat used                61.4 kBtu" in told.stdout


def test_the_files_are_this_nights(done: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    _, folder = done
    assert frame.scenario_of(folder / "paper.night.png") == "Paper bench"
    with xr.open_dataset(folder / "paper.night.nc", engine="h5netcdf") as night:
        results.check(night)
        assert night.attrs["name"] == "Paper bench"
        assert night.sizes["finding"] >= 7


def test_its_air_keeps_mass_and_hydrostatics(done: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    _, folder = done
    with xr.open_dataset(folder / "paper.night.nc", engine="h5netcdf") as night:
        edges = edges_of(night)
        warm, cold = night["air_temperature"].values + 273.15, night["outdoor_temperature"].values + 273.15
        # Density of dry air by CoolProp (Lemmon and others 2000, J. Phys. Chem. Ref. Data 29:331), at sea level.
        inside, outside = (
            PropsSI("D", "P", 101325.0, "T", t.ravel(), "Air").reshape(t.shape) for t in (warm, cold)
        )
        mass = inside @ (9.0 * np.diff(edges))
        assert night["air_changes"].values == pytest.approx(
            3600.0 * night["leakage_flow"].values / mass, rel=1e-3
        )
        # Hydrostatics: from centre to centre the difference grows by g (rho_out - rho_in) dz, half in each layer.
        lighter = 9.80665 * (outside[:, None] - inside)
        halves = lighter * np.diff(edges) / 2.0
        grown = np.diff(night["pressure_difference"].values, axis=1)
        assert grown == pytest.approx(halves[:, 1:] + halves[:, :-1], rel=2e-2, abs=1e-6)
        assert np.abs(night["opening_flow"].values.sum(axis=1)).max() < 1e-12  # no fire draws any
        assert night["opening_inflow"].values.sum(axis=1) == pytest.approx(night["leakage_flow"].values)


def test_it_replaces_what_it_wrote_before(tmp_path: Path, quick: None) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file]) == 0
    before = (tmp_path / "paper.night.png").read_bytes()
    assert main(["night", file, "--units", "si"]) == 0
    assert (tmp_path / "paper.night.png").read_bytes() != before


def test_quiet_hides_progress_but_no_caution(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file]) == 0
    loud = capsys.readouterr()
    assert "Simulating Paper bench" in loud.err
    assert main(["night", file, "--quiet"]) == 0
    quiet = capsys.readouterr()
    assert quiet.err == ""
    assert quiet.out == loud.out


def test_a_first_compile_is_announced(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for cold in (True, False):
        monkeypatch.setattr(compiled, "cold", lambda *_, cold=cold: cold)
        assert main(["night", str(fake_night.scenario_file(tmp_path))]) == 0
        assert ("compiling" in capsys.readouterr().err) == cold


def test_units_are_the_scenarios_or_the_ones_asked_for(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    for arguments, unit in (([], "degF"), (["--units", "si"], "degC"), (["--set", "units=si"], "degC")):
        assert main(["night", file, *arguments]) == 0
        header = capsys.readouterr().out.split("outdoors  ")[1].splitlines()[1]
        assert set(header.split()[:-1]) == {unit}


def test_overlays_and_settings_reach_the_scenario(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    overlay = fake_night.scenario_file(tmp_path, '[wish]\nrise = "05:00"\nbed = "20:00"\n', "early.toml")
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file, "--with", str(overlay), "--set", "wish.bed=19:10"]) == 0
    told = capsys.readouterr().out
    assert "from 19:10 to 05:00" in told


def test_out_names_the_folder(tmp_path: Path, quick: None) -> None:
    (tmp_path / "out").mkdir()
    assert main(["night", str(fake_night.scenario_file(tmp_path)), "--out", str(tmp_path / "out")]) == 0
    assert names(tmp_path / "out") == ["paper.night.nc", "paper.night.png"]
    assert names(tmp_path) == ["out", "paper.toml"]


# A fire, and a stove in the open.


@pytest.mark.parametrize(
    ("text", "dataset", "header"),
    [
        (fake_fire.SCENARIO, fake_fire.night, "time   outdoors  floor    cot   head   heat   wood  coals"),
        (fake_fire.OPEN, fake_fire.burn, "time   outdoors  stove   flue   pipe   heat   wood  coals"),
    ],
    ids=["shelter", "open"],
)
def test_a_night_with_a_fire(
    text: str,
    dataset: Callable[..., xr.Dataset],
    header: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def simulate(scenario: Scenario) -> xr.Dataset:
        night = dataset(5.0, name=scenario.name)
        return results.extend(night, *to_values(assess(scenario, night)))

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", simulate)
    assert main(["night", str(fake_night.scenario_file(tmp_path, text)), "--quiet"]) == 0
    told = capsys.readouterr().out
    assert told.startswith(TITLE) and max(map(len, told.splitlines())) <= 80
    assert told.index("first get hot") < told.index(header) < told.index("\nWood used  ")
    assert "\nLoad of 17:30  " in told and "an assumption from" in told
    assert told.count("A new stove and pipe") == 1  # the findings do not repeat the cautions
    assert "electric heater" not in told
    with xr.open_dataset(tmp_path / "paper.night.nc", engine="h5netcdf") as night:
        results.check(night)
        assert ("level" in night.dims) == ("cot" in header)
    assert frame.scenario_of(tmp_path / "paper.night.png") is not None


# The picture of the air at a chosen time.


def test_the_air_is_drawn_only_when_asked_for(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file]) == 0
    assert names(tmp_path) == ["paper.night.nc", "paper.night.png", "paper.toml"]
    assert "air.png" not in capsys.readouterr().err
    assert main(["night", file, "--air-at", "02:00"]) == 0
    assert names(tmp_path) == ["paper.night.air.png", "paper.night.nc", "paper.night.png", "paper.toml"]
    assert frame.scenario_of(tmp_path / "paper.night.air.png") == "Paper bench"
    told = capsys.readouterr().err.splitlines()[-2]
    assert told.startswith("Wrote ") and told.endswith(f" and {tmp_path / 'paper.night.air.png'}")
    before = (tmp_path / "paper.night.air.png").read_bytes()
    assert main(["night", file, "--air-at", "02:10"]) == 0
    assert (tmp_path / "paper.night.air.png").read_bytes() != before


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (["12:00"], ["--air-at", "12:00 is outside the night", "17:30 to 07:30", "Move it into the night"]),
        (["2 am"], ["--air-at", '"2 am" is no clock time', 'for example "02:00"']),
        (["02:00", "03:00"], ["--air-at", "one time is wanted, 2 are given", "Run once for each"]),
    ],
)
def test_a_time_that_no_air_can_be_drawn_at(
    asked: list[str], words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    options = [part for clock in asked for part in ("--air-at", clock)]
    (line,) = refused(["night", str(fake_night.scenario_file(tmp_path)), *options], capsys)
    assert not [word for word in words if word not in line], line
    assert names(tmp_path) == ["paper.toml"]


def test_a_stove_in_the_open_has_no_air_to_draw(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path, fake_fire.OPEN))
    (line,) = refused(["night", file, "--air-at", "18:00"], capsys)
    assert line.startswith("--air-at: a stove in the open") and line.endswith("Leave it out.")


def test_a_bad_time_is_told_with_all_other_faults(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = fake_night.SCENARIO.replace("length = ", "lenght = ")
    lines = refused(["night", str(fake_night.scenario_file(tmp_path, text)), "--air-at", "25:00"], capsys)
    assert "25:00" in lines[0] and any("lenght" in line for line in lines[1:])


def test_somebody_elses_picture_of_the_air_is_left_alone(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "paper.night.air.png").write_text("mine")
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file]) == 0  # not asked for, not in the way
    capsys.readouterr()
    assert "simtent did not write it" in refused(["night", file, "--air-at", "02:00"], capsys)[0]
    assert (tmp_path / "paper.night.air.png").read_text() == "mine"


def test_a_name_just_too_long_for_the_picture_of_the_air(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    longest = os.pathconf(tmp_path, "PC_NAME_MAX") - len("..night.png.4194304.part")
    file = str(fake_night.scenario_file(tmp_path, name="x" * longest + ".toml"))
    (line,) = refused(["night", file, "--air-at", "02:00"], capsys)
    assert "Give the scenario file a shorter name" in line
    assert main(["night", file]) == 0


# Input that is wrong: exit 2, every fault at once, no traceback, nothing written.


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err
    return told.err.splitlines()


def test_every_fault_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = fake_night.SCENARIO.replace("length = ", "lenght = ").replace('height = "2.4 m"', 'height = "2.4"')
    file = fake_night.scenario_file(tmp_path, text)
    lines = refused(["night", str(file), "--out", str(tmp_path / "nowhere")], capsys)
    told = "\n".join(lines)
    assert "lenght" in told and "shelter.height" in told and "nowhere" in told
    assert names(tmp_path) == ["paper.toml"]


@pytest.mark.parametrize("arguments", [["nothing.toml"], ["paper.toml", "--with", "nothing.toml"]])
def test_a_missing_file(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    fake_night.scenario_file(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert "nothing.toml" in refused(["night", *arguments], capsys)[0]
    assert names(tmp_path) == ["paper.toml"]


def test_a_file_without_a_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["camp.toml", "--quiet"]) == 2
    assert capsys.readouterr().err == (
        "camp.toml: no verb before the file. Write for example: simtent night camp.toml.\n"
    )


def test_a_setting_that_does_not_exist(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lines = refused(["night", str(fake_night.scenario_file(tmp_path)), "--set", "model.wals=1.2"], capsys)
    assert "--set" in lines[0] and "walls" in lines[0]


def test_a_folder_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    for folder in (tmp_path / "nowhere", tmp_path / "paper.toml"):
        assert "cannot be written" in refused(["night", file, "--out", str(folder)], capsys)[0]
    assert names(tmp_path) == ["paper.toml"]


def test_a_folder_without_permission(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def denied(**_: object) -> None:  # the superuser may write anywhere, so that real modes prove nothing
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.TemporaryDirectory", denied)
    lines = refused(["night", str(fake_night.scenario_file(tmp_path))], capsys)
    assert "cannot be written: Permission denied" in lines[0]
    assert "that you may write to, with --out" in lines[0]


def test_a_name_too_long_for_the_results(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    longest = os.pathconf(tmp_path, "PC_NAME_MAX")
    file = fake_night.scenario_file(tmp_path, name="x" * (longest - len(".toml")) + ".toml")
    (line,) = refused(["night", str(file)], capsys)
    assert "Give the scenario file a shorter name" in line
    assert names(tmp_path) == [file.name]


def test_the_longest_name_that_is_let_through_is_written(tmp_path: Path, quick: None) -> None:
    longest = os.pathconf(tmp_path, "PC_NAME_MAX") - len("..night.png.4194304.part")
    file = fake_night.scenario_file(tmp_path, name="x" * longest + ".toml")
    assert main(["night", str(file)]) == 0
    assert len(names(tmp_path)) == 3
    assert main(["night", str(file.rename(tmp_path / f"x{file.name}"))]) == 2


def test_a_disk_that_fills_up(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    file = str(fake_night.scenario_file(tmp_path))
    (tmp_path / "out").mkdir()
    assert main(["night", file, "--quiet", "--out", str(tmp_path / "out")]) == 0
    whole = capsys.readouterr().out
    monkeypatch.setattr("os.fsync", full)
    assert main(["night", file, "--quiet"]) == 2
    told = capsys.readouterr()
    (line,) = told.err.splitlines()
    assert os.strerror(errno.ENOSPC) in line and "Make room there" in line
    assert told.out == whole  # the answer took time: it is shown all the same
    assert names(tmp_path) == ["out", "paper.toml"]


def test_a_full_disk_leaves_the_results_of_before(
    tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    file = str(fake_night.scenario_file(tmp_path))
    assert main(["night", file]) == 0
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    monkeypatch.setattr("os.fsync", full)
    assert main(["night", file, "--units", "si"]) == 2
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_folder_that_goes_away_meanwhile(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    out.mkdir()

    def simulate(scenario: Scenario) -> xr.Dataset:
        out.rmdir()
        return fake_night.night(5.0, name=scenario.name)

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", simulate)
    assert main(["night", str(fake_night.scenario_file(tmp_path)), "--out", str(out)]) == 2
    told = capsys.readouterr()
    assert "Heat used" in told.out and "Wrote" not in told.err
    assert "cannot be written" in told.err.splitlines()[-1]


@pytest.mark.parametrize("ending", ["nc", "png"])
def test_a_file_of_somebody_else_is_left_alone(
    ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / f"paper.night.{ending}").write_text("mine")
    lines = refused(["night", str(fake_night.scenario_file(tmp_path))], capsys)
    assert "simtent did not write it" in lines[0]
    assert (tmp_path / f"paper.night.{ending}").read_text() == "mine"
    assert names(tmp_path) == sorted(["paper.toml", f"paper.night.{ending}"])


def test_files_of_another_scenario_are_left_alone(
    tmp_path: Path, quick: None, capsys: pytest.CaptureFixture[str]
) -> None:
    results.write(fake_night.night(30.0, name="Other bench"), tmp_path / "paper.night.nc")
    Image.new("RGB", (2, 2)).save(tmp_path / "paper.night.png")
    lines = refused(["night", str(fake_night.scenario_file(tmp_path))], capsys)
    assert len(lines) == 2
    assert 'belongs to the scenario "Other bench"' in lines[0]


# A standard output that takes no more.

NIGHT_OF_FORMULAS = """
import importlib, sys
from simtent.cli import main
from tests import fake_night
importlib.import_module("simtent.simulate").simulate = lambda scenario: fake_night.night(5.0, name=scenario.name)
sys.exit(main(["night", sys.argv[1]]))
"""


def test_a_reader_that_has_read_enough(tmp_path: Path) -> None:
    file = fake_night.scenario_file(tmp_path)
    with subprocess.Popen(
        [sys.executable, "-c", NIGHT_OF_FORMULAS, str(file)], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout and process.stderr
        process.stdout.close()
        told = process.stderr.read().decode()
    assert process.returncode == 0, told
    assert "Traceback" not in told and "Exception ignored" not in told


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a file that is always full is Linux's own")
def test_an_output_on_a_full_disk(tmp_path: Path) -> None:
    file = fake_night.scenario_file(tmp_path)
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        command = [sys.executable, "-c", NIGHT_OF_FORMULAS, str(file)]
        told = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert told.returncode == 1, told.stderr
    assert told.stderr.splitlines()[-1].startswith("The output cannot be written: ")
    assert "Traceback" not in told.stderr


# Interrupted, and faults of ours.


def test_interrupted_while_it_simulates(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", interrupted)
    assert main(["night", str(fake_night.scenario_file(tmp_path))]) == 130
    assert "Traceback" not in capsys.readouterr().err
    assert names(tmp_path) == ["paper.toml"]


def test_interrupted_while_it_writes(tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = []

    def second_time(*_: object) -> None:
        calls.append(1)
        if len(calls) == 2:
            raise KeyboardInterrupt

    monkeypatch.setattr("os.fsync", second_time)
    assert main(["night", str(fake_night.scenario_file(tmp_path))]) == 130
    assert len(calls) == 2
    assert names(tmp_path) == ["paper.toml"]


def test_a_real_interrupt(tmp_path: Path) -> None:
    file = fake_night.scenario_file(tmp_path)
    with subprocess.Popen(
        [*COMMAND, "night", str(file)], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stderr
        while "Simulating" not in process.stderr.readline():
            assert process.poll() is None
        os.kill(process.pid, signal.SIGINT)
        told = process.stderr.read()
    # Python dies of the signal itself if it comes while compiled code evaluates; a shell shows both as 130.
    assert process.returncode in (130, -signal.SIGINT), told
    assert "Traceback" not in told
    assert names(tmp_path) == ["paper.toml"]


def test_a_solver_that_gives_up_is_our_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def gives_up(_: object) -> None:
        raise SolveError("stopped at 02:10, step too small")

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", gives_up)
    assert main(["night", str(fake_night.scenario_file(tmp_path))]) == 1
    assert capsys.readouterr().err.splitlines()[-1] == "stopped at 02:10, step too small"
    assert names(tmp_path) == ["paper.toml"]


# Help, version, and the package itself.


@pytest.mark.parametrize("arguments", [["--help"], ["night", "--help"], ["--version"]])
def test_help_imports_nothing_heavy(arguments: list[str]) -> None:
    code = (
        "import sys\nfrom simtent.cli import main\n"
        f"try:\n    main({arguments!r})\nexcept SystemExit as stop:\n    assert not stop.code\n"
        f"loaded = [name for name in {HEAVY!r} if name in sys.modules]\nassert not loaded, loaded"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr
    assert "simtent" in told.stdout


def test_options_are_written_out(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["night", "paper.toml", "--unit", "si"])
    assert stop.value.code == 2
    assert "--unit" in capsys.readouterr().err


def test_help_says_what_comes_before_it(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert "carbon monoxide alarm" in told and "Nothing printed here is a safety guarantee" in told


def test_public_names_stay_public_when_modules_of_that_name_are_imported() -> None:
    code = (
        "import simtent, sys\nassert 'numpy' not in sys.modules\n"
        "import simtent.simulate, simtent.assess.judge\n"
        "from simtent.simulate import run\nfrom simtent import simulate, assess\n"
        "assert callable(simulate) and callable(assess) and callable(simtent.simulate)\n"
        "assert simtent.assess is assess and simtent.simulate is sys.modules['simtent.simulate'].simulate\n"
        "assert simtent.load.__module__ == 'simtent.scenario.load'\n"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr


def test_an_unknown_public_name() -> None:
    assert set(simtent.__all__) <= set(dir(simtent))
    with pytest.raises(AttributeError, match="has no attribute 'simulat'"):
        simtent.simulat  # noqa: B018
