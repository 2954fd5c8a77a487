"""Completion in shells: each shell takes its script, and a real bash offers every verb, option and choice."""

import argparse
import builtins
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from simtent.arguments import completion
from simtent.arguments.parser import parser
from simtent.cli import main
from simtent.scenario.fields import fields

pytest.importorskip("shtab")
VERBS = next(it for it in parser()._actions if isinstance(it, argparse._SubParsersAction)).choices
ASK = """
ask() {
  COMP_WORDS=("$@"); COMP_CWORD=$(( $# - 1 )); COMPREPLY=()
  _simtent
  printf '%s\\t' "${COMPREPLY[@]}"; echo
}
"""


@pytest.fixture(scope="module")
def scripts() -> dict[str, str]:
    return {shell: completion.script(parser(), shell) for shell in completion.SHELLS}


def answers(script: str, folder: Path, asked: list[list[str]]) -> list[set[str]]:
    """What a real bash offers for each of several command lines, the last word being typed."""
    lines = "".join(f"ask simtent {shlex.join(words)}\n" for words in asked)
    text = f"{script}\n{ASK}\n{lines}"
    done = subprocess.run(
        ["bash", "--norc"], input=text, capture_output=True, text=True, check=True, cwd=folder
    )
    assert not done.stderr
    return [set(line.split("\t")) - {""} for line in done.stdout.splitlines()]


def keys(beginning: str) -> set[str]:
    """The keys of a scenario that begin so and have nobody's own names in them, and no places in a list."""
    return {it.key for it in fields() if it.key.startswith(beginning) and not set("[*") & set(it.key)}


@pytest.mark.parametrize("shell", completion.SHELLS)
def test_its_shell_takes_it(shell: str, scripts: dict[str, str], tmp_path: Path) -> None:
    if not shutil.which(shell):
        pytest.skip(f"{shell} is not installed")
    file = tmp_path / "script"
    file.write_text(scripts[shell], encoding="utf-8")
    done = subprocess.run([shell, "-n", str(file)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(not shutil.which("bash"), reason="bash is not installed")
def test_a_real_bash_offers_everything(scripts: dict[str, str], tmp_path: Path) -> None:
    (tmp_path / "camp.toml").touch()
    (tmp_path / "notes.txt").touch()
    (tmp_path / "overlays").mkdir()
    verbs, *of_verbs = answers(scripts["bash"], tmp_path, [[""], *([name, "--"] for name in VERBS)])
    assert verbs == set(VERBS)
    for (name, verb), offered in zip(VERBS.items(), of_verbs, strict=True):
        wanted = {text for action in verb._actions for text in action.option_strings if text.startswith("--")}
        assert offered == wanted, name
    asked = {
        ("--completion", ""): set(completion.SHELLS),
        ("night", "--units", ""): {"us", "si"},
        ("night", ""): {"camp.toml", "overlays"},
        ("night", "camp.toml", "--with", "c"): {"camp.toml"},
        ("night", "--out", ""): {"overlays"},
        ("compare", "camp.toml", "--set", "outdoors.win"): {"outdoors.wind="},
        ("explain", "shelter.windo"): keys("shelter.windo"),
        ("explain", "sto"): {"stoking", "stove"} | keys("sto"),
    }  # fmt: skip
    assert answers(scripts["bash"], tmp_path, [list(it) for it in asked]) == list(asked.values())


@pytest.mark.parametrize("shell", completion.SHELLS)
def test_every_verb_and_option_is_in_it(shell: str, scripts: dict[str, str]) -> None:
    options = {text for verb in VERBS.values() for action in verb._actions for text in action.option_strings}
    long = {text[2:] for text in options if text.startswith("--")}
    assert not [name for name in [*VERBS, *long] if name not in scripts[shell]]


@pytest.mark.skipif(not shutil.which("fish"), reason="fish is not installed")
def test_a_real_fish(scripts: dict[str, str], tmp_path: Path) -> None:
    file = tmp_path / "simtent.fish"
    file.write_text(scripts["fish"], encoding="utf-8")
    command = (
        f"source {file}; complete -C 'simtent night --un'; complete -C 'simtent night --set outdoors.win'"
    )
    done = subprocess.run(["fish", "-N", "-c", command], capture_output=True, text=True, check=True)
    assert [line.split("\t")[0] for line in done.stdout.splitlines()] == ["--units", "outdoors.wind="]


def test_without_the_library(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: object) -> object:
        if name == "shtab":
            raise ImportError
        return real(name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", missing)
    assert main(["--completion", "bash"]) == 2
    assert "pip install 'simtent[completion]'" in capsys.readouterr().err


def test_it_is_loaded_only_when_asked_for() -> None:
    code = "import sys; from simtent.cli import main; main([]); print('shtab' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "False"
