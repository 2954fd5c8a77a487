"""Invented camps whose logs the model itself has made: planted numbers, sensors that lag and are off, noise."""

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from simtent.assembly.drivers import driver
from simtent.calibrate import sensors
from simtent.driver import drive
from simtent.readings import level_temperatures
from simtent.scenario.load import load
from tests.calibrate.drawn import autoregression

SCENARIOS = Path(__file__).parents[2] / "scenarios"
LARCH, YARD = SCENARIOS / "larch_bench.toml", SCENARIOS / "yard_burn.toml"
HEAT = [("17:30", "1 kW"), ("18:00", "6 kW"), ("19:00", "3 kW"), ("19:30", "2 kW"), ("20:15", "6 kW")]
SHORT = {
    "night.end": "21:30",
    "heat.table": [{"at": at, "power": power} for at, power in HEAT],
    "model.layers": 6,
    "wish": "none",
    "shelter.openings.door.open": "none",
}
TRUTH = {"model.walls": 1.25, "model.leak_area": "18 in2"}
SENSORS = {"head": sensors.Traits(420.0, 0.4), "cot": sensors.Traits(200.0, -0.3)}
EVERY = 120.0  # s
NOISE, MEMORY = 0.3, 600.0
FREE = '\n[fit]\nfree = ["model.walls", "model.leak_area"]\n'


def camp(
    folder: Path,
    places: Mapping[str, sensors.Traits] = SENSORS,
    truth: Mapping[str, object] = TRUTH,
    evenings: tuple[str, ...] = ("2031-02-14",),
    fit: str = FREE,
    changes: Mapping[str, object] = SHORT,
    noise: float = NOISE,
    outdoors: bool = True,
    seed: int = 0,
) -> Path:
    """Path of a scenario with a log for each evening, read every two minutes."""
    plain = load(LARCH).replace(dict(changes))
    text = plain.given + fit
    for n, evening in enumerate(evenings):
        there = plain.replace({**truth, "night.evening": evening})
        columns = readings(there, places, noise, seed + 100 * n)
        if not outdoors:
            del columns["outdoors"]
        begin = there.night.begin_utc.timestamp()
        table(folder / f"{evening}.csv", begin + EVERY * np.arange(len(columns["cot"])), columns)
        text += log(evening, columns)
    path = folder / "camp.toml"
    path.write_text(text, encoding="utf-8")
    return path


def readings(scenario, places, noise=NOISE, seed=0):
    """What sensors of levels would show of a night, by place, and the outdoor air [K]."""
    night = drive(scenario, step=EVERY)
    times = night.solution.times
    air = dict(zip(scenario.levels, level_temperatures(night).T + 273.15, strict=True))
    columns = {}
    for n, (place, one) in enumerate(places.items()):
        shown = sensors.shown(place, air[place], air[place], air[place], EVERY, one)
        columns[place] = shown + autoregression(times, noise, MEMORY, seed + n)
    return columns | {"outdoors": driver(scenario.outdoors.track("air")).values(times)}


def table(path, seconds, columns):
    """Write readings [K] at true times as a logger would, in degC."""
    lines = ["when," + ",".join(columns)]
    for t, *values in zip(seconds, *columns.values(), strict=True):
        stamp = f"{datetime.fromtimestamp(t, UTC):%Y-%m-%dT%H:%M:%SZ}"
        lines.append(",".join([stamp, *(f"{value - 273.15:.3f}" for value in values)]))
    path.write_text("\n".join([*lines, ""]), encoding="utf-8")


def log(evening, columns, **more):
    """The text of its [[log]]."""
    named = ", ".join(f'{name} = "{name}"' for name in columns)
    given = {"evening": evening, "file": f"{evening}.csv", "unit": "degC", "time": "when"} | more
    lines = [f'{key} = "{value}"' for key, value in given.items()]
    return "\n[[log]]\n" + "\n".join([*lines, f"sensors = {{ {named} }}", ""])
