"""The README's answers and its picture are what the commands give today; what it shows of a file can be loaded."""

import importlib.util
import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from simtent.scenario.load import load

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
MAIN = "scenarios/sedge_hollow.toml"


@pytest.mark.slow
def test_console_blocks_and_picture_are_real_output():
    done = subprocess.run(
        [sys.executable, ROOT / ".ci" / "fill_readme.py", "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_first_two_commands_set_up_from_nothing():
    blocks = [
        subprocess.run(
            [sys.executable, ROOT / ".ci" / "readme_commands.py", number],
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for number in ("1", "2")
    ]
    assert all(block.startswith("python3 -m venv .venv && .venv/bin/pip install") for block in blocks)
    assert f"simtent night {MAIN}" in blocks[0]
    assert blocks[1].rstrip().endswith(".venv/bin/pytest")


def test_the_fire_it_shows_can_be_loaded(tmp_path):
    shown = [
        block for block in re.findall(r"```toml\n(.*?)```", README, flags=re.DOTALL) if "[stove]" in block
    ]
    assert len(shown) == 1
    overlay = tmp_path / "shown.toml"
    overlay.write_text(shown[0], encoding="utf-8")
    stoking = load(ROOT / MAIN, overlays=overlay).stoking
    assert (len(stoking.loads), len(stoking.settings), len(stoking.rules)) == (6, 1, 1)


def test_files_it_names_are_there():
    named = set(re.findall(r"[\w./]*/[\w./]*\.(?:toml|ipynb|png|nc)\b", README))
    assert MAIN in named
    assert not [name for name in named if ".night." not in name and not (ROOT / name).exists()]


def test_a_changed_number_or_picture_is_noticed():
    path = ROOT / ".ci" / "fill_readme.py"
    spec = importlib.util.spec_from_file_location("fill_readme", path)
    fill = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(fill)
    assert fill.alike("cot 35 degF at 06:30", "cot 36 degF at 06:30")
    assert not fill.alike("cot 35 degF at 06:30", "cot 39 degF at 06:30")
    assert not fill.alike("cot 35 degF", "head 35 degF")
    kept = next(iter(fill.PICTURES))
    drawn = kept.read_bytes()
    with Image.open(kept) as image:
        other = io.BytesIO()
        ImageChops.offset(image.convert("RGB"), 2, 0).save(other, "PNG")
    assert fill.looks_alike(drawn, drawn)
    assert not fill.looks_alike(drawn, other.getvalue())
