"""Run README.md's console commands and put their real output in, and its pictures; with --check, only compare.

In a comparison a number may differ by one unit of its last digit: processors round differently.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
BLOCK = re.compile(r"```console\n(\$ .*?)```", flags=re.DOTALL)
NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e-?\d+)?")

NIGHT = "simtent night scenarios/sedge_hollow.toml --air-at 02:00 --quiet"
PICTURES = {  # as it is kept: as it is drawn
    ROOT / "scenarios" / "sedge_hollow.png": "scenarios/sedge_hollow.night.png",
    ROOT / "scenarios" / "sedge_hollow_air.png": "scenarios/sedge_hollow.night.air.png",
    ROOT
    / "scenarios"
    / "sedge_hollow_heights.png": "scenarios/sedge_hollow.heights.png",  # by a block of its own
}
WIDTH = 585  # pixels, for a phone 390 points wide
COLOURS = 256
APART = 0.4  # grey levels of 255, mean over the picture


def run(command: str, folder: Path) -> str:
    """What the command prints, in a folder with a copy of the scenarios."""
    environment = {**os.environ, "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}
    done = subprocess.run(
        command, shell=True, cwd=folder, env=environment, text=True, capture_output=True, check=False
    )
    return "\n".join(line.rstrip() for line in (done.stdout + done.stderr).splitlines()) + "\n"


def answers(block: str, folder: Path) -> str:
    """A console block with what each of its commands prints today."""
    commands = [line for line in block.splitlines() if line.startswith("$ ")]
    return "".join(f"{line}\n{run(line[2:], folder)}" for line in commands)


def alike(one: str, other: str) -> bool:
    """The same words, and numbers within one unit of the last digit printed."""
    if NUMBER.sub("#", one) != NUMBER.sub("#", other):
        return False
    return all(map(close, NUMBER.findall(one), NUMBER.findall(other)))


def close(one: str, other: str) -> bool:
    """One unit of the last digit apart at most; powers of ten (a residual) by their presence only."""
    if "e" in one or "e" in other:
        return True
    decimals = len(one.partition(".")[2])
    return abs(float(one) - float(other)) <= 1.01 * max(10.0**-decimals, 2e-3 * float(one))


def picture(drawn_in: Path) -> bytes:
    """A picture small enough to be kept."""
    with Image.open(drawn_in) as drawn:
        small = drawn.convert("RGB").resize(
            (WIDTH, WIDTH * drawn.height // drawn.width), Image.Resampling.LANCZOS
        )
    buffer = BytesIO()
    small.quantize(COLOURS).save(buffer, "PNG", optimize=True)
    return buffer.getvalue()


def looks_alike(one: bytes, other: bytes) -> bool:
    """Whether two pictures are of one size and, but for the drawing of single pixels, the same."""
    grey = [np.asarray(Image.open(BytesIO(data)).convert("L"), float) for data in (one, other)]
    return grey[0].shape == grey[1].shape and float(np.abs(grey[0] - grey[1]).mean()) < APART


def main(check: bool) -> int:
    """Fill or compare."""
    text = README.read_text(encoding="utf-8")
    wrong = []
    unwanted = shutil.ignore_patterns("*.night.*", "*.heights.*")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "scenarios", folder / "scenarios", ignore=unwanted)

        def filled(found: re.Match[str]) -> str:
            printed = answers(found[1], folder)
            if not alike(found[1], printed):
                wrong.append(f"--- README\n{found[1]}--- now\n{printed}")
            return f"```console\n{printed}```"

        new = BLOCK.sub(filled, text)
        run(NIGHT, folder)
        pictures = {kept: picture(folder / drawn) for kept, drawn in PICTURES.items()}
    if not check:
        README.write_text(new, encoding="utf-8")
        for kept, drawn in pictures.items():
            kept.write_bytes(drawn)
        return 0
    wrong += [
        f"{kept.name} is not today's picture\n"
        for kept, drawn in pictures.items()
        if not looks_alike(kept.read_bytes(), drawn)
    ]
    print("\n".join(wrong), end="")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main("--check" in sys.argv))
