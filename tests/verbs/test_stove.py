"""The verb stove: what it prints and writes, and what it refuses."""

import re
from argparse import Namespace
from pathlib import Path

import pytest

from simtent.cli import main
from simtent.scenario.load import load
from simtent.tell import frame
from simtent.tell.cautions import TITLE
from simtent.verbs.stove_asked import wanted
from tests.scenario.example import FIRE, OPEN, TEXT, written
from tests.sizing.camps import BOX
from tests.tell.pages import read, said

ROOT = Path(__file__).parents[2]
STORY = ROOT / "tests" / "fire" / "story.toml"


def refused(arguments, capsys):
    assert main(["stove", *map(str, arguments)]) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err and told.out == ""
    return told.err.splitlines()


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--low", "cold"], "--low"),
        (["--low", "-12"], "--low"),
        (["--low=-200degC"], "--low: out of range"),
        (["--wind", "40 m/s"], "--wind: out of range"),
        (["--wind", "5 degC"], "--wind"),
        (["--every", "10 min"], "--every: out of range"),
        (["--every", "8 h"], "--every: out of range"),
        (["--volume", "1 L"], "--volume: out of range"),
        (["--volume", "20 L,"], "--volume"),
        (["--volume", ",".join(f"{n} L" for n in range(10, 21))], "--volume: 11 values are given"),
        (["--stove", "sheet"], "--stove: a key of [stove] and its value are wanted"),
        (["--stove", "firebox.length=50 cm"], "firebox.length: a class has the firebox of its volume"),
        (["--stove", "like=wall-tent stove"], "like: a class has the firebox of its volume"),
        (["--stove", "sheet=2 mm gold"], "--stove, stove.sheet"),
        (["--stove", "shet=2 mm steel"], "--stove, stove.shet"),
        (["--stove", "mass=300 kg"], "--stove, stove.mass: out of range"),
    ],
)
def test_one_message_for_each_bad_option(tmp_path, capsys, options, words):
    lines = refused([written(tmp_path, BOX), *options], capsys)
    assert len(lines) == 1 and words in lines[0], lines
    assert sorted(path.name for path in tmp_path.iterdir()) == ["camp.toml"]


def test_scenarios_that_cannot_be_asked_this(tmp_path, capsys):
    (line,) = refused([written(tmp_path, TEXT)], capsys)
    assert "wish.cot_at_least: nothing says how warm it is wanted" in line
    (line,) = refused([written(tmp_path, OPEN)], capsys)
    assert "no shelter to be large enough for" in line
    assert len(refused([tmp_path / "none.toml", "--low", "cold", "--wind", "fast"], capsys)) == 3


def test_all_faults_at_once_and_a_folder_that_is_not_there(tmp_path, capsys):
    lines = refused(
        [written(tmp_path, BOX), "--low", "x", "--wind", "y", "--every", "z", "--out", tmp_path / "no"],
        capsys,
    )
    assert len(lines) == 4


def test_the_coldest_and_the_windiest_decide(tmp_path):
    scenario = load(written(tmp_path, BOX))
    given = {"low": ["-5 degC,-20 degC", "-10 degC"], "wind": ["3 m/s", "1 m/s"], "every": ["3 h", "90 min"]}
    asked = wanted(Namespace(**given, volume=["30 L", "1 ft3"], stove=["mass=9 kg", "baffle=true"]), scenario)
    assert [air - 273.15 for air in asked.lows] == pytest.approx([-20.0, -10.0, -5.0])
    assert asked.winds == (1.0, 3.0) and asked.wind == 3.0 and asked.every == (1.5, 3.0)
    assert asked.volumes == pytest.approx((0.028316847, 0.03))
    assert asked.changed == {"mass": "9 kg", "baffle": True}
    usual = wanted(Namespace(low=[], wind=[], every=[], volume=[], stove=[]), scenario)
    assert usual.lows == (263.15,) and usual.winds == (0.0, 4.0) and usual.wind == 4.0
    assert usual.every == (2.0, 3.0, 4.0) and usual.volumes == ()


def test_a_foreign_picture_is_not_written_over(tmp_path, capsys):
    path = written(tmp_path, BOX)
    (tmp_path / "camp.stove.png").write_bytes(b"mine")
    (line,) = refused([path], capsys)
    assert "is in the way" in line and (tmp_path / "camp.stove.png").read_bytes() == b"mine"


@pytest.mark.compiled
@pytest.mark.parametrize(
    "text", [BOX, FIRE.replace('bed = "21:30"', 'bed = "21:30"\ncot_at_least = "2 degC"')]
)
def test_a_night_is_told(tmp_path, capsys, monkeypatch, text):
    """With a known heat, and with a stove, its damper, its rule and its own pieces."""
    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 60)
    arguments = [written(tmp_path, text), "--volume", "12 L,30 L", "--every", "2 h", "--wind", "2 m/s"]
    assert (
        main(["stove", *map(str, arguments), "--units", "si", "--page", "--stove", "sheet=2 mm steel"]) == 0
    )
    told = capsys.readouterr()
    assert told.out.startswith(TITLE) and max(map(len, told.out.splitlines())) <= 80
    assert "2 mm steel" in told.out and "maker's manual" in told.out
    rows = re.findall(r"^(12 L|30 L|29.2 L \(yours\)) ", told.out, re.MULTILINE)
    assert len(rows) == (4 if text is BOX else 6)
    assert told.err.rstrip().endswith("camp.stove.html")
    document = read((tmp_path / "camp.stove.html").read_bytes())
    said(document, told.out[told.out.index("Heat that holds") :].splitlines())
    assert frame.scenario_of(tmp_path / "camp.stove.png") in ("Foam box", "Test camp")


@pytest.mark.slow
@pytest.mark.compiled
def test_design_nights_decide(tmp_path, capsys, monkeypatch):
    """Colder and windier design nights never let a smaller stove do."""
    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 60)
    smallest = []
    for low, wind in (("-5 degC", "1 m/s"), ("-12 degC", "1 m/s"), ("-12 degC", "5 m/s")):
        arguments = [STORY, "--out", tmp_path, f"--low={low}", "--wind", wind, "--every", "2 h", "--quiet"]
        assert main(["stove", *map(str, arguments), "--units", "si"]) == 0
        text = " ".join(capsys.readouterr().out.split())
        found = re.search(r"that holds it is a stove of (\d+) L", text)
        smallest.append(float(found[1]) if found else float("inf"))
    assert smallest == sorted(smallest) and smallest[0] < smallest[-1]
