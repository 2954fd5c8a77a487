"""Print what studies cost: speed-up by workers, cost of a night by their number, memory. Not a test.

python tests/benchmarks/studies.py [--nights N] [--scenario FILE] [--real] [--json FILE]

Figures depend on the machine; compare ratios within one run, on a machine that does nothing else. A study runs in a
process of its own, so that the peak of its memory is its own. With cheap nights all that is spent is the study's;
with `--real` nights are solved at every number of nights, which takes long.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import simtent
from tests.studies import cheap

ROOT = Path(__file__).parents[2]
SCENARIO = ROOT / "scenarios" / "larch_bench.toml"
MANY = (100, 1_000, 10_000)
MEGABYTE = 1024.0  # kB, the unit of ru_maxrss and of /proc


def shifts(count):
    """Variations, each a little colder, from 0 to 10 K whatever their number: nights of one kind cost alike."""
    return [{"outdoors.shift": f"{-10.0 * n / count:.4f} degC"} for n in range(count)]


def study(options):
    """Solve one study in this process, and print what it took as JSON: what the parent asked for."""
    base, variations = simtent.load(options.scenario), shifts(options.count)
    night = cheap.formula if options.cheap else None
    memory, ended = {"worker_mb": 0.0, "all_mb": 0.0}, threading.Event()
    watch = threading.Thread(target=watched, args=(memory, ended))
    watch.start()
    begin = time.perf_counter()
    simtent.study(base, options.folder, variations, night=night, workers=options.workers, quiet=True)
    wall = time.perf_counter() - begin
    ended.set()
    watch.join()
    own, workers = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    told = {
        "wall_s": wall,
        "processor_s": sum(used.ru_utime + used.ru_stime for used in (own, workers)),
        "parent_mb": own.ru_maxrss / MEGABYTE,
        **memory,
    }
    print(json.dumps(told))


def watched(memory, ended):
    """Note the peak of the largest worker, and of all processes with what they share counted once [MB]; Linux only."""
    while not ended.wait(0.25):
        own, workers = os.getpid(), []
        for thread in Path(
            f"/proc/{own}/task"
        ).iterdir():  # workers are children of those that attend to them
            try:
                workers += (thread / "children").read_text().split()
            except OSError:
                continue
        peaks = [from_proc(pid, "status", "VmHWM") for pid in workers]
        memory["worker_mb"] = max(memory["worker_mb"], *peaks, 0.0)
        shares = [from_proc(pid, "smaps_rollup", "Pss") for pid in (own, *workers)]
        memory["all_mb"] = max(memory["all_mb"], sum(shares))


def from_proc(pid, file, key):
    """A size that the system tells of a process [MB]; 0 where it is gone."""
    try:
        lines = Path(f"/proc/{pid}/{file}").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(float(line.split()[1]) for line in lines if line.startswith(f"{key}:")) / MEGABYTE


def solved(options, count, workers, *, cheap_nights=False):
    """What a study in a process of its own took: wall-clock and processor time [s], peaks of memory [MB]."""
    with tempfile.TemporaryDirectory() as folder:
        command = [
            sys.executable, __file__, "--scenario", options.scenario, "--folder", f"{folder}/study",
            "--count", str(count), "--workers", str(workers), *(["--cheap"] if cheap_nights else []),
        ]  # fmt: skip
        found = subprocess.run(command, check=True, capture_output=True, text=True, env=os.environ)
    return json.loads(found.stdout.splitlines()[-1])


def speed_up(options):
    """Real nights on one and on two workers, without the start: what as many nights as workers take."""
    solved(options, 1, 1)  # compiled and kept for all
    rows, count = {}, options.nights
    for workers in (1, 2):
        start, whole = (solved(options, number, workers) for number in (workers, workers + count))
        rows[workers] = {
            "start_s": start["wall_s"],
            "wall_s": whole["wall_s"] - start["wall_s"],
            "processor_s": whole["processor_s"] - start["processor_s"],
        }
    print(f"{count} nights of {Path(options.scenario).stem}")
    print(f"{'workers':>8} {'start s':>8} {'s':>8} {'ms a night':>11} {'processor ms a night':>21}")
    for workers, row in rows.items():
        each, busy = row["wall_s"] / count * 1e3, row["processor_s"] / count * 1e3
        print(f"{workers:8} {row['start_s']:8.2f} {row['wall_s']:8.2f} {each:11.2f} {busy:21.2f}")
    gain = rows[1]["wall_s"] / rows[2]["wall_s"]
    busy = rows[1]["processor_s"] / rows[2]["processor_s"]
    print(f"speed-up from 1 to 2 workers: {gain:.2f} ({gain / 2.0:.0%} of linear)")
    print(f"by processor time, where other work shares the cores: {2.0 * busy:.2f} ({busy:.0%})")
    return {"workers": rows, "speed_up": gain, "by_processor_time": 2.0 * busy}


def by_number(options, *, cheap_nights):
    """Cost of a night and peaks of memory by the number of nights, the start of a study apart."""
    start = solved(options, 2, 2, cheap_nights=cheap_nights)
    print(f"\n{'cheap' if cheap_nights else 'real'} nights, 2 workers")
    print(
        f"{'nights':>8} {'s':>8} {'ms a night':>11} {'processor ms a night':>21} {'peak MB, parent':>16} "
        f"{'largest worker':>15} {'all':>6}"
    )
    rows = {}
    for count in MANY:
        row = solved(options, count, 2, cheap_nights=cheap_nights)
        row["ms_a_night"] = (row["wall_s"] - start["wall_s"]) / (count - 2) * 1e3
        row["processor_ms_a_night"] = (row["processor_s"] - start["processor_s"]) / (count - 2) * 1e3
        print(
            f"{count:8} {row['wall_s']:8.2f} {row['ms_a_night']:11.3f} {row['processor_ms_a_night']:21.3f} "
            f"{row['parent_mb']:16.0f} {row['worker_mb']:15.0f} {row['all_mb']:6.0f}"
        )
        rows[str(count)] = row
    return rows


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--nights", type=int, default=200, help="real nights for the speed-up")
    parser.add_argument("--scenario", default=str(SCENARIO), metavar="FILE")
    parser.add_argument("--real", action="store_true", help="solve 100, 1,000 and 10,000 real nights too")
    parser.add_argument("--json", type=Path, metavar="FILE")
    for name in ("--folder", "--count", "--workers", "--cheap"):  # of a process that solves one study for us
        kind = {"action": "store_true"} if name == "--cheap" else {"type": str if name == "--folder" else int}
        parser.add_argument(name, help=argparse.SUPPRESS, **kind)
    options = parser.parse_args()
    if options.folder:
        study(options)
        return
    found = {"real": speed_up(options), "own": by_number(options, cheap_nights=True)}
    if options.real:
        found["real_by_number"] = by_number(options, cheap_nights=False)
    if options.json:
        options.json.write_text(json.dumps(found, indent=1))


if __name__ == "__main__":
    main()
