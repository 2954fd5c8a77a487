"""Cost of a night with a fire: our solver against SUNDIALS' CVODE at the same achieved accuracy.

    python tests/benchmarks/fire.py

Both integrate the same compiled right-hand side with the same compiled Jacobian from stop to stop; what is timed is
processor time, the best of some runs, and told as a ratio of one run. Achieved accuracy is the largest miss of any
layer of air against a run at a tolerance far below both. The time each solver needs for a given accuracy is read
between its own points, on logarithms.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from simtent.network import Accuracy
from simtent.run import run
from simtent.scenario.load import load
from tests.fire.by_cvode import by_cvode
from tests.fire.twelve import TWELVE

TOLERANCES = (1e-4, 1e-5, 1e-6, 1e-7, 1e-8)
ATOL_PER_RTOL = 100.0  # K
ASKED = 0.05  # K, the accuracy every night must have
REPEATS = 5


def best(work: Callable[[], np.ndarray]) -> tuple[float, np.ndarray]:
    """Least processor time [s] of some runs, and what they gave."""
    least, answer = 1e9, np.zeros(0)
    for _ in range(REPEATS):
        begin = time.process_time()
        answer = work()
        least = min(least, time.process_time() - begin)
    return least, answer


def time_for(misses: list[float], times: list[float], asked: float) -> float:
    """Time at which a solver reaches an accuracy, between its points; the least of all that reach it anyway."""
    reached = [t for miss, t in zip(misses, times, strict=True) if miss <= asked]
    order = np.argsort(misses)
    between = np.interp(np.log(asked), np.log(np.array(misses)[order]), np.log(np.array(times)[order]))
    return min([float(np.exp(between)), *reached])


def main() -> None:
    """Print the table."""
    night = load(TWELVE)
    truth = run(night, accuracy=Accuracy("LSODA", 1e-10, 1e-8))
    times, layers = truth.solution.times, truth.air.shape[1]
    exact = truth.air
    ours: tuple[list[float], list[float]] = ([], [])
    theirs: tuple[list[float], list[float]] = ([], [])
    print(f"{'rtol':>7} {'LSODA s':>9} {'miss K':>9} {'CVODE s':>9} {'miss K':>9}")
    for rtol in TOLERANCES:
        atol = ATOL_PER_RTOL * rtol
        seconds, states = best(lambda r=rtol, a=atol: run(night, accuracy=Accuracy("LSODA", r, a)).air)
        miss = float(np.abs(states - exact).max())
        ours[0].append(miss)
        ours[1].append(seconds)
        other, found = best(lambda r=rtol, a=atol: by_cvode(night, times, r, a)[0][:, :layers])
        far = float(np.abs(found - exact).max())
        theirs[0].append(far)
        theirs[1].append(other)
        print(f"{rtol:7.0e} {seconds:9.3f} {miss:9.2g} {other:9.3f} {far:9.2g}")
    for asked in (ASKED, 0.01, 0.001):
        a, b = time_for(*ours, asked), time_for(*theirs, asked)
        print(f"at {asked:g} K: {a:.3f} s and {b:.3f} s, ratio LSODA / CVODE {a / b:.2f}")


if __name__ == "__main__":
    main()
