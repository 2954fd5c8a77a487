"""No text gives a verdict of safe; on carbon monoxide each names alarm, vents, no guarantee; all end by deferring."""

import ast
from pathlib import Path

import pytest
import xarray as xr

import simtent
from simtent import results
from simtent.assess.cautions import DEFERS, standing
from simtent.assess.findings import Finding
from simtent.assess.judge import assess
from simtent.cli import main
from simtent.scenario.fields import SECTIONS
from simtent.scenario.load import load
from simtent.scenario.materials import shelter_names
from simtent.scenario.scenario import Scenario
from simtent.tell import summary, table
from simtent.tell.cautions import FOUND, block
from tests import fake_fire, fake_night
from tests.assess.nights import still
from tests.assess.words import VERDICT, text_of, wrong, wrong_of
from tests.simulate.cases import SHIPPED

PACKAGE = Path(simtent.__file__).parent
ROOT = Path(__file__).parents[2]
WRITTEN = sorted([*(ROOT / "scenarios").rglob("*.toml"), *PACKAGE.rglob("*.toml"), *ROOT.glob("*.md")])
PLACES = {f"stove.place.from_{what}": "20 cm" for what in ("wall", "roof", "bed", "wood")}
SHOWN = {
    "instruments.carbon_monoxide": "250 ppm",
    "instruments.flue": "300 degC at the surface",
    "crew.bag": {"comfort": "30 degC", "limit": "29 degC"},
    "crew.pad": "0.1 m2 K/W",
}


def test_the_words_looked_for_are_found() -> None:
    """A test of the test: what must be found is."""
    assert wrong("It is safe now.") and wrong("It burns safely") and wrong("for your safety")
    assert wrong("Carbon monoxide alarm on, vents open.") == ["carbon monoxide without no guarantee"]
    assert wrong("carbon monoxide; vents open; no safety guarantee") == ["carbon monoxide without an alarm"]
    assert wrong("carbon monoxide alarm; not a safety guarantee") == ["carbon monoxide without open vents"]
    assert not wrong("Carbon monoxide alarm on, vents open: neither is a safety guarantee.")
    assert len(wrong_of([])) == 4


@pytest.mark.parametrize(
    "path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: str(path.relative_to(PACKAGE))
)
def test_no_constant_of_the_package_gives_a_verdict(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            assert not VERDICT.search(node.value), f"line {node.lineno}: {node.value}"


@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: path.name)
def test_nothing_written_beside_it_gives_a_verdict(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert not VERDICT.search(text.replace("thread-safe", "")), VERDICT.search(text)


def dataset_for(scenario: Scenario) -> xr.Dataset:
    """A night of formulas of the scenario's kind."""
    if scenario.shelter is None:
        return fake_fire.burn(minutes=10.0)
    return (fake_night if scenario.stove is None else fake_fire).night(minutes=10.0)


def worst(scenario: Scenario, dataset: xr.Dataset) -> xr.Dataset:
    """The same with everything wrong at once: glowing, and a flue that is cool, weak, and runs backwards at times."""
    if "flue_flow" not in dataset:
        return still(dataset, leakage_flow=0.0) if scenario.shelter else dataset
    bad = still(
        dataset, stove_temperature=700.0, draft_pressure=0.5, flue_exit_temperature=60.0, wind_speed=9.0
    )
    flow = bad["flue_flow"].copy(deep=True)
    flow[3:6] = flow[-3:] = -1e-3
    strong = {"flue_flow": flow, "heat_release": 4.0 * bad["heat_release"]}
    bad = still(bad, jack_temperature=300.0, damper_setting=0.2).assign(strong)
    return still(bad, leakage_flow=1e-6) if scenario.shelter else bad


def every_night(path: Path) -> list[tuple[Scenario, xr.Dataset]]:
    scenario = load(path)
    asked = scenario.replace(SHOWN | (PLACES if scenario.stove else {}))
    good = dataset_for(scenario)
    told = results.extend(good, {}, {"departure": ["wind over 25 m/s from 02:10 to 02:30"]})
    return [(scenario, good), (scenario, told), (asked, good), (asked, worst(asked, good))]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
@pytest.mark.parametrize("units", ["si", "us"])
def test_findings_of_shipped_camps(path: Path, units: str) -> None:
    for given, dataset in every_night(path):
        scenario = given.replace({"units": units})
        found = assess(scenario, dataset)
        assert wrong_of(found) == []
        assert found[: len(standing(scenario))] == standing(scenario) and found[-1] is DEFERS
        assert len(set(found)) == len(found)


@pytest.mark.parametrize("path", [path for path in SHIPPED if load(path).stove], ids=lambda path: path.stem)
def test_the_worst_of_nights_is_told_in_full(path: Path) -> None:
    """So that the words above were looked for in every finding that there is."""
    scenario, dataset = every_night(path)[-1]
    told = {finding.what.split(":")[0][:40] for finding in assess(scenario, dataset)}
    expected = [
        "the flue runs backwards",
        "the flue gas is cool",
        "the stove's body comes near",
        "the pipe's surface",
    ]
    if scenario.shelter is not None:
        expected += [
            "the stove shines on the wall",
            "the stove shines on the wood",
            "the stove shines on the bed",
        ]
        expected += ["the pipe is hot where", "what if a share", "a meter showed", "little fresh air"]
        expected += ["a house with such a fire", "warm heads over cold feet"]
        expected += ["in bed it feels colder than the limit", "through the pad more heat"]
    for words in expected:
        assert any(it.startswith(words) for it in told), words


def test_a_finding_without_what_to_do_would_be_seen() -> None:
    assert wrong_of([Finding("note", "what", "", "source"), DEFERS])
    assert wrong_of([DEFERS, Finding("note", "what", "do", "source")])
    assert wrong_of([DEFERS]) == []


def page(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main([*arguments]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_pages_of_check(capsys: pytest.CaptureFixture[str], path: Path) -> None:
    text = page(capsys, "check", str(path))
    assert not wrong(text)
    assert "arbon monoxide" in text and "licensed people" in " ".join(text.split())


def test_pages_of_check_on_a_camp_that_is_odd(capsys: pytest.CaptureFixture[str]) -> None:
    settings = ('stove.damper.marks={ shut = "0 %", along = "100 %" }', 'stoking.damper="along"')
    shown = page(
        capsys, "check", str(ROOT / "scenarios" / "sedge_hollow.toml"), *(f"--set={one}" for one in settings)
    )
    assert "closes the pipe altogether" in " ".join(shown.split())
    assert not wrong(shown)


@pytest.mark.parametrize("name", SECTIONS)
def test_pages_of_explain(capsys: pytest.CaptureFixture[str], name: str) -> None:
    text = page(capsys, "explain", name)
    assert not wrong(text) and "arbon monoxide" in text


def test_pages_of_explain_on_instruments(capsys: pytest.CaptureFixture[str]) -> None:
    for key in ("what_if.spill", "instruments.carbon_monoxide", "instruments.flue", "stove.place.from_wall"):
        assert not wrong(page(capsys, "explain", key))


@pytest.mark.parametrize("arguments", [("--sheet",), ("--burn-sheet",)])
def test_forms_of_new(capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]) -> None:
    text = page(capsys, "new", *arguments)
    assert not wrong(text) and "arbon monoxide alarm" in text


@pytest.mark.parametrize("name", shelter_names())
def test_pages_and_files_of_new(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    assert not wrong(page(capsys, "new", "camp.toml", "--like", name))
    assert not wrong((tmp_path / "camp.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
@pytest.mark.parametrize("units", ["si", "us"])
def test_the_page_of_a_night(path: Path, units: str) -> None:
    scenario, dataset = every_night(path)[-1]
    found = [finding for finding in assess(scenario, dataset) if finding not in standing(scenario)]
    lines = [
        *block(standing(scenario)),
        *summary.heading(scenario),
        *block(found, FOUND),
        *table.hourly(scenario, dataset, units),
        *summary.summary(scenario, dataset, units),
    ]
    assert not wrong("\n".join(lines))
    assert max(map(len, lines)) <= 80


def test_shown_texts_hold_their_numbers() -> None:
    """A finding that is read alone still says where its limit is from."""
    scenario, dataset = every_night(ROOT / "scenarios" / "sedge_hollow.toml")[-1]
    for finding in assess(scenario, dataset):
        assert not finding.number or finding.limit, text_of(finding)
