"""Commands that are printed can be pasted into a shell: asked is the splitting of POSIX shells, by Python's shlex."""

import shlex
from pathlib import Path

import pytest

from simtent.cli import main
from simtent.tell.command import command

NAMES = (
    "camp.toml",
    "Schneehütte zwei.toml",
    "it's cold.toml",
    "a&b;c.toml",
    "$HOME.toml",
    "two  blanks.toml",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_shell_reads_the_file_back(name: str) -> None:
    assert shlex.split(command("night", Path(name), "--with", Path(name))) == [
        "simtent",
        "night",
        name,
        "--with",
        name,
    ]


def test_a_plain_name_stays_plain_and_a_dash_is_no_option() -> None:
    assert command("check", Path("camp.toml")) == "simtent check camp.toml"
    assert command("check", Path("-x.toml")) == "simtent check ./-x.toml"


@pytest.mark.parametrize("name", NAMES)
def test_new_says_what_comes_next(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", name, "--like", "small bell"]) == 0
    then = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("Then: "))
    verb, *rest = shlex.split(then.removeprefix("Then: "))[1:]
    assert (verb, rest) == ("check", [name]) and main([verb, *rest]) == 0


def test_a_file_without_a_verb(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["my camp.toml"]) == 2
    assert "simtent night 'my camp.toml'" in capsys.readouterr().err
