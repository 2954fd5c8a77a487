"""A model fitted to logged nights: its numbers, what is left of the readings, and the scenario that follows."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from simtent.assembly.drivers import driver
from simtent.calibrate.loggers import one_logger
from simtent.calibrate.misfit import Misfit
from simtent.calibrate.nights import Night
from simtent.calibrate.posterior import Posterior
from simtent.calibrate.room import Room
from simtent.calibrate.search import Best
from simtent.calibrate.sought import Sought
from simtent.identify.resampling import Resampled
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario


@dataclass(frozen=True)
class Residuals:
    """What a night's sensor showed, what the fit makes of it, and the error it is taken to have.

    seconds   from the night's begin [s], shape (m,)
    kelvin, predicted   [K]
    deviation, memory   of an error [K], [s]
    """

    night: Night
    place: str
    seconds: Array
    kelvin: Array
    predicted: Array
    deviation: float
    memory: float

    @property
    def rmse(self) -> float:
        """Root of the mean square of what is left [K]."""
        return float(np.sqrt(np.mean((self.kelvin - self.predicted) ** 2)))


@dataclass(frozen=True)
class Calibrated:
    """What `simtent.calibrate` found.

    scenario     that was fitted
    nights       it was fitted to
    posterior    most likely numbers and how far they are known
    best         how the search ended: errors of each sensor, cost of each start, whether it settled
    room         holds the weather of the logged nights
    drawn        weighed draws as they came out, were there any; where they serve the posterior rests on them
    """

    scenario: Scenario
    nights: tuple[Night, ...]
    misfit: Misfit
    posterior: Posterior
    best: Best
    room: Room | None
    drawn: Resampled | None = None

    @property
    def sought(self) -> tuple[Sought, ...]:
        """All numbers: of the scenario, of its sensors, of its nights."""
        return self.posterior.sought

    @property
    def of_scenario(self) -> tuple[Sought, ...]:
        """Those that belong to the scenario, so to every other night too."""
        return tuple(one for one in self.sought if one.keys)

    @property
    def told(self) -> tuple[str, ...]:
        """What was left out or taken for granted, night by night."""
        return (*(sentence for night in self.nights for sentence in night.told), *one_logger(self.nights))

    @property
    def readings(self) -> int:
        """How many readings were used."""
        return sum(one.seconds.size for night in self.nights for one in night.readings)

    @cached_property
    def residuals(self) -> tuple[Residuals, ...]:
        """Every sensor of every night."""
        return tuple(
            Residuals(
                night,
                one.place,
                one.seconds,
                one.kelvin,
                one.kelvin - left,
                self.best.errors[one.place].deviation,
                self.best.errors[one.place].memory,
            )
            for night, parts in zip(self.nights, self.best.seen.left, strict=True)
            for one, left in zip(night.readings, parts, strict=True)
        )

    @cached_property
    def outdoors(self) -> tuple[float, float]:
        """Coldest and warmest outdoor air of the nights [K]."""
        found = [_span(night) for night in self.nights]
        return min(low for low, _ in found), max(high for _, high in found)

    @cached_property
    def beyond(self) -> dict[str, float]:
        """Deviation of the errors at each place, as a share of its usual rise above outdoors."""
        out = {}
        for place in self.misfit.places:
            rises = [_rise(one) for one in self.residuals if one.place == place]
            size = float(np.sqrt(np.mean(np.concatenate(rises) ** 2)))
            out[place] = self.best.errors[place].deviation / max(size, 1.0)
        return out

    def replacements(self, z: Array) -> dict[str, Any]:
        """What puts the scenario's own numbers into it."""
        setting = self.misfit.outlooks[0].setting
        values = {one.name: one.value(float(x)) for one, x in zip(self.sought, z, strict=True)}
        return setting.of_scenario(values)

    def fitted(self) -> Scenario:
        """The scenario with the most likely numbers, without what the fit knows of their uncertainty."""
        return self.scenario.replace(self.replacements(self.posterior.z))


def outdoors_at(night: Night, seconds: Array) -> Array:
    """Outdoor air at times of a night [K]."""
    return driver(night.scenario.outdoors.track("air")).values(seconds)


def _rise(one: Residuals) -> Array:
    return one.predicted - outdoors_at(one.night, one.seconds)


def _span(night: Night) -> tuple[float, float]:
    air = outdoors_at(night, np.arange(0.0, night.scenario.night.seconds + 1.0, 600.0))
    return float(air.min()), float(air.max())
