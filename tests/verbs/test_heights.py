"""The verb heights: what it prints and writes, what it compares, and what it refuses."""

import importlib
import re
from pathlib import Path

import pytest
import xarray as xr

import simtent
from simtent import results
from simtent.assess.curves import curve
from simtent.cli import main
from simtent.scenario.scenario import Scenario
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from tests import fake_fire, fake_night
from tests.tell import heights_nights
from tests.tell.test_heights import BALANCES

ROOT = Path(__file__).parents[2]
LARCH = ROOT / "scenarios" / "larch_bench.toml"
VENTS = '\n[shelter.openings]\nlow_vent = { area = "80 cm2", at = "10 cm" }\n'
VENTS += 'ridge_vent = { area = "120 cm2", at = "2.3 m", open = "50 %" }\n'
VENTS += 'vents.hatch = { area = "50 cm2", at = "1 m" }\n'
FAN = '\n[shelter.fan]\nflow = "60 m3/h"\n'
TEXT = fake_night.SCENARIO + VENTS + FAN


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def refused(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert main(["heights", *arguments]) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err and told.out == ""
    return told.err.splitlines()


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[Scenario]:
    """The simulation replaced by formulas; what it was asked for."""
    asked: list[Scenario] = []

    def simulated(scenario: Scenario) -> xr.Dataset:
        asked.append(scenario)
        return (
            heights_nights.night(name=scenario.name)
            if scenario.damp
            else fake_night.night(5.0, name=scenario.name)
        )

    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 40)  # drawn faster
    module = importlib.import_module("simtent.simulate")
    monkeypatch.setattr(module, "simulate", simulated)
    monkeypatch.setattr(module, "plain", simulated)
    monkeypatch.setattr(importlib.import_module("simtent.run"), "run", lambda scenario: scenario)
    monkeypatch.setattr(
        importlib.import_module("simtent.balance"), "balances", lambda _night, _seconds: BALANCES
    )
    return asked


# A real night.


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    """What is printed of a real night, with every comparison, and the folder of its files."""
    folder = tmp_path_factory.mktemp("heights")
    arguments = [
        "--cot",
        "25cm,70cm",
        "--stove-at",
        "free,corner",
        "--vent",
        "ridge_vent=0,100",
        "--fan",
        "on,off",
    ]
    arguments += ["--set", 'shelter.fan.flow="60 m3/h"', "--flows-at", "02:00", "--at", "20:00,02:00"]
    with pytest.MonkeyPatch.context() as patch:
        lines: list[str] = []
        patch.setattr("simtent.tell.screen.show", lines.extend)
        assert (
            main(["heights", str(LARCH), "--out", str(folder), "--units", "si", "--quiet", *arguments]) == 0
        )
    return "\n".join(lines), folder


@pytest.mark.compiled
def test_its_files_are_this_nights(done: tuple[str, Path]) -> None:
    _, folder = done
    ends = ["air.png", "nc", "png", "vent.png"]
    assert names(folder) == [f"larch_bench.heights.{end}" for end in ends]
    with xr.open_dataset(folder / "larch_bench.heights.nc", engine="h5netcdf") as night:
        results.check(night)
        assert "water" in night and night.sizes["finding"] > 7
    assert all(frame.scenario_of(path) == "Larch bench" for path in folder.glob("*.png"))


@pytest.mark.compiled
def test_cautions_come_first_and_no_line_is_too_wide(done: tuple[str, Path]) -> None:
    told, _ = done
    assert told.startswith(TITLE) and max(map(len, told.splitlines())) <= 80
    order = (
        "carbon monoxide",
        "Larch bench, night of",
        "coldest hottest",
        "Head over floor",
        "What warms (+)",
    )
    places = [told.index(words) for words in (*order, "In bed at the cot", "Water until", "\ncot at ")]
    assert places == sorted(places)


@pytest.mark.compiled
def test_compared_nights_are_simulated_anew(done: tuple[str, Path]) -> None:
    told, _ = done
    rows = re.findall(r"^(0\.25 m|0\.46 m \(file\)|0\.70 m) +(-?\d+) +(-?\d+) .*$", told, re.MULTILINE)
    assert [row[0] for row in rows] == ["0.25 m", "0.46 m (file)", "0.70 m"]
    scenario = simtent.load(LARCH).replace({"damp": {}, "shelter.fan.flow": "60 m3/h", "levels.cot": "0.7 m"})
    night = importlib.import_module("simtent.simulate").plain(scenario)
    bed, rise = (scenario.night.seconds_at(clock) for clock in (scenario.wish.bed, scenario.wish.rise))
    for variable, cell in (("level_temperature", rows[2][1]), ("operative_temperature", rows[2][2])):
        lowest = curve(night, variable, level="cot").between(bed, rise).lowest()[1]
        assert abs(int(cell) - lowest) <= 0.5 + 1e-9


@pytest.mark.compiled
def test_an_open_vent_carries_water_out_and_lets_cold_in(done: tuple[str, Path]) -> None:
    # Common practice, no source: a shut tent is warmer and wetter in the morning.
    told, _ = done
    rows = re.findall(r"^(\d+ %)(?: \(file\))? +(.*)$", told, re.MULTILINE)
    cells = {share: [int(cell) for cell in row.split()] for share, row in rows}
    assert list(cells) == ["0 %", "50 %", "100 %"]
    water = [cells[share][5] for share in cells]
    assert water[0] > water[1] > water[2] > 0
    assert cells["0 %"][0] >= cells["100 %"][0]


# What it asks the simulation for.


def test_damp_is_counted_unless_it_is_taken_away(tmp_path: Path, quick: list[Scenario]) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["heights", file, "--quiet"]) == 0
    assert main(["heights", file, "--quiet", "--set", "damp=none"]) == 0
    assert main(["heights", file, "--quiet", "--set", "damp.breath_each=20 g/h"]) == 0
    breaths = [scenario.damp.breath_each if scenario.damp else None for scenario in quick]
    assert breaths == [pytest.approx(0.01 / 3600.0), None, pytest.approx(0.02 / 3600.0)]


@pytest.mark.parametrize(
    ("option", "given", "found"),
    [
        ("--cot", ["25cm,0.7 m"], [0.25, 0.7]),
        ("--cot", ["10in, 2 ft", "70 cm"], [0.254, 0.6096, 0.7]),
        ("--cot", ["0.25 m,25cm,46cm"], [0.25]),
        ("--stove-at", ["free,wall,in a corner"], ["at a wall", "in a corner"]),
        ("--fan", ["on,off"], [None]),
        ("--fan", ["off"], [None]),
        ("--vent", ["0,50,100"], [0.0, 1.0]),
        ("--vent", ["low_vent=0%,12.5%"], [0.0, 0.125]),
        ("--vent", ["low vent=0", "25 %"], [0.0, 0.25]),
        ("--vent", ["Hatch=0,100"], [0.0]),
    ],
)
def test_each_other_night_is_simulated_once(
    option: str, given: list[str], found: list[object], tmp_path: Path, quick: list[Scenario]
) -> None:
    arguments = [part for text in given for part in (option, text)]
    assert main(["heights", str(fake_night.scenario_file(tmp_path, TEXT)), "--quiet", *arguments]) == 0
    first, *others = quick
    assert first.levels["cot"] == pytest.approx(0.46)
    openings = [scenario.shelter.openings for scenario in others if scenario.shelter]
    name = given[0].partition("=")[0].lower()
    reads = {
        "--cot": lambda: [scenario.levels["cot"] for scenario in others],
        "--stove-at": lambda: [scenario.heat.stands for scenario in others if scenario.heat],
        "--fan": lambda: [scenario.shelter.fan for scenario in others if scenario.shelter],
        "--vent": lambda: [
            it.vents["hatch"].open
            if name == "hatch"
            else (it.low_vent if "low" in name else it.ridge_vent).open
            for it in openings
        ],
    }
    assert reads[option]() == pytest.approx(found)
    same = {"--cot": "levels", "--stove-at": "heat", "--fan": "shelter", "--vent": "shelter"}[option]
    for scenario in others:
        fields = {"levels", "heat", "shelter", "outdoors", "crew", "model"} - {same}
        assert all(getattr(scenario, field) == getattr(first, field) for field in fields)


def test_the_files_own_night_is_in_every_table(
    tmp_path: Path, quick: list[Scenario], capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    assert (
        main(["heights", file, "--quiet", "--units", "si", "--cot", "70cm", "--vent", "0,100", "--fan", "on"])
        == 0
    )
    told = capsys.readouterr().out
    assert re.search(r"^0\.46 m \(file\) .*\n0\.70 m  ", told, re.MULTILINE)
    assert re.search(r"^0 %  .*\n50 % \(file\) .*\n100 %  ", told, re.MULTILINE)
    assert re.search(r"^fan .*\ndegC .*\non \(file\) .*\n\n", told, re.MULTILINE)
    assert told.count("coldest: in bed.") == 1
    assert (
        told.count("Keep a low and a high vent open all night") == 2
    )  # of the cautions, and under the vent's table


def test_pictures_are_drawn_as_asked_for(tmp_path: Path, quick: list[Scenario]) -> None:
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    assert main(["heights", file, "--quiet"]) == 0
    assert names(tmp_path) == ["paper.heights.nc", "paper.heights.png", "paper.toml"]
    plain = (tmp_path / "paper.heights.png").read_bytes()
    for more in (["--at", "20:00"], ["--at", "20:00,02:00", "--at", "05:00"], ["--cot", "70cm"]):
        assert main(["heights", file, "--quiet", *more]) == 0
        assert (tmp_path / "paper.heights.png").read_bytes() != plain
    assert main(["heights", file, "--quiet", "--flows-at", "02:00", "--vent", "0", "--page"]) == 0
    endings = ("air.png", "html", "nc", "png", "vent.png")
    assert names(tmp_path)[:5] == [f"paper.heights.{end}" for end in endings]
    assert (tmp_path / "paper.heights.html").read_text().count("<svg") == 5  # three pictures, profile, energy


def test_progress_and_units(
    tmp_path: Path, quick: list[Scenario], capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    assert main(["heights", file, "--stove-at", "corner", "--units", "si"]) == 0
    told = capsys.readouterr()
    assert "Simulating stove in a corner" in told.err and "paper.heights.png" in told.err.splitlines()[-2]
    assert "degC" in told.out and "degF" not in told.out.split("coldest hottest")[1]


def test_the_balance_is_of_the_time_asked_for(
    tmp_path: Path, quick: list[Scenario], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    moments: list[float] = []

    def balances(_night: object, seconds: float) -> object:
        moments.append(seconds)
        return BALANCES

    monkeypatch.setattr(importlib.import_module("simtent.balance"), "balances", balances)
    file = str(fake_night.scenario_file(tmp_path))
    assert main(["heights", file, "--quiet", "--balance-at", "02:00"]) == 0
    assert "cot coldest in bed, in" not in capsys.readouterr().out
    assert main(["heights", file, "--quiet"]) == 0
    assert "cot coldest in bed, in" in " ".join(capsys.readouterr().out.split())
    assert moments[0] == 8.5 * 3600.0 and moments[1] > moments[0]


# What it refuses: one message, exit 2, nothing written.


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (
            ["--cot", "2.4m"],
            ["--cot", "Given: 2.4m", "1/2 in to below the peak, 7 ft 10 1/2 in"],
        ),
        (["--cot", "0.25m,10 m"], ["--cot", "at the peak or above it", "Given: 10 m"]),
        (["--cot", "0 in"], ["--cot", "on the ground or in it", "Given: 0 in."]),
        (["--cot=-30cm"], ["--cot", "on the ground or in it"]),
        (["--cot", "high"], ["--cot", '"high"', "below the peak", "--cot 25cm,45cm"]),
        (["--cot", "12 lb"], ["--cot", "a mass", "a length"]),
        (["--cot", ""], ["--cot", "nothing is given to compare", "below the peak"]),
        (["--cot", ","], ["--cot", "nothing is given to compare"]),
        (["--cot", "nan"], ["--cot", '"nan"']),
        (["--cot", "inf"], ["--cot", '"inf"']),
        (["--cot", "40"], ["--cot", '"40" has no unit', "Write 40cm or 40in."]),
        (["--cot", "1.5"], ["--cot", '"1.5" has no unit', "Write 1.5cm or 1.5m or 1.5in or 1.5ft."]),
        (["--cot", "9000"], ["--cot", '"9000" has no unit', "with their unit"]),
        (["--cot", "10cm,20cm,30cm,40cm,50cm,60cm,70cm"], ["--cot", "7 are given, 6 are compared at most"]),
        (["--stove-at", "wal"], ["--stove-at", "unknown place", 'Is "wall" meant?', "free, wall, corner"]),
        (["--fan", "slow"], ["--fan", "on or off", "Allowed: on, off"]),
        (["--vent", "attic=0,50"], ["--vent", "unknown vent", "low vent, ridge vent, hatch"]),
        (["--vent", "150"], ["--vent", "no such share", "0 % to 100 %"]),
        (["--vent", "0,0.5"], ["--vent", "bare numbers are per cent", "50"]),
        (["--vent", "low vent=0", "--vent", "hatch=0"], ["--vent", "one vent is compared at a time"]),
        (["--vent", "low vent=0,hatch=50"], ["--vent", "one vent is compared at a time", '"hatch"']),
        (["--vent", "50", "--vent", "hatch=0"], ["--vent", "one vent is compared", "one without a name"]),
        (["--vent", "1"], ["--vent", "bare numbers are per cent", "100"]),
        (["--vent", "half"], ["--vent", '"half"', "--vent 0,50,100"]),
        (["--at", "12:00"], ["--at", "12:00 is outside the night"]),
        (["--at", "2 am"], ["--at", '"2 am" is no clock time']),
        (["--at", "20:00,21:00,22:00,23:00"], ["--at", "4 times are given, 3 at most are drawn"]),
        (["--flows-at", "02:00", "--flows-at", "03:00"], ["--flows-at", "one time is wanted"]),
        (["--balance-at", "9"], ["--balance-at", '"9" is no clock time']),
        (["--set", 'crew.bag={comfort="15", limit="0 degF"}'], ["crew.bag.comfort", '"15 degF"']),
        (["--set", "crew.pad=R 4.8"], ["crew.pad", "R 4.8 us", "R 4.8 si"]),
        (["--set", "levels.cot=none"], ["levels.cot", "always there"]),
        (["--set", "levels=none"], ["levels", "no levels", "Leave levels out"]),
    ],
)
def test_one_message_for_what_cannot_be(
    arguments: list[str], words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    (line,) = refused([file, *arguments], capsys)
    assert not [word for word in words if word not in line], line
    assert names(tmp_path) == ["paper.toml"]


def test_a_scenario_without_a_fan_or_a_vent_says_how_to_write_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(fake_night.scenario_file(tmp_path))
    (line,) = refused([file, "--fan", "on,off"], capsys)
    assert "no fan" in line and "[shelter.fan]" in line and "--set shelter.fan.flow" in line
    (line,) = refused([file, "--vent", "0,100"], capsys)
    assert "no vent" in line and "ridge_vent = {" in line


def test_a_stove_in_the_open_has_no_levels(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path, fake_fire.OPEN))
    (line,) = refused([file, "--cot", "9m"], capsys)
    assert "no levels" in line and "simtent night" in line and "shelter" in line
    assert names(tmp_path) == ["paper.toml"]


def test_every_fault_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    nowhere = ["--out", str(tmp_path / "nowhere")]
    told = refused([file, "--cot", "9", "--vent", "200", "--at", "99:00", *nowhere], capsys)
    assert [next(word for word in ("--at", "--cot", "--vent", "nowhere") if word in line) for line in told] == [
        "--at", "--cot", "--vent", "nowhere",
    ]  # fmt: skip


def test_somebody_elses_files_are_left_alone(
    tmp_path: Path, quick: list[Scenario], capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "paper.heights.vent.png").write_text("mine")
    file = str(fake_night.scenario_file(tmp_path, TEXT))
    assert main(["heights", file, "--quiet"]) == 0  # not asked for, not in the way
    capsys.readouterr()
    assert "simtent did not write it" in refused([file, "--vent", "0"], capsys)[0]
    assert (tmp_path / "paper.heights.vent.png").read_text() == "mine"
