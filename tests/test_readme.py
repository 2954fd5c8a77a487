"""The README's answers are what the commands print today."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.slow
def test_console_blocks_are_real_output():
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
    assert "simtent night scenarios/larch_bench.toml" in blocks[0]
    assert blocks[1].rstrip().endswith(".venv/bin/pytest")
