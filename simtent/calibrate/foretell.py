"""What a fitted model expects of a logged night, with the range that its readings should lie in."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import norm

from simtent.calibrate import numbers
from simtent.calibrate.burnt import COUNT
from simtent.calibrate.calibrated import Calibrated, outdoors_at
from simtent.calibrate.misfit import FIRST_ERROR, FIRST_ERRORS
from simtent.calibrate.nights import Night
from simtent.calibrate.outlook import Outlook, Setting
from simtent.calibrate.sought import Sought
from simtent.network.arrays import Array
from simtent.scenario.fitted import LEAST_SPAN

SHARE = 0.9  # of the readings that should lie in the range


@dataclass(frozen=True)
class Foretold:
    """One sensor through one night.

    seconds                from the night's begin [s], shape (m,)
    kelvin                 what it showed [K]
    predicted, low, high   what was expected, and the range that nine readings in ten should lie in [K]
    """

    place: str
    seconds: Array
    kelvin: Array
    predicted: Array
    low: Array
    high: Array

    @property
    def rmse(self) -> float:
        """Root of the mean squared error [K]."""
        return float(np.sqrt(np.mean((self.kelvin - self.predicted) ** 2)))

    @property
    def bias(self) -> float:
        """Mean of expected minus shown [K]."""
        return float(np.mean(self.predicted - self.kelvin))

    @property
    def inside(self) -> float:
        """Share of the readings within the range."""
        return float(np.mean((self.low <= self.kelvin) & (self.kelvin <= self.high)))


@dataclass(frozen=True)
class Expected:
    """A night as a fit expects it.

    outside   by how much its outdoor air leaves that of the logs [K]
    widened   factor on what is missed, for that
    """

    night: Night
    sensors: tuple[Foretold, ...]
    outside: float
    widened: float


def expected(found: Calibrated, night: Night) -> Expected:
    """What a fit expects of a night; numbers of the night alone stand at what was believed.

    Raises SolveError where the night cannot be simulated.
    """
    sought, z, covariance = _numbers(found, night)
    outlook = Outlook(night, Setting(sought, numbers.bases(found.scenario, sought)))
    shown, raw = outlook.moved(z)
    outside = leaves(found, night)
    widened = 1.0 + outside / max(found.outdoors[1] - found.outdoors[0], LEAST_SPAN)
    sensors = []
    predictions, slopes = outlook.shown(shown, z), outlook.slopes(shown, raw, z)
    for one, predicted, moved in zip(night.readings, predictions, slopes, strict=False):
        known = np.einsum("mp,pq,mq->m", moved, covariance, moved)
        missed = _missed(found, one.place, predicted - outdoors_at(night, one.seconds)) * widened
        reach = float(norm.ppf(0.5 + 0.5 * SHARE)) * np.sqrt(known + missed**2)
        sensors.append(
            Foretold(one.place, one.seconds, one.kelvin, predicted, predicted - reach, predicted + reach)
        )
    return Expected(night, tuple(sensors), outside, widened)


def leaves(found: Calibrated, night: Night) -> float:
    """By how much the outdoor air of a night leaves that of the logs [K]."""
    air = outdoors_at(night, np.arange(0.0, night.scenario.night.seconds + 1.0, 600.0))
    coldest, warmest = found.outdoors
    return max(coldest - float(air.min()), float(air.max()) - warmest, 0.0)


def _missed(found: Calibrated, place: str, rise: Array) -> float:
    """Deviation of the errors of a place [K], larger in a night that is warmed by more than those logged."""
    if place not in found.beyond:
        return FIRST_ERRORS.get(place, FIRST_ERROR).deviation
    usual = float(np.sqrt(np.mean(rise**2)))
    fitted = found.best.errors[place].deviation
    return max(fitted, found.beyond[place] * usual)


def _numbers(found: Calibrated, night: Night) -> tuple[tuple[Sought, ...], Array, Array]:
    """Numbers of a night by the fit: the common ones as found, its own as believed; and their covariance."""
    known = {one.name: k for k, one in enumerate(found.sought)}
    own = {one.name for it in found.nights for one in it.sought} - {COUNT}
    common = tuple(one for one in found.sought if one.name not in own)
    new = [
        one
        for one in (*numbers.of_sensors([night]), *night.sought)
        if one.name not in known or one.name in own
    ]
    sought = (*common, *new)
    where = [known[one.name] for one in common]
    z = np.concatenate((found.posterior.z[where], np.zeros(len(new))))
    covariance = np.eye(z.size)
    covariance[: len(where), : len(where)] = found.posterior.covariance[np.ix_(where, where)]
    return sought, z, covariance
