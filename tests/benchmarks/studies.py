"""Print what studies cost: speed-up by workers, cost of a night by their number, memory. Not a test.

python tests/benchmarks/studies.py [NIGHTS] [--json FILE]

Figures depend on the machine; compare ratios within one run, on a machine that does nothing else.
"""

import argparse
import json
import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

import simtent
from tests.studies import cheap

SCENARIO = Path(__file__).parents[2] / "scenarios" / "larch_bench.toml"
MANY = (100, 1000)


def solved(count, folder, workers, night=None):
    """Wall-clock time and processor time of all workers of a study [s]."""
    variations = cheap.shifts(count)
    begin, before = time.perf_counter(), processor_time()
    simtent.study(
        simtent.load(SCENARIO),
        Path(folder) / f"{count}_{workers}",
        variations,
        night=night,
        workers=workers,
        quiet=True,
    )
    return np.array([time.perf_counter() - begin, processor_time() - before])


def processor_time():
    """Of all processes that have ended [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def speed_up(count, folder):
    """Real nights on one and on two workers, the start of the workers (a study of so many nights as workers) apart."""
    solved(1, f"{folder}/warm", 1)  # compiled and kept for all
    rows = {}
    for workers in (1, 2):
        start = solved(workers, folder, workers)
        rows[workers] = (start, solved(count + workers, folder, workers) - start)
    print(f"{'workers':>8} {'start s':>8} {'s':>8} {'ms a night':>11} {'processor ms a night':>21}")
    for workers, (start, (spent, processor)) in rows.items():
        each, busy = spent / count * 1e3, processor / count * 1e3
        print(f"{workers:8} {start[0]:8.2f} {spent:8.2f} {each:11.1f} {busy:21.1f}")
    wall, processor = rows[1][1] / rows[2][1]
    print(f"speed-up from 1 to 2 workers: {wall:.2f} ({wall / 2.0:.0%} of linear)")
    print(f"by processor time, where other work shares the cores: {2.0 * processor:.2f} ({processor:.0%})")
    return {"speed_up": wall, "by_processor_time": 2.0 * processor}


def overhead(folder):
    """Nights of plain formulas: all that is spent is the study's own."""
    print(f"\n{'nights':>8} {'processor ms a night':>21} {'peak MB, parent':>16} {'largest worker':>15}")
    rows = {}
    for count in MANY:
        spent = solved(count, folder, 2, cheap.formula)[1] / count * 1e3
        own, worker = (
            resource.getrusage(who).ru_maxrss / 1024.0
            for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        )
        print(f"{count:8} {spent:21.2f} {own:16.0f} {worker:15.0f}")
        rows[str(count)] = {"ms_a_night": spent, "parent_mb": own, "worker_mb": worker}
    return rows


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("nights", type=int, nargs="?", default=40)
    parser.add_argument("--json", type=Path)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        found = {"real": speed_up(options.nights, folder), "own": overhead(Path(folder) / "own")}
    if options.json:
        options.json.write_text(json.dumps(found, indent=1))


if __name__ == "__main__":
    main()
