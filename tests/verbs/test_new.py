"""The verb new: drafts that the reader takes, questions, and forms on paper. All names and numbers are invented."""

import builtins
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from simtent import files
from simtent.cli import main
from simtent.planning.refused import faults_of
from simtent.scenario.likeness import body_mass, shelter_like, stove_of_mass, told_mass
from simtent.scenario.load import load
from simtent.scenario.materials import ground_names, shelter_names, stove_names
from simtent.scenario.oddities import oddities
from simtent.tell.draft import Wanted, draft
from simtent.tell.draft_us import beginning_in_us, length, words_in_us
from simtent.tell.sheets import LINES, PAGE_END, burn_sheet, night_sheet


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def answers(monkeypatch: pytest.MonkeyPatch, *lines: str) -> Iterator[str]:
    """Answers given one by one, then the end of the input; what is left over can be looked at."""
    left = iter(lines)

    def hear(_prompt: str) -> str:
        try:
            return next(left)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr(builtins, "input", hear)
    return left


def names() -> list[str]:
    return sorted(path.name for path in Path().iterdir())


# Drafts.


@pytest.mark.parametrize("units", ["si", "us"])
@pytest.mark.parametrize("name", shelter_names())
def test_a_draft_of_every_shelter(name: str, units: str) -> None:
    assert main(["new", "my_camp.toml", "--like", name, "--units", units]) == 0
    scenario = load("my_camp.toml")
    row = shelter_like(name, {})
    assert scenario.name == "My camp" and scenario.units == units and scenario.invented
    assert scenario.shelter is not None and scenario.stove is not None
    assert scenario.shelter.shape == row.shape
    assert scenario.shelter.peak == pytest.approx(row.peak, abs=0.013)  # to the inch
    assert scenario.shelter.floor_area == pytest.approx(row.floor_area, rel=0.015)
    assert scenario.stove.collar + scenario.stove.pipe.inside + scenario.stove.pipe.outside > row.peak + 0.25
    expected = ("no low vent", "the date that a draft is given")
    odd = [it for it in oddities(scenario) if not any(words in it.what for words in expected)]
    assert not odd


@pytest.mark.parametrize("name", stove_names())
def test_a_draft_of_every_stove(name: str) -> None:
    assert main(["new", "camp.toml", "--like", "large bell", "--stove", name]) == 0
    scenario = load("camp.toml")
    assert scenario.stove is not None and scenario.stove.like == name
    assert scenario.stove.body_mass == pytest.approx(body_mass(name))


@pytest.mark.parametrize("name", ground_names())
def test_a_draft_on_every_ground(name: str) -> None:
    Path("camp.toml").write_text(
        draft(Wanted(name="Camp", shelter="small bell", ground=name)), encoding="utf-8"
    )
    assert load("camp.toml").site.ground == name


def test_what_a_draft_says_of_itself() -> None:
    assert main(["new", "camp.toml", "--like", "small bell"]) == 0
    text = Path("camp.toml").read_text(encoding="utf-8")
    assert "No number here was measured" in text and "common practice, no source" in text
    assert 'evening = "2099-01-01"' in text and "PLACEHOLDER" in text
    assert max(map(len, text.splitlines())) <= 110
    assert main(["new", "dated.toml", "--like", "small bell", "--evening", "2031-02-14"]) == 0
    dated = Path("dated.toml").read_text(encoding="utf-8")
    assert 'evening = "2031-02-14"' in dated and "PLACEHOLDER" not in dated


def test_ones_own_sizes_stand_as_they_were_typed(monkeypatch: pytest.MonkeyPatch) -> None:
    answers(monkeypatch, "large bell", "4.42 m", "", "9 ft", "", "", "", "", "", "40 degF")
    assert main(["new", "camp.toml", "--ask", "--units", "us"]) == 0
    scenario = load("camp.toml")
    assert 'cot_at_least = "40 degF"' in scenario.given and 'head_at_most = "86 degF"' in scenario.given
    assert 'diameter = "4.42 m"' in scenario.given and 'wall = "1 ft 12 in"' not in scenario.given
    assert scenario.levels["head"] == pytest.approx(
        1.7 * 9.0 * 0.3048 / 3.0, abs=0.013
    )  # as the peak, to the inch


@pytest.mark.parametrize("like", shelter_names())
@pytest.mark.parametrize("stove", stove_names())
def test_a_plan_can_be_asked_of_every_draft(like: str, stove: str) -> None:
    """A wish for the cot, one for the head above it, a fire that is lit early enough, loads that go in."""
    text = draft(Wanted(name="Camp", shelter=like, stove=stove))
    Path("camp.toml").write_text(text, encoding="utf-8")
    scenario = load("camp.toml")
    assert not faults_of(scenario)
    assert scenario.wish.cot_at_least == pytest.approx(278.15) and scenario.wish.head_at_most is not None
    assert "a guess" in next(line for line in text.splitlines() if "cot_at_least" in line)


@pytest.mark.parametrize(
    ("like", "words"), [("small bell", "as you sit or stoop"), ("large bell", "as you stand")]
)
def test_under_a_low_roof_nobody_stands(like: str, words: str) -> None:
    assert f"head {words}" in draft(Wanted(name="Camp", shelter=like))


def test_a_stove_offered_by_its_mass_is_told_with_the_same_mass(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """14 kg are 30.9 lb, 30 kg 66.1 lb, 2 kg 4.4 lb: to the international pound of 0.45359237 kg."""
    answers(monkeypatch, *[""] * 40)
    assert main(["new", "camp.toml", "--ask", "--units", "us"]) == 0
    told = capsys.readouterr().out
    named = re.findall(r"([0-9]+) kg [^:]*: about ([0-9.]+) lb", " ".join(told.split()))
    assert {"14", "30"} <= {kg for kg, _ in named}
    for kg, lb in named:
        assert float(lb) == pytest.approx(float(kg) / 0.45359237, abs=0.051)
    for name in stove_names():  # the name is about what the body weighs
        assert body_mass(name) == pytest.approx(told_mass(name), rel=0.05)


# Nothing is ever lost.


def test_never_over_a_file(capsys: pytest.CaptureFixture[str]) -> None:
    Path("camp.toml").write_text("mine", encoding="utf-8")
    Path("gone.toml").symlink_to("nowhere")
    for name in ("camp.toml", "gone.toml"):
        assert main(["new", name, "--like", "small bell"]) == 2
        assert "such a file already" in capsys.readouterr().err
    assert Path("camp.toml").read_text(encoding="utf-8") == "mine"
    assert main(["new", "--sheet", "--out", "camp.toml"]) == 2
    assert names() == ["camp.toml", "gone.toml"]


def test_a_file_that_came_in_between_stays() -> None:
    Path("camp.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError):
        files.write_new(Path("camp.toml"), b"theirs")
    assert Path("camp.toml").read_bytes() == b"mine" and names() == ["camp.toml"]


@pytest.mark.parametrize("links", [True, False])
def test_a_new_file_is_whole_or_not_there(links: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError("no links here")

    if not links:
        monkeypatch.setattr(Path, "hardlink_to", no_links)
    files.write_new(Path("one.toml"), b"all of it")
    assert Path("one.toml").read_bytes() == b"all of it"

    def full(_file: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert main(["new", "two.toml", "--like", "small bell"]) == 2
    assert names() == ["one.toml"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "no name for the new file"),
        (["camp.toml"], "no shelter to begin with"),
        (["camp.txt", "--like", "small bell"], "ends in .toml"),
        (["none/camp.toml", "--like", "small bell"], "no folder"),
        (["camp.toml", "--like", "smal bel"], "Is small bell"),
        (["camp.toml", "--like", "small bell", "--stove", "oven"], "--stove"),
        (["camp.toml", "--like", "small bell", "--evening", "tonight"], "is no date"),
        (["camp.toml", "--like", "small bell", "--evening", "2031-02-30"], "no day"),
        (["camp.toml", "--like", "small bell", "--out", "x.txt"], "--out"),
        (["none.toml", "--sheet"], "no such file"),
    ],
)
def test_bad_options(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", *arguments]) == 2
    shown = capsys.readouterr()
    assert words in shown.err and "Traceback" not in shown.err
    assert names() == []


# Questions.


def test_enter_takes_what_is_offered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    left = answers(monkeypatch, *[""] * 40)
    assert main(["new", "asked.toml", "--ask", "--like", "tunnel for three"]) == 0
    assert main(["new", "named.toml", "--like", "tunnel for three"]) == 0
    asked, named = (Path(f"{name}.toml").read_text(encoding="utf-8") for name in ("asked", "named"))
    assert asked.replace("Asked", "") == named.replace("Named", "")
    assert (
        len(list(left)) == 40 - 1 - 3 - 1 - 2 - 1 - 1 - 1
    )  # shelter, sizes, stove, high and low, ground, people, cot
    assert capsys.readouterr().out.startswith("CAUTION")


def test_a_wrong_answer_is_asked_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers(
        monkeypatch,
        "99", "igloo", "4",  # the shelter
        "3", "3 kg", "3 m", "50 cm", "2 m",  # its diameter, wall, peak
        "500 kg", "9 kg",  # the stove by its weight
        "20 F", "30 F", "10 F",  # high, and a low above it
        "lava", "lake ice",  # the ground
        "many", "3",
        "90 F", "31 degC", "45 F",  # the cot, warmer than a head may be
    )  # fmt: skip
    assert main(["new", "camp.toml", "--ask"]) == 0
    told = capsys.readouterr().out
    for words in (
        '"99" is none of these',
        '"3" has no unit',
        "is a mass",
        "out of range",
        "above the high",
        '"lava"',
        "no more than 30 degC at the head",
    ):
        assert words in told
    assert max(map(len, told.splitlines())) <= 80
    scenario = load("camp.toml")
    assert scenario.stove is not None and scenario.stove.mass == 9.0
    assert scenario.stove.like == stove_of_mass(9.0) == "folding sheet-steel stove"
    assert scenario.crew.asleep == 3 and scenario.site.ground == "lake ice"
    assert scenario.outdoors.low is not None
    assert scenario.outdoors.low.air == pytest.approx((10.0 - 32.0) / 1.8 + 273.15)


def test_sizes_that_make_no_shelter_are_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    answers(monkeypatch, "small bell", "3 m", "2 m", "1 m", "3 m", "60 cm", "2 m", *[""] * 6)
    assert main(["new", "camp.toml", "--ask"]) == 0
    assert load("camp.toml").shelter.wall == 0.6  # type: ignore[union-attr]


@pytest.mark.parametrize("given", [0, 1, 4, 7])
def test_answers_that_end_early_write_nothing(
    given: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers(monkeypatch, *[""] * given)
    assert main(["new", "camp.toml", "--ask"]) == 2
    assert "nothing is written" in capsys.readouterr().err
    assert names() == []


def test_a_draft_that_the_reader_refuses_is_not_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = draft(Wanted(name="Camp", shelter="small bell")).replace('"softwood"', '"soapstone"')
    monkeypatch.setattr("simtent.verbs.new.draft", lambda _wanted: text)
    assert main(["new", "camp.toml", "--like", "small bell"]) == 2
    told = capsys.readouterr().err
    assert "nothing is written" in told and "soapstone" in told and "wood.species" in told
    assert names() == []


# Forms.


@pytest.mark.parametrize("units", ["si", "us"])
def test_forms_fit_a_sheet_of_paper(units: str) -> None:
    levels = {f"level {n}": 0.1 * n for n in range(1, 15)}
    for form in (
        burn_sheet(units),
        night_sheet("Camp", {"head": 1.7}, units),
        night_sheet("Camp", levels, units),
    ):
        assert max(map(len, form)) <= 80
        pages = "\n".join(form).split(f"\n{PAGE_END}\n")
        assert len(pages) > 1 and all(page.count("\n") < LINES for page in pages)
        assert "larm" in form[1] and "aker" in " ".join(form)


def test_heights_of_the_sensors(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "--sheet"]) == 0
    usual = capsys.readouterr().out
    assert "head          |1.7 m" in usual and "_____" in usual
    assert main(["new", "camp.toml", "--like", "small bell", "--units", "us"]) == 0
    assert main(["new", "camp.toml", "--sheet"]) == 0
    own = capsys.readouterr().out
    assert "head          |4 ft 3 in" in own and "Shelter: Camp" in own


def test_a_form_in_a_file() -> None:
    assert main(["new", "--burn-sheet", "--out", "burn.txt"]) == 0
    assert Path("burn.txt").read_text(encoding="utf-8") == "\n".join(burn_sheet("si")) + "\n"


def test_the_form_says_which_evidence_comes_first() -> None:
    form = "\n".join(night_sheet("Camp", {"head": 1.7}, "si"))
    order = (
        "WHAT A LOG NEEDS MOST",
        "for heat on stove or pipe",
        "load weighed",
        "coals light it",
        "dies",
        "electric",
    )
    places = [form.index(words) for words in order]
    assert places == sorted(places) and form.index("OUTSIDE") > places[-1]


# Drafts in US units.


@pytest.mark.parametrize("name", shelter_names())
def test_a_draft_in_us_units_is_the_same_shelter_and_stove(name: str) -> None:
    """Marks of a tape: common practice, no source. Half an ounce of 4 and more is at most 6 % of a fabric."""
    texts = {units: draft(Wanted(name="Camp", shelter=name, units=units)) for units in ("si", "us")}
    for units, text in texts.items():
        Path(f"{units}.toml").write_text(text, encoding="utf-8")
    si, us = load("si.toml"), load("us.toml")
    assert si.shelter and us.shelter and si.stove and us.stove
    assert us.shelter.floor_area == pytest.approx(si.shelter.floor_area, rel=0.015)
    assert us.stove.firebox.volume == pytest.approx(si.stove.firebox.volume, rel=0.06)
    assert us.stove.pipe.inside == pytest.approx(si.stove.pipe.inside, abs=0.013)
    assert us.stove.sheet.thickness == pytest.approx(si.stove.sheet.thickness, rel=0.07)  # 1/4 in for 6 mm
    told = "\n".join(line for line in texts["us"].splitlines() if "like" not in line)  # a row's name stays
    assert not re.search(r"[0-9] ?(mm|cm|m|g/m2|kg|cm2|m2|L|K|degC|m/s|W)\b", told)
    assert not re.search(r"(?<!\b0)\.[0-9]+ in\b|\b0\.[1-9][0-9]* in\b", told)


def test_us_texts_of_a_draft() -> None:
    """340 g/m2 are 10.03 oz/yd2, 285 g/m2 8.41, 70 g/m2 2.06: NIST Special Publication 811, by hand."""
    assert beginning_in_us("340 g/m2 cotton canvas") == "10 oz/yd2 cotton canvas"
    assert beginning_in_us("285 g/m2 polycotton canvas") == "8.5 oz/yd2 polycotton canvas"
    assert beginning_in_us("70 g/m2 coated nylon") == "2.1 oz/yd2 coated nylon"
    assert beginning_in_us("40 mm air gap") == "1 5/8 in air gap"  # 1.575 in
    assert beginning_in_us("1.2 mm steel") == "0.047 in steel"
    assert beginning_in_us("14 kg sheet-steel box") == "14 kg sheet-steel box"
    assert beginning_in_us("polyester liner") == "polyester liner"
    assert words_in_us("42 L; 0.76 m2 weigh 14.2 kg, 2 h 30 min, 13 %") == (
        "1.5 ft3; 8.2 ft2 weigh 31.3 lb, 2 h 30 min, 13 %"  # 1.483 ft3, 8.18 ft2, 31.31 lb
    )
    assert (
        words_in_us("22 cm across; 7850 kg/m3; 16 ft") == "8 3/4 in across; 490 lb/ft3; 16 ft"
    )  # 8.66 in, 490.06
    assert length(1.491) == "4 ft 11 in" and length(0.02) == "3/4 in"  # 58.7 in, 0.79 in
