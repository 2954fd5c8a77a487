"""A fit judged by a night that it has not seen, beside what two simple predictions make of that night."""

import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from simtent.calibrate import baselines
from simtent.calibrate.calibrated import Calibrated, outdoors_at
from simtent.calibrate.foretell import Expected, Foretold, expected
from simtent.calibrate.nights import Night, Readings, night_of
from simtent.logbook.read import read_log
from simtent.network.arrays import Array


@dataclass(frozen=True)
class Judged:
    """One sensor of a night that was held out; what simple predictions miss is None where they cannot be made.

    persistence    error of the mean rise over the fitted nights at the same time since the first load [K]
    one_resistor   error of one resistor and one capacitor heated by the loads, fitted to the same nights [K]
    """

    night: Night
    foretold: Foretold
    persistence: float | None
    one_resistor: float | None

    @property
    def beaten_by(self) -> tuple[str, ...]:
        """Simple predictions that do better than the model."""
        rivals = (
            ("the mean rise of the fitted nights", self.persistence),
            ("one resistor", self.one_resistor),
        )
        return tuple(name for name, rmse in rivals if rmse is not None and rmse <= self.foretold.rmse)


@dataclass(frozen=True)
class Judgement:
    """A night that was held out."""

    expected: Expected
    sensors: tuple[Judged, ...]


def judge(found: Calibrated, evening: date) -> Judgement:
    """Predict a logged night that was not fitted to, and compare.

    Raises InputError where there is no such log or it does not fit the scenario, SolveError where the night cannot be
    simulated.
    """
    logged = read_log(found.scenario, evening)
    with tempfile.TemporaryDirectory(prefix="simtent_") as folder:
        night = night_of(found.scenario, logged, Path(folder), f"held {evening}")
        return _judgement(found, night)


def _judgement(found: Calibrated, night: Night) -> Judgement:
    there = expected(found, night)
    return Judgement(there, tuple(_judged(found, night, one) for one in there.sensors))


def _judged(found: Calibrated, night: Night, one: Foretold) -> Judged:
    fitted = [(it, mine) for it in found.nights for mine in it.readings if mine.place == one.place]
    persistence = resistor = None
    past = [_course(it, mine) for it, mine in fitted if it.deeds and it.scenario.shelter]
    if past and night.deeds and night.scenario.shelter:
        tonight = _course(night, Readings(one.place, one.seconds, one.kelvin, 0.0))
        seconds, outdoors = tonight.seconds, tonight.outdoors
        loads = (tonight.load_seconds, tonight.load_heat)
        mean = baselines.persistence(past, seconds, outdoors, float(loads[0][0]))
        resistor = _rmse(baselines.one_resistor(past).predict(seconds, outdoors, *loads) - one.kelvin)
        persistence = _rmse(mean - one.kelvin)
    return Judged(night, one, persistence, resistor)


def _course(night: Night, one: Readings) -> baselines.Night:
    """A sensor's night as simple predictions see it: outdoors, and the heat of the loads as noted."""
    wood = night.scenario.wood
    assert wood is not None
    loads = [deed for deed in night.deeds if deed.masses]
    dry = np.array([sum(deed.masses.values()) for deed in loads]) * (1.0 - wood.moisture)
    at = np.array([deed.at for deed in loads])
    heat = dry * wood.species.heating_value
    return baselines.Night(one.seconds, one.kelvin, outdoors_at(night, one.seconds), at, heat)


def _rmse(errors: Array) -> float:
    return float(np.sqrt(np.mean(errors**2)))
