"""Terminals of all kinds: without Unicode, without colour, narrow; the help of every verb; `python -m simtent`."""

import argparse
import importlib
import io
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from simtent import results
from simtent.arguments.parser import parser
from simtent.assess.findings import to_values
from simtent.assess.judge import assess
from simtent.cli import main
from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.tell.signs import BLOCKS
from tests import fake_fire, fake_night

ROOT = Path(__file__).parents[1]
BELL = ROOT / "scenarios" / "sedge_hollow.toml"
POOR = {
    "ascii": {"PYTHONIOENCODING": "ascii"},
    "cp437": {"PYTHONIOENCODING": "cp437"},
    "cp1252": {"PYTHONIOENCODING": "cp1252"},
    "C": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
}
VERBS = next(it for it in parser()._actions if isinstance(it, argparse._SubParsersAction)).choices


def process(*arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    here = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("LC_", "LANG", "PYTHONUTF8"))
    }
    command = [sys.executable, "-m", "simtent", *arguments]
    return subprocess.run(command, capture_output=True, check=False, env={**here, **environment})


@pytest.fixture
def hut(tmp_path: Path) -> Path:
    """A scenario whose name, folder and file have signs that old code pages lack."""
    folder = tmp_path / "Große Hütte"
    folder.mkdir()
    file = folder / "Bärensee.toml"
    text = fake_fire.SCENARIO.replace('"Paper stove"', '"Große Hütte – Łódź"')  # noqa: RUF001
    file.write_text(text, encoding="utf-8")
    assert load(file).name == "Große Hütte – Łódź"  # noqa: RUF001
    return file


# Without Unicode.


@pytest.mark.parametrize("name", POOR)
def test_a_process_that_has_no_unicode(name: str, hut: Path) -> None:
    encoding = POOR[name].get("PYTHONIOENCODING", "ascii")
    good = process("check", str(hut), **POOR[name])
    assert good.returncode == 0, good.stderr
    told = good.stdout.decode(encoding)
    naming = [line for line in told.splitlines() if "rensee.toml" in line]
    assert naming and not any(sign in line for line in naming for sign in "?\\")
    bad = process("check", str(hut.with_name("Bärensea.toml")), **POOR[name])
    assert bad.returncode == 2 and b"Traceback" not in bad.stderr
    assert "Bärensee.toml" in bad.stderr.decode(encoding) or "B\\xe4rensee.toml" in bad.stderr.decode(
        encoding
    )
    refused = process("night", str(hut), "--größe", **POOR[name])
    assert refused.returncode == 2 and b"Traceback" not in refused.stderr


def test_what_is_typed_in_a_poor_locale_is_kept_as_utf8(tmp_path: Path) -> None:
    file = tmp_path / "Bärensee.toml"
    done = process("new", str(file), "--like", "large bell", **POOR["C"])
    assert done.returncode == 0, done.stderr
    assert load(file).name == "Bärensee"
    named = process("check", str(file), "--set", "name=Große Hütte", **POOR["C"])
    assert named.returncode == 0, named.stderr


def test_a_file_that_the_locale_cannot_name(tmp_path: Path) -> None:
    (tmp_path / "Straße.csv").write_text("time,air\n", encoding="utf-8")
    file = fake_night.scenario_file(tmp_path)
    dated = 'outdoors.file={ path = "Straße.csv", columns = { air = "air" }, units = { air = "degC" } }'
    settings = [part for key in ("steady", "high", "low") for part in ("--set", f"outdoors.{key}=none")]
    done = process("check", str(file), *settings, "--set", dated, **POOR["C"])
    assert done.returncode == 2 and b"Traceback" not in done.stderr
    assert b"line 7, outdoors: " in done.stderr and b"Stra\\xdfe.csv" in done.stderr


def test_a_name_that_cannot_be_opened_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("simtent.verbs.check.run", lambda _: "Straße.csv".encode("ascii"))
    assert main(["check", str(BELL)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert "locale cannot name" in line and "Given: ß." in line and "PYTHONUTF8=1" in line


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "utf-8"])
def test_a_night_told_in_an_encoding(encoding: str, hut: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def simulate(scenario):
        night = fake_fire.night(5.0, name=scenario.name)
        return results.extend(night, *to_values(assess(scenario, night)))

    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", simulate)
    out = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, encoding=encoding, errors="strict"))
    assert main(["night", str(hut), "--quiet"]) == 0
    sys.stdout.flush()
    told = out.getvalue().decode(encoding)
    assert {"ascii": "Grosse Hutte - Lodz", "cp437": "Große Hütte - Lódz", "cp1252": "Große Hütte – Lódz",  # noqa: RUF001
            "utf-8": "Große Hütte – Łódź"}[encoding] in told  # fmt: skip  # noqa: RUF001
    assert (BLOCKS[0] in told) == (encoding == "utf-8")
    assert "\nhead  " in told and "\nloads " in told


# Without colour, and narrow.


@pytest.mark.parametrize(
    ("environment", "escapes"),
    [
        ({"TERM": "dumb"}, False),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, None),
        ({"TERM": "xterm"}, True),
    ],
)
def test_a_terminal(environment: dict[str, str], escapes: bool | None) -> None:
    ours, its = pty.openpty()
    here = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS")}
    command = [sys.executable, "-m", "simtent", "check", str(BELL)]
    with subprocess.Popen(command, stdout=its, stderr=its, env={**here, **environment}) as running:
        os.close(its)
        told = b""
        try:
            while part := os.read(ours, 65536):
                told += part
        except OSError:  # the end of a terminal
            pass
        assert running.wait() == 0
    os.close(ours)
    assert b"\x1b[3" not in told and b"CAUTION" in told  # no colours in any
    if escapes is not None:
        assert (b"\x1b[1m" in told) == escapes  # bold


def test_a_pipe_gets_plain_text_as_wide_as_it_is_told() -> None:
    for columns in ("60", "70", "200", "20"):
        told = process("check", str(BELL), COLUMNS=columns).stdout.decode()
        assert "\x1b" not in told
        assert max(map(len, told.splitlines())) <= min(max(int(columns), 60), 80)


# Help, and the program's name.


@pytest.mark.parametrize("columns", [60, 80])
def test_help_fits(columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for name, help_of in [("", parser()), *VERBS.items()]:
        told = help_of.format_help()
        assert told.isascii() and told.startswith(f"usage: simtent {name}".strip())
        assert max(map(len, told.splitlines())) <= columns, name


def test_as_a_module_it_has_the_same_name() -> None:
    for arguments in (["--help"], ["night", "--help"]):
        told = process(*arguments, COLUMNS="80").stdout.decode()
        assert told.startswith(f"usage: simtent {arguments[0] if len(arguments) > 1 else ''}".strip())
        assert "__main__" not in told and "python" not in told.partition("\n")[0]
    assert b"simtent night" in process("camp.toml").stderr


# The next command.


def test_the_next_command_is_named_once_and_not_when_quiet(
    hut: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    night = fake_fire.night(5.0, name=load(hut).name)
    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", lambda scenario: night)
    more = ["--set", "wish.bed=21:00", "--set", "wish.rise=06:30", "--set", "wish.cot_at_least=4 degC"]
    assert main(["night", str(hut), *more]) == 0
    (line,) = [it for it in capsys.readouterr().err.splitlines() if it.startswith("Next: ")]
    assert line.startswith(f"Next: simtent stoke '{hut}' --set wish.bed=21:00 ")
    assert "'wish.cot_at_least=4 degC'" in line
    assert main(["night", str(hut), *more, "--quiet"]) == 0
    assert "Next" not in capsys.readouterr().err


def test_heights_where_nothing_can_be_planned(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    night = fake_night.night(5.0)
    monkeypatch.setattr(importlib.import_module("simtent.simulate"), "simulate", lambda scenario: night)
    assert main(["night", str(fake_night.scenario_file(tmp_path))]) == 0
    assert capsys.readouterr().err.splitlines()[-1].startswith("Next: simtent heights ")


def test_commands_that_are_named_exist() -> None:
    from simtent.verbs import afterwards  # noqa: PLC0415

    options = argparse.Namespace(file=Path("a b.toml"), overlays=[Path("c.toml")], settings=["name=x y"])
    for verb in ("check", "night", "heights", "stoke", "wood", "compare", "fit"):
        import shlex  # noqa: PLC0415

        given = shlex.split(afterwards.command(options, verb))[1:]
        asked = parser().parse_args(given)
        assert (asked.verb, asked.file, asked.overlays, asked.settings) == (
            verb, options.file, options.overlays, options.settings
        )  # fmt: skip
    with pytest.raises(InputError):
        load(Path("a b.toml"))
