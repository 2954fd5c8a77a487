"""Print what a night costs: processes as a whole, and solvers side by side. Not a test; figures depend on the machine.

python tests/benchmarks/night.py
"""

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from simtent.assembly.assemble import assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.assembly.rhs import shelter_rhs
from simtent.network import Accuracy
from simtent.run import STANDARD, run
from simtent.scenario.load import load

SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.toml"))
REPEATS = 5


def process(*arguments: str, **environment: str) -> tuple[float, float]:
    """Processor time [s] and peak memory of all children so far [MB] of one command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "simtent", *arguments]
    subprocess.run(command, check=True, capture_output=True, env={**os.environ, **environment})
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent, after.ru_maxrss / 1024.0


def processes() -> None:
    """Whole commands: help, a warm night, the first night of an empty cache."""
    with tempfile.TemporaryDirectory() as out, tempfile.TemporaryDirectory() as cache:
        night = ("night", str(SCENARIOS[0]), "--out", out, "--quiet")
        first, _ = process(*night, SIMTENT_CACHE=cache)
        rows = {
            "--help": [process("--help") for _ in range(REPEATS)],
            "night, warm": [process(*night, SIMTENT_CACHE=cache) for _ in range(REPEATS)],
        }
    print(f"{'command':24} {'processor s, median':>20} {'peak MB':>8}")
    for name, runs in rows.items():
        print(f"{name:24} {np.median([r[0] for r in runs]):20.2f} {max(r[1] for r in runs):8.0f}")
    print(f"{'night, empty cache':24} {first:20.2f}")


def solvers() -> None:
    """Methods on the same right-hand side: time as a ratio to the standard, error against a tight run."""
    print(
        f"\n{'scenario':14} {'method':22} {'time/standard':>13} {'calls':>7} {'Jacobians':>9} {'air error K':>11}"
    )
    ways = {
        "standard": STANDARD,
        "LSODA 1e-5 / 1e-4": Accuracy(rtol=1e-5, atol=1e-4),
        "BDF": Accuracy(method="BDF"),
        "Radau": Accuracy(method="Radau"),
    }
    for path in SCENARIOS:
        scenario = load(path)
        tight = run(scenario, accuracy=Accuracy(rtol=1e-9, atol=1e-7)).solution
        layers = scenario.model.layers
        times = {}
        for name, accuracy in ways.items():
            begin = time.process_time()
            got = run(scenario, accuracy=accuracy).solution
            times[name] = time.process_time() - begin
            error = np.abs(got.states[:, :layers] - tight.states[:, :layers]).max()
            ratio = times[name] / times["standard"]
            print(f"{path.stem:14} {name:22} {ratio:13.2f} {got.calls:7} {got.jacobians:9} {error:11.4f}")


def kernels() -> None:
    """Microseconds of one right-hand side and one Jacobian, called from Python."""
    print(f"\n{'scenario':14} {'nodes':>6} {'rhs us':>8} {'Jacobian us':>12}")
    for path in SCENARIOS:
        model = assemble(load(path))
        rows = model.shelter.net.jumps.rows[0].copy()
        spent = []
        for function, count in ((shelter_rhs, 2000), (shelter_jacobian, 200)):
            function(0.0, model.start, model.shelter, rows)
            begin = time.perf_counter()
            for _ in range(count):
                function(0.0, model.start, model.shelter, rows)
            spent.append((time.perf_counter() - begin) / count * 1e6)
        print(f"{path.stem:14} {len(model.net.capacities):6} {spent[0]:8.1f} {spent[1]:12.0f}")


if __name__ == "__main__":
    processes()
    solvers()
    kernels()
