"""Nights made of plain formulas, for studies that must be fast; some fail, die or wait. They describe no camp."""

import os
import signal
import time
from pathlib import Path

import numpy as np

from simtent.errors import SolveError
from simtent.scenario.load import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"
LEVELS = ("head", "cot", "floor")
STEP = 3600.0  # s


def base():
    """A shipped scenario; the formulas read of it what the variations change."""
    return load(SCENARIOS / "larch_bench.toml")


def shifts(count):
    """Variations: each a little colder."""
    return [{"outdoors.shift": f"{-0.01 * n:.2f} degC"} for n in range(count)]


def formula(scenario, wanted):
    """Temperatures that follow from the scenario alone, on the hours of its night."""
    elapsed = np.arange(0.0, scenario.night.seconds + 1.0, STEP)
    outdoors = scenario.outdoors.track("air").at(0.0) - 273.15 - elapsed / 7200.0
    above = np.array([20.0, 12.0, 4.0]) * scenario.model.walls
    levels = outdoors[:, None] + above * np.exp(-elapsed[:, None] / 2e4)
    values = {
        "level_temperature": levels,
        "outdoor_temperature": outdoors,
        "lowest_temperature": levels.min(axis=0),
        "heat_given": 3.6e6 * scenario.model.walls,
    }
    return {name: values[name] for name in wanted if name in values}, {"elapsed": elapsed, "level": LEVELS}


def slow(scenario, wanted):
    """The same, after a moment."""
    time.sleep(0.03)
    return formula(scenario, wanted)


def some_fail(scenario, wanted):
    """Every third night does not get to its end, every seventh shows a fault in the program."""
    number = _number(scenario)
    if number % 3 == 1:
        raise SolveError("the solver gave up at 3.2 h")
    if number % 7 == 2:
        return {"lowest_temperature": np.full(3, np.nan)}, {"level": LEVELS}
    return formula(scenario, wanted)


def deadly(scenario, wanted):
    """The fifth night takes its process with it."""
    if _number(scenario) == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return formula(scenario, wanted)


def deadly_once(scenario, wanted):
    """The fifth night takes its process with it the first time: it leaves a mark where the test says."""
    mark = Path(os.environ["MARK"])
    if _number(scenario) == 5 and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return formula(scenario, wanted)


def named_levels(scenario, _wanted):
    """Levels under other names, by the name of the scenario."""
    if scenario.name == "Other":
        return {"lowest_temperature": [4.0, 5.0, 6.0]}, {"level": ["loft", "head", "floor"]}
    return {"lowest_temperature": [1.0, 2.0, 3.0]}, {"level": LEVELS}


def held_up(scenario, wanted):
    """The tenth night and those after it wait until there is a mark where the test says."""
    while _number(scenario) >= 9 and not Path(os.environ["MARK"]).exists():
        time.sleep(0.01)
    return formula(scenario, wanted)


def fail_at_first(scenario, wanted):
    """Some nights fail, as long as there is no mark where the test says."""
    if _number(scenario) in (0, 4, 7) and not Path(os.environ["MARK"]).exists():
        raise SolveError("the solver gave up at 3.2 h")
    return formula(scenario, wanted)


def endless(_scenario, _wanted):
    """It leaves a mark where the test says, and does not end in reasonable time."""
    Path(os.environ["MARK"]).touch()
    time.sleep(300.0)


def talkative(scenario, wanted):
    """It prints, as a careless library may."""
    print("solving")
    os.write(1, b"really\n")
    return formula(scenario, wanted)


def _number(scenario):
    """The number of the case, from its shift."""
    return round((base().outdoors.track("air").at(0.0) - scenario.outdoors.track("air").at(0.0)) * 100.0)
