"""The verb check: faults or oddities, each with its place, and no numerical library."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from simtent.cli import main
from simtent.scenario.load import load
from simtent.scenario.oddities import oddities
from simtent.scenario.oddities_air import POWER_PER_INLET, VENT_PER_POWER
from simtent.tell.cautions import TITLE
from simtent.tell.draft import Wanted, draft

ROOT = Path(__file__).parents[2]
BELL = ROOT / "scenarios" / "sedge_hollow.toml"
END = "no faults found in the file"
LOW, HIGH = "shelter__openings__low_vent", "shelter__openings__ridge_vent"
HUGE = {"length": "36 in", "width": "20 in", "height": "20 in"}
SHUT = {"shut": "0 %", "along": "100 %"}
HEAVY = ("numpy", "scipy", "xarray", "pandas", "matplotlib", "numba")


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(["check", *arguments])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def odd(**changes: object) -> dict[str, str]:
    """What is odd in the bell by key, after some changes; dots in keys are written as two underscores."""
    scenario = load(BELL).replace({key.replace("__", "."): value for key, value in changes.items()})
    return {oddity.key: oddity.what for oddity in oddities(scenario)}


def test_no_numerical_library_is_loaded() -> None:
    code = (
        "import sys\nfrom simtent.cli import main\n"
        f"assert main(['check', {str(BELL)!r}]) == 0\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_cautions_first_verdict_last(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = told(capsys, str(BELL))
    assert code == 0 and err == f"Next: simtent night {BELL}  (the night hour by hour)\n"
    assert out.startswith(TITLE)
    assert " ".join(out.split()).endswith(f"no oddities; {END}")
    assert not re.search(r"\bOK\b|\bsafe\b", out)


def test_a_fault_and_nothing_else(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "spoilt.toml"
    file.write_text(BELL.read_text(encoding="utf-8").replace('"13 ft"', '"13 kg"'), encoding="utf-8")
    code, out, err = told(capsys, str(file))
    assert code == 2 and not out
    assert "shelter.diameter" in err and f"line {line_of(file, 'diameter')}" in err and END not in err
    assert told(capsys, str(tmp_path / "none.toml"))[0] == 2


def line_of(file: Path, word: str) -> int:
    return next(
        n for n, line in enumerate(file.read_text(encoding="utf-8").split("\n"), 1) if line.startswith(word)
    )


def test_an_unusual_value_with_its_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file = Path("camp.toml")
    file.write_text(BELL.read_text(encoding="utf-8").replace('"13 ft"', '"30 ft"'), encoding="utf-8")
    code, out, _ = told(capsys, str(file))
    assert code == 0 and max(map(len, out.splitlines())) <= 80
    assert f'camp.toml:{line_of(file, "diameter")}, shelter.diameter = "30 ft"' in out
    assert "8 ft 3 in to 22 ft 11 in" in out and "diameter of the floor" in out
    _, metric, _ = told(capsys, str(file), "--units", "si")
    assert "2.5 m to 7 m" in metric
    assert " ".join(out.split()).endswith(f"2 oddities; {END}")  # with the floor, the stove is small


def test_what_a_setting_makes_odd_is_told_at_the_setting(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = told(capsys, str(BELL), "--set", "outdoors.wind=60 mph")
    assert "out of range" not in out
    code, _, err = told(capsys, str(BELL), "--set", "outdoors.wind=600 mph")
    assert code == 2 and "--set" in err
    _, out, _ = told(capsys, str(BELL), "--set", "outdoors.wind=30 mph")
    assert '--set, outdoors.wind = "30 mph"' in out


def test_the_usual_range_is_that_of_the_shape(tmp_path: Path) -> None:
    """A floor 5 m wide is usual for a wall tent, and not for a pop-up shelter."""
    for like, unusual in (("outfitter wall tent", False), ("six-sided ice hub", True)):
        file = tmp_path / "camp.toml"
        file.write_text(draft(Wanted(name="Camp", shelter=like, sizes={"width": "5 m"})), encoding="utf-8")
        assert ("shelter.width" in {oddity.key for oddity in oddities(load(file))}) is unusual


@pytest.mark.parametrize(
    ("key", "words", "changes"),
    [
        ("shelter.openings", "no vent", {LOW: "none", HIGH: "none"}),
        ("shelter.openings", "no vent", {LOW: "none", f"{HIGH}__open": "0 %"}),
        ("shelter.openings", "no low vent", {LOW: "none"}),
        ("shelter.openings", "no high vent", {HIGH: "none"}),
        ("shelter.openings", "small", {f"{LOW}__area": "2 in2", f"{HIGH}__area": "3 in2"}),
        ("shelter.openings", "gap", {"shelter__openings__jack": "none"}),
        ("shelter.openings.jack.gap", "no gap", {"shelter__openings__jack__gap": "0 in2"}),
        ("stove.pipe.outside", "above the ground", {"stove__pipe__outside": "6 in"}),
        ("shelter.skirt", "loose", {"shelter__skirt": "loose", "model__leak_below_skirt": "none"}),
        ("levels.cot", "upper half", {"levels__cot": "4 ft 6 in"}),
        ("stove.firebox", "small", {"shelter__diameter": "30 ft"}),
        ("stove.firebox", "large", {"stove__firebox": HUGE, "stove__pipe__inside": "5 ft"}),
        ("stove.pipe.draft", "held", {"stove__pipe__draft": "12 Pa"}),
        ("stove.air", "no lowest mark", {"stove__air__least_when_asleep": "none"}),
        ("stove.damper.marks.shut", "closes the pipe", {"stove__damper__marks": SHUT, "stoking__damper": "along"}),
        ("wood.moisture", "wet", {"wood__moisture": "27 % wet"}),
        ("night.evening", "the date that a draft is given", {"night__evening": "2099-01-01"}),
    ],
)  # fmt: skip
def test_what_no_single_field_knows(key: str, words: str, changes: dict[str, object]) -> None:
    found = odd(**changes)
    assert key in found and words in found[key]
    assert key not in odd()


def test_loads_near_the_limit_and_without_kindling(tmp_path: Path) -> None:
    text = BELL.read_text(encoding="utf-8")
    file = tmp_path / "full.toml"
    file.write_text(text.replace("{ stick = 1, split = 4 }", "{ stick = 1, split = 7 }"), encoding="utf-8")
    assert [oddity.key for oddity in oddities(load(file))] == ["stoking.load[3].pieces"]
    file.write_text(text.replace("kindling = 8, stick = 3, split = 1", "stick = 3"), encoding="utf-8")
    found = oddities(load(file))
    assert [oddity.key for oddity in found] == ["stoking.load[1].pieces"] and "1.75 in" in found[0].what


def test_both_ends_of_the_usual_range() -> None:
    for mass, unusual in (("4 kg", True), ("5 kg", False), ("150 kg", False), ("160 kg", True)):
        assert ("shelter.contents.mass" in odd(shelter__contents__mass=mass)) is unusual


def test_a_loose_skirt_that_was_measured_is_not_odd() -> None:
    assert "shelter.skirt" not in odd(shelter__skirt="loose", model__leak_below_skirt="4 in2")


def test_a_burn_in_the_open_has_no_vents_to_miss() -> None:
    assert not oddities(load(ROOT / "scenarios" / "yard_burn.toml"))


def test_what_is_known_better_is_not_told_twice() -> None:
    scenario = load(BELL).replace("wood.moisture", "40 % wet")  # over 25 %, and outside 12 % to 30 %
    assert [oddity.key for oddity in oddities(scenario)] == ["wood.moisture"]


def test_area_of_vents() -> None:
    """A stove of 60 L: 112 kg of moist wood per m3 (EPA Method 28, second-hand), 14.3 MJ/kg at 20 % of moisture (closed
    form), in 3 h; 550 mm2/kW for each of two openings (International Residential Code M1703).
    """
    power = 112.0 * 0.060 * 14.3e6 / (3.0 * 3600.0)
    twice = 2.0 * 550e-6 * power / 1000.0
    assert pytest.approx(twice, rel=0.05) == 2.0 * VENT_PER_POWER * POWER_PER_INLET * 26e-4


def test_every_oddity_is_whole() -> None:
    scenario = load(BELL).replace(
        {
            "shelter.openings": "none",
            "levels.cot": "5 ft",
            "wood.moisture": "40 % wet",
            "outdoors.wind": "30 mph",
        }
    )
    found = oddities(scenario)
    assert len(found) >= 4
    for oddity in found:
        assert oddity.what and oddity.why and oddity.todo and oddity.file, oddity
        assert not re.search(r"\bsafe\b", f"{oddity.what} {oddity.why} {oddity.todo}")


@pytest.mark.parametrize(
    ("wall", "asked"), [("5 in", True), ("25 cm", True), ("30 cm", False), ("5 ft", False)]
)
def test_a_wall_that_may_be_in_another_unit(wall: str, asked: bool) -> None:
    found = odd(shelter__wall=wall)
    assert ("shelter.wall" in found) is asked
    if wall == "5 in":
        assert "0.13 m (5 in)" in found["shelter.wall"]


SMALL_BOX = {"length": "50 cm", "width": "20 cm", "height": "20 cm"}


def test_a_mass_that_does_not_go_with_the_sheet() -> None:
    """0.48 m2 of faces, 1 mm thick, at 7850 kg/m3 are 3.77 kg, by hand; with fittings 4.52 kg."""
    by_mass = {
        mass: odd(stove__firebox=SMALL_BOX, stove__sheet="1 mm steel", stove__mass=mass).get("stove.mass")
        for mass in ("2.6 kg", "2.8 kg", "8.9 kg", "9.2 kg", "18 kg", "none")
    }
    assert [mass for mass, what in by_mass.items() if what] == ["2.6 kg", "9.2 kg", "18 kg"]
    told = by_mass["18 kg"]
    assert told is not None and "39.7 lb weighed" in told  # the bell is told in US units
    for words in ("5.17 ft2", "1 mm", "steel (490 lb/ft3)", "are 8.3 lb", "about 10.0 lb"):
        assert words in told, told
