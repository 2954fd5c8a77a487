"""What a night costs by three drivers: SciPy's odeint (LSODA), SUNDIALS' CVODE, and our own compiled one.

    python tests/benchmarks/drivers.py [--json FILE] [SCENARIO ...]

Each integrates the same right-hand side and Jacobian from stop to stop at several tolerances; what is told is the
processor time of a night, the best of some runs, the worst error of air and skins (in the open, of the stove) at the
times reported, against Radau at rtol 1e-9, and the right-hand sides outside of Jacobians; then the time each needs for
0.02 K, read between its own points on logarithms. Times compare within one run only. CVODE is left out of nights
with rules. Radau takes minutes; its answers are not kept.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from threadpoolctl import threadpool_limits

from simtent.assembly.assemble import assemble
from simtent.driver import METHOD, drive
from simtent.network import Accuracy
from simtent.network.kernels import node_temperatures
from simtent.run import Run, run
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from tests.fire.burns import STORY
from tests.fire.by_cvode import by_cvode
from tests.simulate.cases import SHIPPED

TRUTH = Accuracy("Radau", 1e-9, 1e-7)
ASKED = 0.02  # K
REPEATS = 3
SCIPY = (3e-5, 1e-5, 3e-6, 1e-6)
CVODES = (1e-4, 1e-5, 3e-6, 1e-6, 3e-7)
OURS = (1e-5, 5e-6, 3e-6, 1e-6, 3e-7)
ATOL_PER_RTOL = 100.0  # K


def of_cvode(scenario: Scenario, times: np.ndarray, rtol: float) -> tuple[np.ndarray, int]:
    """Temperatures and calls of a night by CVODE."""
    states, calls = by_cvode(scenario, times, rtol, ATOL_PER_RTOL * rtol)
    return node_temperatures(assemble(scenario).shelter.net, states), calls


def timed(work: Callable[[], tuple[np.ndarray, int]]) -> tuple[float, np.ndarray, int]:
    """Least processor time [ms] of some runs, and what they gave."""
    work()
    least = np.inf
    for _ in range(REPEATS):
        begin = time.process_time()
        found, calls = work()
        least = min(least, time.process_time() - begin)
    return 1e3 * least, found, calls


def seen(night: Run) -> list[int]:
    """Nodes of air and skins; in the open, of the stove's body."""
    house = night.model.house
    if house is None:
        assert night.model.hearth is not None
        return [night.model.hearth.body]
    return [*house.layers, *house.surfaces.values()]


def of_run(night: Run) -> tuple[np.ndarray, int]:
    """Temperatures and calls of a night."""
    return night.temperatures, night.solution.calls


def time_for(rows: list[dict[str, float]], asked: float) -> float:
    """Time at which a driver reaches an accuracy, between its points; the least of all that reach it anyway."""
    ordered = sorted(rows, key=lambda row: row["error"])
    errors, times = (np.log([row[name] for row in ordered]) for name in ("error", "ms"))
    if not errors[0] <= np.log(asked):
        return float("nan")
    reached = [row["ms"] for row in rows if row["error"] <= asked]
    return min(float(np.exp(np.interp(np.log(asked), errors, times))), *reached)


def compare(path: Path) -> dict[str, object]:
    """All drivers on one scenario."""
    scenario = load(path)
    truth = run(scenario, accuracy=TRUTH)
    nodes, times = seen(truth), truth.solution.times
    ways: dict[str, tuple[tuple[float, ...], Callable[[float], tuple[np.ndarray, int]]]] = {
        "odeint": (SCIPY, lambda r: of_run(run(scenario, accuracy=Accuracy("LSODA", r, ATOL_PER_RTOL * r)))),
        "CVODE": (CVODES, lambda r: of_cvode(scenario, times, r)),
        "ours": (OURS, lambda r: of_run(drive(scenario, accuracy=Accuracy(METHOD, r, ATOL_PER_RTOL * r)))),
    }
    if truth.tending is not None and truth.tending.watches:
        del ways["CVODE"]
    found: dict[str, list[dict[str, float]]] = {name: [] for name in ways}
    print(f"\n{path.stem}\n{'driver':8} {'rtol':>7} {'ms':>8} {'error K':>9} {'calls':>7}")
    for name, (tolerances_, work) in ways.items():
        for rtol in tolerances_:
            ms, temperatures, calls = timed(lambda work=work, rtol=rtol: work(rtol))
            error = float(np.abs(temperatures - truth.temperatures)[:, nodes].max())
            found[name].append({"rtol": rtol, "ms": ms, "error": error, "calls": calls})
            print(f"{name:8} {rtol:7.0e} {ms:8.1f} {error:9.4f} {calls:7d}", flush=True)
    needed = {name: time_for(rows, ASKED) for name, rows in found.items()}
    words = ", ".join(f"{name} {ms:.0f} ms ({ms / needed['ours']:.1f})" for name, ms in needed.items())
    print(f"for {ASKED} K: {words}", flush=True)
    return {"runs": found, "for_0.02_K": needed}


def main() -> None:
    """Print the tables, and write them where asked."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--json", type=Path)
    parser.add_argument("scenarios", nargs="*", type=Path)
    given = parser.parse_args()
    with threadpool_limits(limits=1, user_api="blas"):
        found = {path.stem: compare(path) for path in given.scenarios or [*SHIPPED, STORY]}
    if given.json:
        given.json.write_text(json.dumps(found, indent=1))


if __name__ == "__main__":
    main()
