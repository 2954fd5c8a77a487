"""Trade words, and what the program's name alone shows."""

import math
import re

import pytest

from simtent.cli import main
from simtent.geometry.upright import wall_tent
from simtent.tell import glossary, welcome
from simtent.tell.words import WIDTH


def test_every_word_is_told_in_order_and_no_verdict() -> None:
    lines = glossary.found(glossary.ALL)
    assert list(glossary.WORDS) == sorted(glossary.WORDS, key=str.lower)
    assert list(glossary.SHAPES) == sorted(glossary.SHAPES, key=str.lower)
    assert all(any(line.startswith(word) for line in lines) for word in glossary.every())
    assert max(map(len, lines)) <= WIDTH and "safe" not in " ".join(lines)
    assert max(map(len, glossary.every())) < glossary.LABEL


def test_a_trade_word_is_told_before_the_keys_that_have_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "damper"]) == 0
    told = capsys.readouterr().out
    assert told.index("Carbon monoxide") < told.index("A plate in the pipe") < told.index("stove.damper")
    assert main(["explain", "creosote"]) == 0  # no key has it
    assert "Tar that settles" in capsys.readouterr().out
    assert main(["explain", "nothing like it"]) == 2


def test_the_name_alone_shows_first_steps(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    told = capsys.readouterr().out
    assert told.startswith("CAUTION") and max(map(len, told.splitlines())) <= WIDTH
    for command, _ in welcome.STEPS:
        assert command in told


@pytest.mark.parametrize("command", [command for command, _ in welcome.STEPS if "--help" not in command])
def test_the_steps_are_verbs(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main([command.split()[1], "--help"])
    assert left.value.code == 0
    options = [it for it in command.split() if it.startswith("--")]
    assert all(option in capsys.readouterr().out for option in options)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("cabin", '"wall tent"'),
        ("oval", "no shape is oval"),
        ("waist", "who stands"),
        ("R-value", "0.176 m2 K/W"),
        ("seam", "leaks"),
        ("Usual Range", "nothing is refused"),
    ],
)
def test_words_that_answers_print_are_told(
    asked: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["explain", *asked.split()]) == 0
    assert words.lower() in " ".join(capsys.readouterr().out.split()).lower()


@pytest.mark.parametrize("word", ["gazebo", "marquee", "hammock"])
def test_an_unknown_word_makes_no_far_guess(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", word]) == 2
    told = capsys.readouterr().err
    assert "meant" not in told and "simtent explain words" in told


def test_a_slip_of_the_pen_is_answered(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "creosot"]) == 2 and main(["explain", "entrainement"]) == 2
    told = capsys.readouterr().err
    assert "Is creosote meant?" in told and "Is entrainment meant?" in told


def test_names_of_shelters_are_told_by_shapes_that_are_there() -> None:
    shapes = {"box", "wall tent", "bell", "pyramid", "hub", "dome", "tunnel"}
    quoted = {text for told in glossary.SHAPES.values() for text in re.findall(r'"([^"]+)"', told)}
    assert quoted <= shapes


def test_an_oval_floor_and_the_wall_tent_that_stands_for_it() -> None:
    """Two half circles at the ends of a rectangle: (L - w) w + pi w2 / 4 is (L - 0.215 w) w."""
    width, length = 4.0, 6.0
    oval = (length - width) * width + math.pi * width**2 / 4.0
    assert wall_tent(length - width / 5.0, width, 1.5, 2.5).floor_area == pytest.approx(oval, rel=0.012)
