"""Run README.md's console commands and put their real output in; with --check, only compare.

In a comparison a number may differ by one unit of its last digit: processors round differently.
"""

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
BLOCK = re.compile(r"```console\n\$ ([^\n]*)\n(.*?)```", flags=re.DOTALL)
NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e-?\d+)?")


def output(command: str) -> str:
    """What the command prints, in a copy of the scenarios so that nothing is left behind."""
    environment = {**os.environ, "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}
    done = subprocess.run(
        command, shell=True, cwd=ROOT, env=environment, text=True, capture_output=True, check=False
    )
    return "\n".join(line.rstrip() for line in (done.stdout + done.stderr).splitlines()) + "\n"


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


def main(check: bool) -> int:
    """Fill or compare."""
    text = README.read_text(encoding="utf-8")
    wrong = []

    def filled(found: re.Match[str]) -> str:
        printed = output(found[1])
        if not alike(found[2], printed):
            wrong.append(f"{found[1]}\n--- README\n{found[2]}--- now\n{printed}")
        return f"```console\n$ {found[1]}\n{printed}```"

    new = BLOCK.sub(filled, text)
    if not check:
        README.write_text(new, encoding="utf-8")
        return 0
    print("\n".join(wrong), end="")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main("--check" in sys.argv))
