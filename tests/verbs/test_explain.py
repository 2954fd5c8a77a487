"""The verb explain, over every field that is declared."""

import pytest

from simtent.cli import main
from simtent.scenario.fields import SECTIONS, fields
from simtent.tell.explain import explained
from simtent.tell.fields import shown_key

EVERY = list(fields(tables=True))


def told(capsys: pytest.CaptureFixture[str], asked: str) -> tuple[int, str, str]:
    code = main(["explain", asked])
    shown = capsys.readouterr()
    return code, shown.out, shown.err


@pytest.mark.parametrize("field", EVERY, ids=lambda field: field.key)
def test_every_field_by_its_key(field) -> None:
    lines = explained(shown_key(field.path))
    text = " ".join(" ".join(lines).split())
    assert lines[0].startswith(f"{shown_key(field.path)}, ")
    assert field.declared.meaning[1:].rstrip(".") in text
    assert "default" in text and "source" in text
    assert max(map(len, lines)) <= 80


def test_names_of_ones_own(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = told(capsys, "wood.pieces.split.thick")
    assert code == 0 and "wood.pieces.split.thick, under [wood.pieces.split]" in out
    assert 'thick = "40 mm" or "1.5 in"' in out
    for asked in ("shelter.window.area", "shelter.window[2].area", "[[shelter.window]].area"):
        assert "shelter.window[].area, in each [[shelter.window]]" in told(capsys, asked)[1]


def test_units_of_both_kinds(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = told(capsys, "outdoors.wind")
    assert "25 m/s (0 mph to 55.9 mph)" in out  # 25 m/s / 0.44704 m/s, NIST SP 811: the mile


def test_a_key_that_shapes_share_and_mean_apart(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = told(capsys, "shelter.width")
    assert out.count("shelter.width, under [shelter]") == 3
    assert "box, wall tent, tunnel" in out and "inscribed" not in out
    assert told(capsys, "shelter.openings.door.width")[1].count("under [shelter.openings.door]") == 1


@pytest.mark.parametrize("name", SECTIONS)
def test_a_section_lists_its_keys(capsys: pytest.CaptureFixture[str], name: str) -> None:
    code, out, _ = told(capsys, name)
    below = [field for field in EVERY if field.path[0] == name and len(field.path) == 2]
    assert code == 0 and all(f"\n{shown_key(field.path)}\n" in out for field in below)


def test_a_table_lists_its_keys(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = told(capsys, "stoking.load")
    assert "stoking.load[].pieces\n" in out and "stoking.rule" not in out


def test_a_part_of_a_name(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = told(capsys, "leak")
    assert code == 0
    assert [line for line in out.splitlines() if line.startswith(("stove.", "model.", "shelter."))] == [
        "stove.air.leak",
        "model.leak_area",
        "model.leak_below_skirt",
    ]
    assert "invented\n" not in told(capsys, "vent")[1]
    assert "wood.moisture, under [wood]" in told(capsys, "moist")[1]  # one alone is told in full


@pytest.mark.parametrize(
    ("asked", "offered"),
    [
        ("shelter.wdith", "shelter.width"),
        ("stove.pipe.lenght", "stove."),
        ("xyzzyx", "outdoors"),
        ("", "wood"),
    ],
)
def test_unknown_keys(capsys: pytest.CaptureFixture[str], asked: str, offered: str) -> None:
    code, out, err = told(capsys, asked)
    assert code == 2 and not out
    assert offered in err


def test_a_prior(capsys: pytest.CaptureFixture[str]) -> None:
    assert "prior     +-20 %, one standard deviation" in told(capsys, "model.walls")[1]
    assert "prior     x3, one standard deviation" in told(capsys, "model.mixing")[1]
    assert "prior     x2, one standard deviation, in a fit alone" in told(capsys, "model.char_rate")[1]
    assert "prior" not in told(capsys, "model.layers")[1]


def test_words_without_quotation_marks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "low", "vent"]) == 0
    assert "shelter.openings.low_vent.area\n" in capsys.readouterr().out


def test_several_keys_are_told_one_by_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "site.ground", "crew.asleep", "wish"]) == 0
    out = capsys.readouterr().out
    assert (
        out.index("site.ground, under [site]")
        < out.index("\n\ncrew.asleep, under [crew]")
        < out.index("\n[wish]")
    )
    assert main(["explain", "site.ground", "site.xyzzyx"]) == 2
    assert main(["explain", "how", "cold"]) == 2


def test_cautions_stand_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert told(capsys, "stove.legs")[1].startswith("CAUTION  Carbon monoxide alarm")
