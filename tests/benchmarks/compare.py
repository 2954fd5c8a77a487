"""Twelve variants on one night, without draws and with them: wall time after warm-up. No test: it measures."""

import argparse
import time
from pathlib import Path

from simtent.comparing.compare import DRAWS, compared
from simtent.comparing.usual import applied
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario
from simtent.scenario.varied import Variant, of_changes

ROOT = Path(__file__).parents[2]
TWELVE = 12


def main() -> None:
    """Print the time of a shipped night with twelve variants, the best of several runs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("scenario", nargs="*", default=["larch_bench", "sedge_hollow"])
    parser.add_argument("--runs", type=int, default=3)
    options = parser.parse_args()
    for name in options.scenario:
        scenario = load(ROOT / "scenarios" / f"{name}.toml")
        variants = [it.variant for it in applied(scenario)][:TWELVE]
        walls = [it / 10.0 for it in range(8, 20)]
        while len(variants) < TWELVE:  # a night without a fire has fewer usual changes
            variants.append(_thicker(scenario, walls.pop()))
        compared(scenario, variants, draws=0)  # warm-up
        whole = min(_timed(scenario, variants, 0) for _ in range(options.runs))
        drawn = _timed(scenario, variants, DRAWS)
        for what, (wall, work) in (("none", whole), (f"{DRAWS}", drawn)):
            print(f"{name}, twelve variants, {what} drawn: {wall:.2f} s, {work:.2f} s of processor time")


def _thicker(scenario: Scenario, factor: float) -> Variant:
    return of_changes(scenario, f"walls_{factor}", {"model.walls": factor})


def _timed(scenario: Scenario, variants: list[Variant], draws: int) -> tuple[float, float]:
    """Wall and processor time of a comparison [s]."""
    begin, before = time.perf_counter(), time.process_time()
    compared(scenario, variants, draws=draws)
    return time.perf_counter() - begin, time.process_time() - before


if __name__ == "__main__":
    main()
