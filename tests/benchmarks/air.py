"""How the number of layers, and what is assumed of the moving air, change a night: `python tests/benchmarks/air.py`."""

import time
from pathlib import Path

import numpy as np

from simtent.readings import level_temperatures
from simtent.run import Run, run
from simtent.scenario.load import load
from simtent.scenario.scenario import Scenario

ROOT = Path(__file__).parents[2]
NIGHTS = [*sorted((ROOT / "scenarios").glob("*.toml")), ROOT / "tests" / "fire" / "story.toml"]
LAYERS = (8, 16, 20, 32, 48, 64)
FINEST = 48
ASSUMED = ({"model.mixing": 3.0}, {"model.mixing": 0.33})


def solved(scenario: Scenario) -> tuple[Run, float]:
    """A night, and the seconds of processor time it took."""
    begin = time.process_time()
    return run(scenario), time.process_time() - begin


def layers(scenario: Scenario) -> None:
    """Cost of a night by its layers, and how far its levels are from those of 48."""
    nights = {count: solved(scenario.replace("model.layers", count)) for count in LAYERS}
    finest = level_temperatures(nights[FINEST][0])
    for count, (night, seconds) in nights.items():
        apart = np.abs(level_temperatures(night) - finest).max(axis=0)
        misses = ", ".join(f"{name} {miss:.2f}" for name, miss in zip(scenario.levels, apart, strict=True))
        share = seconds / nights[LAYERS[0]][1]
        calls, jacobians = night.solution.calls, night.solution.jacobians
        print(
            f"  {count:3d} layers: {share:5.1f} of the time of 8; {calls} calls, {jacobians} Jacobians; K: {misses}"
        )


def assumed(scenario: Scenario) -> None:
    """Head over floor from the fifth to the eighth hour, as it stands and with other assumptions."""
    hours = slice(60, 97)
    for change in ({}, *ASSUMED):
        night = run(scenario.replace(change)) if change else run(scenario)
        means = dict(zip(scenario.levels, level_temperatures(night)[hours].mean(axis=0), strict=True))
        words = ", ".join(f"{key} {value}" for key, value in change.items()) or "as it is"
        print(
            f"  {words}: head {means['head'] - means['floor']:.1f} K over floor, cot {means['cot']:.1f} degC"
        )


if __name__ == "__main__":
    for path in NIGHTS:
        night = load(path)
        if night.shelter is not None:
            solved(night)  # compiled
            print(night.name)
            layers(night)
            assumed(night)
