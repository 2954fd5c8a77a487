"""How well derivatives are known, and what they cost: repeated steps against plain differences of adaptive nights.

    python tests/benchmarks/derivatives.py [known | fire | melting] [--keys KEY ...]

For every number that may be free in a short night: size of its column (root of the mean square over levels and times,
per its own size: K), the column's error over its norm with repeated steps, and with plain differences of two nights by
the same driver at several moves; all against nights by SciPy at rtol 1e-9 moved to both sides. Then processor time and
right-hand sides a column. Invented nights; times compare within one run only.
"""

import argparse
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from simtent.derivatives import derivatives, temperatures
from simtent.driver import drive
from simtent.errors import InputError
from simtent.scenario.free import Free, free, free_keys
from simtent.scenario.scenario import Scenario
from tests.simulate.moved_nights import fire, known_heat, melting, missed, tight

NIGHTS = {"known": known_heat, "fire": fire, "melting": melting}
MOVES = (1e-1, 1e-2, 1e-3, 1e-4)


def plainly(scenario: Scenario, it: Free, there: np.ndarray, move: float) -> np.ndarray:
    """A column by two nights with steps of their own; down where up is out of range."""
    for sign in (1.0, -1.0):
        try:
            other = scenario.replace(it.replacement(it.number + sign * move * it.size))
        except InputError:
            continue
        return sign * (temperatures(drive(other)).ravel() - there) / (move * it.size)
    return np.full(there.size, np.nan)


def table(name: str, keys: list[str]) -> None:
    """Print the errors of every column."""
    scenario = NIGHTS[name]()
    there = temperatures(drive(scenario)).ravel()
    print(f"{name:36s}{'size, K':>9s}{'repeated':>10s}" + "".join(f"{move:10.0e}" for move in MOVES))
    worst = []
    for key in keys or [key for key in free_keys(scenario) if not key.startswith("levels.")]:
        it = free(scenario, key)
        try:
            found = derivatives(scenario, [key]).matrix[:, 0]
        except InputError as refused:
            print(f"{key:36s} refused: {refused}")
            continue
        exact = tight(scenario, it)
        errors = [
            missed(found, exact),
            *(missed(plainly(scenario, it, there, move), exact) for move in MOVES),
        ]
        worst.append(errors)
        size = np.sqrt(np.mean((exact * it.size) ** 2))
        print(f"{key:36s}{size:9.4f}" + "".join(f"{100.0 * error:9.2f}%" for error in errors), flush=True)
    print(f"{'worst':45s}" + "".join(f"{100.0 * error:9.2f}%" for error in np.max(worst, axis=0)))


def costs(name: str) -> None:
    """Print processor time and right-hand sides of a night, a night that repeats its steps, and a column."""
    scenario = NIGHTS[name]()
    night = drive(scenario)
    for what, solve in (
        ("a night", lambda: drive(scenario)),
        ("one that repeats its steps", lambda: drive(scenario, replay=night.steps)),
    ):
        begin = time.process_time()
        calls = [solve().solution.calls for _ in range(5)].pop()
        print(f"{what:36s}{(time.process_time() - begin) / 5 * 1e3:8.1f} ms{calls:8d} calls")
    keys = ["model.walls"] * 20
    begin = time.process_time()
    derivatives(scenario, keys)
    print(f"{'a column, of 20':36s}{(time.process_time() - begin) / 20 * 1e3:8.1f} ms")


def main() -> None:
    """Read the arguments and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("nights", nargs="*", help="known, fire, melting; all without")
    parser.add_argument("--keys", nargs="*", default=[])
    given = parser.parse_args()
    for name in given.nights or NIGHTS:
        table(name, given.keys)
        costs(name)


if __name__ == "__main__":
    main()
