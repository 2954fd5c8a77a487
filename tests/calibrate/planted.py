"""Nights with a planted truth: made by the model itself, read by sensors that lag, are off and err with a memory."""

from dataclasses import dataclass
from datetime import UTC, date

import numpy as np

import simtent
from simtent.calibrate import numbers
from simtent.calibrate.calibrate import fit_nights
from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.nights import LEVEL_NOISE, Night, Readings
from simtent.calibrate.outlook import Outlook, Setting
from simtent.calibrate.sought import Sought
from simtent.identify.memory import Errors
from simtent.logbook.logged import Logged
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario

PLACES = ("head", "cot", "floor")
ERRORS = {"head": Errors(0.6, 1200.0), "cot": Errors(0.4, 900.0), "floor": Errors(0.4, 2400.0)}
EVERY = 120.0  # s between readings
NIGHTS = (("2031-02-14", "0 K"), ("2031-02-15", "-4 K"))
FREE = ("model.walls", "model.leak_area", "model.mixing")


@dataclass(frozen=True)
class Planted:
    """Nights, the numbers they were made with, and those numbers' places among all that is sought."""

    scenario: Scenario
    nights: tuple[Night, ...]
    sought: tuple[Sought, ...]
    truth: Array

    def fit(self, starts: int = 1) -> Calibrated:
        """The fit to these nights."""
        return fit_nights(self.scenario, self.nights, starts=starts)


def small() -> Scenario:
    """A tent with a known heat, few layers, six hours: a night takes a hundredth of a second."""
    table = [
        {"at": at, "power": power}
        for at, power in (
            ("17:30", "1 kW"),
            ("18:00", "6 kW"),
            ("20:00", "2 kW"),
            ("21:00", "5 kW"),
            ("23:00", "0 kW"),
        )
    ]
    changes = {
        "heat.table": table,
        "model.layers": 6, "night.end": "23:30", "wish": "none", "fit.free": list(FREE),
        "shelter.openings.door": "none",
    }  # fmt: skip
    return simtent.load("scenarios/larch_bench.toml").replace(changes)


def plant(seed: int, nights: tuple[tuple[str, str], ...] = NIGHTS, most: float = 2.5) -> Planted:
    """Nights of a truth drawn from what is believed before, and readings of it; beyond `most` deviations drawn anew."""
    chance = np.random.default_rng(seed)
    scenario = small()
    empty = [_night(scenario, evening, shift) for evening, shift in nights]
    sought = (*numbers.of_scenario(scenario), *numbers.of_sensors(empty))
    truth = np.clip(chance.standard_normal(len(sought)), -most, most)
    setting = Setting(sought, numbers.bases(scenario, sought))
    made = tuple(_read(Outlook(night, setting), truth, chance) for night in empty)
    return Planted(scenario, made, sought, truth)


def _night(scenario: Scenario, evening: str, shift: str) -> Night:
    of_it = scenario.replace({"night.evening": evening, "outdoors.shift": shift})
    grid = np.arange(0.0, of_it.night.seconds, EVERY)
    logged = Logged(date.fromisoformat(evening), UTC, in_the_open=False, sensors={}, repairs=(), doubts=())
    readings = tuple(Readings(place, grid, grid, LEVEL_NOISE) for place in PLACES)
    return Night(evening, logged, of_it, readings, (), (), (), ())


def _read(outlook: Outlook, truth: Array, chance: np.random.Generator) -> Night:
    shown = outlook.shown(outlook.simulated(truth), truth)
    readings = []
    for one, kelvin in zip(outlook.night.readings, shown, strict=False):
        noise = remembered(one.seconds, ERRORS[one.place], chance)
        readings.append(Readings(one.place, one.seconds, kelvin + noise, one.noise))
    night = outlook.night
    return Night(night.label, night.logged, night.scenario, tuple(readings), (), (), (), ())


def remembered(times: Array, errors: Errors, chance: np.random.Generator) -> Array:
    """Errors that neighbouring readings share, shape (m,) [K]."""
    kept, out = errors.kept(times), np.empty(times.size)
    out[0] = chance.standard_normal()
    for n, r in enumerate(kept, 1):
        out[n] = r * out[n - 1] + np.sqrt(1.0 - r * r) * chance.standard_normal()
    return errors.deviation * out
