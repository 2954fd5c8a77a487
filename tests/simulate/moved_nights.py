"""Short nights for derivatives, and derivatives by another way: SciPy at a tight tolerance, moved far to both sides."""

from pathlib import Path

import numpy as np

from simtent.derivatives import temperatures
from simtent.errors import InputError
from simtent.network import Accuracy
from simtent.run import run
from simtent.scenario.free import free
from simtent.scenario.load import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"
TIGHT = Accuracy(rtol=1e-9, atol=1e-7)
# Of a number's size. Further, and what bends shows; nearer, and the rest of the solver's error does.
FAR = 2e-3


def known_heat():
    """Three hours under snow-covered ground, a lined tent, a known heat and a door that is opened."""
    return load(SCENARIOS / "snow_saddle.toml").replace(
        {
            "wish": "none",
            "night.end": "21:00",
            "shelter.openings.door.open": [{"at": "19:45", "for": "1 min"}],
            "heat.table": [
                {"at": "18:00", "power": "0.8 kW"},
                {"at": "18:20", "power": "3.0 kW"},
                {"at": "19:15", "power": "1.8 kW"},
                {"at": "20:00", "power": "2.6 kW"},
            ],
        }
    )


def fire():
    """Three hours with a stove and two loads."""
    return load(SCENARIOS / "sedge_hollow.toml").replace(
        {
            "wish": "none",
            "night.end": "21:30",
            "shelter.openings.door.open": [{"at": "20:50", "for": "1 min"}],
            "stoking.load": [
                {
                    "at": "18:30",
                    "pieces": {"kindling": 8, "stick": 3, "split": 1},
                    "air": [{"for": "20 min", "mark": "wide"}, {"mark": "three"}],
                },
                {
                    "at": "19:30",
                    "pieces": {"stick": 2, "split": 2},
                    "air": [{"for": "10 min", "mark": "wide"}, {"mark": "two"}],
                },
            ],
        }
    )


def ruled():
    """The same with a rule that calls once for the second load, when the cot has cooled."""
    first = {
        "at": "18:30",
        "pieces": {"kindling": 8, "stick": 3, "split": 1},
        "air": [{"for": "20 min", "mark": "wide"}, {"mark": "three"}],
    }
    rule = {
        "from": "19:20",
        "to": "21:20",
        "when": {"level": "cot", "below": "44 degF"},
        "load": {"stick": 2, "split": 1},
        "air": [{"for": "10 min", "mark": "wide"}, {"mark": "two"}],
        "most": 1,
    }
    return fire().replace({"stoking.load": [first], "stoking.rule": [rule]})


def melting():
    """Three hours on wet snow that melts under a bare floor."""
    return known_heat().replace(
        {"site.ground_start": "-0.3 degC", "shelter.floor": "none", "outdoors.shift": "6 K"}
    )


def tight(scenario, it, outputs=temperatures, far=FAR):
    """Derivative per unit of what is moved, by nights of a solver's own steps; one-sided at the end of a range."""

    def at(steps):
        moved = scenario.replace(it.replacement(it.number + steps * far * it.size))
        return np.asarray(outputs(run(moved, accuracy=TIGHT)), float).ravel()

    try:
        return (at(1) - at(-1)) / (2.0 * far * it.size)
    except InputError:
        side = -1.0 if it.number > 0.0 else 1.0
        return side * (4.0 * at(side) - at(2.0 * side) - 3.0 * at(0)) / (2.0 * far * it.size)


def missed(found, exact):
    """Norm of the difference of two columns over the norm of the second; 0 where both are 0."""
    return np.linalg.norm(found - exact) / (np.linalg.norm(exact) or 1.0)


def by_key(scenario, key, **how):
    """`tight` of a dotted key."""
    return tight(scenario, free(scenario, key), **how)
