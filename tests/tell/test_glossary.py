"""Trade words, and what the program's name alone shows."""

import pytest

from simtent.cli import main
from simtent.tell import glossary, welcome
from simtent.tell.words import WIDTH


def test_every_word_is_told_in_order_and_no_verdict() -> None:
    lines = glossary.found(glossary.ALL)
    assert list(glossary.WORDS) == sorted(glossary.WORDS)
    assert all(any(line.startswith(word) for line in lines) for word in glossary.WORDS)
    assert max(map(len, lines)) <= WIDTH and "safe" not in " ".join(lines)
    assert max(map(len, glossary.WORDS)) < glossary.LABEL


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
