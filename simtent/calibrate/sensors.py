"""From air and metal to what a sensor shows: it lags, sees the stove, touches metal badly, and is off by a little."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter

from simtent.calibrate.sought import Sought
from simtent.network.arrays import Array

AT_FIRE = ("stove", "pipe")
OWN = "own choice, no source"
LAG, LAG_SPREAD = 300.0, 0.8  # s; small loggers in still air take minutes
OFFSET = 0.5  # K, as makers of small loggers state it
GLOW, GLOW_SPREAD = 0.005, 1.2  # of stove above air, that a bare sensor near a stove shows
GLOWS = (
    "head",
)  # levels whose sensor hangs free in the stove's sight by default; others lie low, behind beds
CONTACT, CONTACT_SPREAD = 0.95, 0.08  # of metal above air, that a clamped sensor shows


@dataclass(frozen=True)
class Traits:
    """What one sensor does: lag [s], offset [K], share of the stove's (level) or the metal's (at fire) excess."""

    lag: float = 0.0
    offset: float = 0.0
    share: float = 0.0


def named(place: str, logger: str | None) -> str:
    """A sensor's name: its place, and its logger where that has a name."""
    return place if logger is None else f"{place} ({logger})"


def sought_of(place: str, *, logger: str | None = None, sees_stove: bool = True) -> tuple[Sought, ...]:
    """The numbers of a logger's sensor at a place; without a stove in sight nothing glows."""
    name = named(place, logger)
    lag = Sought(f"lag of {name}", "s", LAG, LAG_SPREAD, 1.0, 3600.0, OWN, sensor=place)
    if place in AT_FIRE:
        contact = Sought(f"contact of {name}", "1", CONTACT, CONTACT_SPREAD, 0.4, 1.2, OWN, sensor=place)
        return (lag, contact)
    offset = Sought(f"offset of {name}", "K", 0.0, OFFSET, -5.0, 5.0, OWN, factor=False, sensor=place)
    if place not in GLOWS or not sees_stove:
        return (lag, offset)
    glow = Sought(f"glow at {name}", "1", GLOW, GLOW_SPREAD, 1e-5, 0.2, OWN, sensor=place)
    return (lag, offset, glow)


def traits(place: str, values: Mapping[str, float], logger: str | None = None) -> Traits:
    """The traits of a logger's sensor at a place, from numbers by name."""
    name = named(place, logger)
    usual = 1.0 if place in AT_FIRE else 0.0
    share = values.get(f"contact of {name}", values.get(f"glow at {name}", usual))
    return Traits(values.get(f"lag of {name}", 0.0), values.get(f"offset of {name}", 0.0), share)


def shown(place: str, at: Array, stove: Array, air: Array, step: float, one: Traits) -> Array:
    """What a sensor shows at every time, `step` [s] apart, shape as given [K]; slopes of inputs go through alike.

    at      temperature where it hangs: air at a level, metal of stove or pipe
    stove   the stove's body, for what it sends to a sensor of a level
    air     beside the metal
    """
    felt = air + one.share * (at - air) if place in AT_FIRE else at + one.share * (stove - at)
    return lagged(felt, step, one.lag) + one.offset


def lagged(values: Array, step: float, lag: float) -> Array:
    """A first-order lag [s] behind values straight between times `step` [s] apart, along the first axis; exact."""
    if lag <= 0.0:
        return values
    kept = np.exp(-step / lag)
    mean = (1.0 - kept) * lag / step
    first = values[:1]
    rest, _ = lfilter(
        [1.0 - mean, mean - kept], [1.0, -kept], values[1:], axis=0, zi=_before(first, kept, mean)
    )
    return np.concatenate((first, rest))


def _before(first: Array, kept: float, mean: float) -> Array:
    """The filter's memory where it stood at the first value."""
    return np.asarray(kept * first + (mean - kept) * first)
