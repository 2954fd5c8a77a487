"""Findings, the standing cautions, and the words they must and must not use."""

import ast
import re
from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path

import pytest
import xarray as xr

import simtent
from simtent import results
from simtent.assess import cautions
from simtent.assess.cautions import HEADLINE, standing
from simtent.assess.findings import LEVELS, Finding, from_dataset, to_values
from simtent.assess.judge import assess
from simtent.tell.cautions import block
from tests import fake_fire, fake_night
from tests.assess.words import VERDICT

EVERY = [value for value in vars(cautions).values() if isinstance(value, Finding)]
PACKAGE = Path(simtent.__file__).parent


def texts(finding: Finding) -> list[str]:
    return [getattr(finding, field.name) for field in fields(finding)]


def printed(findings: Iterable[Finding]) -> str:
    return " ".join(" ".join(block(findings)).split())


@pytest.mark.parametrize("text", [t for f in EVERY for t in texts(f) if t != f.source] + list(HEADLINE))
def test_no_caution_gives_a_verdict(text: str) -> None:
    assert not VERDICT.search(text)
    assert "safety" not in text or re.search(r"\b(not a|no) safety guarantee", text, re.IGNORECASE)


@pytest.mark.parametrize(
    "path",
    sorted(
        [
            *(path for folder in ("assess", "tell", "verbs") for path in (PACKAGE / folder).rglob("*.py")),
            *(PACKAGE / "scenario").glob("odd*.py"),
            PACKAGE / "cli.py",
        ]
    ),
)
def test_no_text_shown_to_people_gives_a_verdict(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            assert not VERDICT.search(node.value), node.value


@pytest.mark.parametrize(
    "words",
    [
        "carbon monoxide alarm rated for the cold",
        "keep ventilation open",
        "not a safety guarantee",
        "no warning to a sleeper",
        "without a flue",
        "36 in from",
        "18 in from",
        "written for houses",
        "stays awake while a fire burns",
        "manuals of the makers of stove, heater and shelter",
        "local codes",
        "licensed people",
        "heater and a cord",
    ],
)
def test_the_standing_cautions_say(words: str, tmp_path: Path) -> None:
    assert words in printed(standing(fake_night.scenario(tmp_path)))


@pytest.mark.parametrize(
    "words",
    [
        "carbon monoxide alarm rated for the cold",
        "keep ventilation open",
        "not a safety guarantee",
        "Keep a low and a high vent open",
        "36 in from",
        "or the makers', whichever is more",
        "Burn them in outdoors",
        "before they ever stand in a shelter",
        "At the first glow close the air",
        "930 degF",
        "creosote",
        "250 degF",
        "second-hand",
        "Never close the damper altogether while anything glows",
        "lidded metal pail",
        "stays awake while a fire burns",
        "manuals of the makers of stove, pipe and shelter",
        "local codes",
        "licensed people",
        "coals light new wood are the weakest numbers",
    ],
)
def test_the_cautions_of_a_fire_say(words: str, tmp_path: Path) -> None:
    assert words in printed(standing(fake_fire.scenario(tmp_path)))


def test_cautions_fit_what_is_there(tmp_path: Path) -> None:
    table = standing(fake_night.scenario(tmp_path))
    fire = standing(fake_fire.scenario(tmp_path))
    yard = standing(fake_fire.yard(tmp_path, "units=us"))
    given = {told: it for it, told in cautions.IN_US.items()}
    everywhere = {given.get(it, it) for it in (*table, *fire)}
    assert everywhere | {cautions.DEFERS, cautions.LOGGED} == set(EVERY)
    assert set(yard) < set(fire)
    assert "heater and a cord" not in printed(fire) and "first get hot" not in printed(table)
    assert "low and a high vent" not in printed(yard) and "first get hot" in printed(yard)
    for given in (table, fire, yard):
        assert given[0] is cautions.CARBON_MONOXIDE
        assert len(set(given)) == len(given)


def test_every_caution_says_what_to_do_and_where_it_comes_from() -> None:
    for finding in EVERY:
        assert finding.level == "caution"
        assert finding.what and finding.todo and finding.source


def test_clearances_are_the_published_ones() -> None:
    # 36 in to an unlisted solid-fuel heater: National Ag Safety Database d001052. 18 in to a single-wall
    # pipe: common practice, no source. The inch is 25.4 mm exactly (NIST SP 811, 2008, B.8).
    millimetres = re.findall(r"(\d+) mm", cautions.DISTANCES.limit)
    inches = re.findall(r"(\d+) in\b", cautions.IN_US[cautions.DISTANCES].limit)
    assert inches == ["36", "18"]
    assert all(abs(float(mm) - 25.4 * float(it)) < 0.5 for mm, it in zip(millimetres, inches, strict=True))


def test_the_headline_fits_a_phone() -> None:
    assert len(HEADLINE) == 3
    assert max(len(line) for line in HEADLINE) <= 50
    assert "Carbon monoxide alarm" in HEADLINE[0]


def test_levels_have_no_passing_state() -> None:
    assert LEVELS == ("note", "caution", "stop")
    with pytest.raises(ValueError, match="none of note, caution, stop"):
        Finding(level="fine", what="x", todo="y", source="z")  # type: ignore[arg-type]


def test_assess_puts_the_standing_cautions_first(tmp_path: Path) -> None:
    scenario = fake_night.scenario(tmp_path)
    night = fake_night.night(minutes=30.0)
    always = standing(scenario)
    whole = assess(scenario, night)
    assert whole[: len(always)] == always and whole[-1] is cautions.DEFERS
    sentence = "wind above 25 m/s from 02:10 to 02:30"
    departed = assess(scenario, results.extend(night, {}, {"departure": [sentence]}))
    assert (*departed[:-2], departed[-1]) == whole
    assert (departed[-2].level, departed[-2].what) == ("note", sentence)


def test_what_is_found_stands_by_gravity(tmp_path: Path) -> None:
    """After the standing cautions: stop, caution, note; and among the same level in the order of its finding."""
    hot = fake_fire.night(minutes=30.0)
    close = fake_fire.scenario(tmp_path, 'stove.place.from_wall="5 cm"', 'stove.place.from_bed="3 m"')
    found = assess(close, hot.assign(jack_temperature=hot["jack_temperature"] * 0.0 + 150.0))
    ranks = [LEVELS.index(finding.level) for finding in found[len(standing(close)) : -1]]
    assert set(ranks) == {0, 1, 2}
    assert ranks == sorted(ranks, reverse=True)


def test_assess_reports_repairs_of_the_scenarios_files(tmp_path: Path) -> None:
    rows = [f"2031-02-{14 + (h + 17) // 24}T{(h + 17) % 24:02d}:00,{-5 - h / 2}" for h in range(16)]
    (tmp_path / "air.csv").write_text("\n".join(["when,T", *rows[:4], rows[3], *rows[4:]]))
    file = (tmp_path / "air.csv").as_posix()
    table = f'{{ path = "{file}", time = "when", columns = {{ air = "T" }}, units = {{ air = "degC" }} }}'
    scenario = fake_night.scenario(tmp_path, 'outdoors.steady="none"', f"outdoors.file={table}")
    assert scenario.repairs
    found = assess(scenario, fake_night.night(minutes=30.0))
    last = found[-1 - len(scenario.repairs) :]
    assert [finding.what for finding in last] == [*scenario.repairs, cautions.DEFERS.what]


def test_findings_survive_dataset_and_file(tmp_path: Path) -> None:
    extra = Finding(
        "stop", "roof fabric at 130 degC", "move", "assumption", "roof", "18:40", "130 degC", "120 degC"
    )
    given = (*EVERY, extra)
    night = results.extend(fake_night.night(minutes=30.0), *to_values(given))
    results.check(night)
    results.write(night, tmp_path / "a.night.nc")
    with xr.open_dataset(tmp_path / "a.night.nc", engine="h5netcdf") as back:
        assert from_dataset(back) == given
    assert from_dataset(fake_night.night(minutes=30.0)) == ()


def test_the_block_fits_80_columns_and_shows_place_number_and_limit() -> None:
    extra = Finding(
        "stop", "fabric too hot", "move the stove", "assumption", "roof", "18:40", "130 degC", "120 degC"
    )
    lines = block([*EVERY, extra])
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert "STOP Roof, 18:40: fabric too hot. Found: 130 degC. Limit: 120 degC (assumption). -> move" in text
