"""What a command costs before and besides its answer: processor time, modules imported, peak memory.

Run: python tests/benchmarks/startup.py [--cold]. With --cold the first night of an empty cache is measured too.
Wall time is left out: other work on the machine would be measured with it.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
SCENARIOS = ROOT / "scenarios"
COMMANDS = {
    "--help": ["--help"],
    "check larch_bench": ["check", str(SCENARIOS / "larch_bench.toml")],
    "night sedge_hollow": ["night", str(SCENARIOS / "sedge_hollow.toml"), "--quiet"],
}
# Runs in the process that is measured, and tells on the last line of what it prints.
MEASURE = """
import resource, sys
from simtent.cli import main
try:
    main()
except SystemExit:
    pass
spent = resource.getrusage(resource.RUSAGE_SELF)
print()
print(spent.ru_utime + spent.ru_stime, len(sys.modules), spent.ru_maxrss)
"""


class Cost(NamedTuple):
    """Of one command: processor time [s], modules in memory at its end, peak memory [MB]."""

    seconds: float
    modules: int
    megabytes: float


def measure(arguments: list[str], cache: str | None = None) -> Cost:
    """Run a command in a process of its own."""
    environment = {**os.environ, **({"SIMTENT_CACHE": cache} if cache else {})}
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, *arguments],
        capture_output=True,
        text=True,
        check=True,
        env=environment,
    )
    seconds, modules, peak = done.stdout.split("\n")[-2].split()
    unit = 1e6 if sys.platform == "darwin" else 1e3  # bytes there, kilobytes elsewhere
    return Cost(float(seconds), int(modules), float(peak) / unit)


def least(arguments: list[str], times: int) -> Cost:
    """The cheapest of several runs: others can only add to it."""
    return min(measure(arguments) for _ in range(times))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cold", action="store_true", help="also the first night of an empty cache")
    options = parser.parse_args()
    print(f"{'command':28}{'processor s':>12}{'modules':>9}{'peak MB':>9}")
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments in COMMANDS.items():
            out = ["--out", folder] if name.startswith("night") else []
            if out:
                measure(arguments + out)  # so that the cache is warm
            print(line(name, least(arguments + out, 2 if out else 5)))
        if options.cold:
            out = ["--out", folder]
            print(
                line("night, empty cache", measure(COMMANDS["night sedge_hollow"] + out, f"{folder}/cache"))
            )


def line(name: str, cost: Cost) -> str:
    """A row of the table."""
    return f"{name:28}{cost.seconds:12.2f}{cost.modules:9d}{cost.megabytes:9.0f}"


if __name__ == "__main__":
    main()
