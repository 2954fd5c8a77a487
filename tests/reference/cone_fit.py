"""The package's two humps with other numbers than the shipped ones, and their fit to runs of the cone calorimeter.

The humps are the package's own function: its code runs with other constants in the place of the module's. So what is
fitted is what the fire burns by, not a copy that could drift away from it.
"""

from collections.abc import Sequence
from functools import lru_cache
from types import FunctionType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid
from scipy.optimize import least_squares

from simtent.physics import burn

from .wood_cone import NOTED, Heats, Peaks, cone_run, mean_heats, plateau

# Every other run in order of irradiance (of name where that is equal): the rule was set down before any fit.
HALVES = (tuple(NOTED)[::2], tuple(NOTED)[1::2])

BURNT = 0.99  # at which the free burn-out time ends
FITTED_TO = np.linspace(
    0.01, 0.90, 90
)  # shares lost; nearer the end the char's glow, no part of the law, adds to it
MOMENTS = np.linspace(0.0, 1.0, 41)  # of the flaming time
MASS_WEIGHT = (
    5.0  # a scale weighs better than oxygen tells heat: .02 of the mass count as .10 of the mean release
)


class Shape(NamedTuple):
    """Places, widths and heights of the humps over the burnt share, by their names in `simtent.physics.burn`."""

    FIRST_AT: float
    FIRST_WIDTH: float
    FIRST_HEIGHT: float
    SECOND_AT: float
    SECOND_WIDTH: float
    SECOND_HEIGHT: float


LOWEST = Shape(0.0, 0.02, 0.0, 0.5, 0.03, 0.0)
HIGHEST = Shape(0.2, 0.3, 5.0, 0.95, 0.4, 3.0)
SHIPPED = Shape(*(getattr(burn, name) for name in Shape._fields))


class Course(NamedTuple):
    """How a piece burns: time over the burn-out time, share burnt, rate over the mean rate."""

    time: NDArray[np.float64]
    burnt: NDArray[np.float64]
    rate: NDArray[np.float64]


def course(shape: Shape) -> Course:
    """A piece by the package's `rest_rate` with these numbers, its unit such that it burns out in its time."""
    compiled = burn.rest_rate
    source = getattr(compiled, "py_func", compiled)  # the function itself where it runs as plain Python
    constants = {**source.__globals__, **shape._asdict(), "UNIT": 1.0, "exp": np.exp, "sqrt": np.sqrt}
    burnt = np.linspace(0.0, BURNT, 4001)
    rate = FunctionType(source.__code__, constants)(burnt) * (1.0 - burnt)
    time = cumulative_trapezoid(1.0 / rate, burnt, initial=0.0)
    return Course(time / time[-1], burnt, rate * time[-1])


@lru_cache
def peaks(shape: Shape) -> Peaks:
    """Peaks of the law, read off as those of a run are."""
    found = course(shape)
    even = np.linspace(0.0, 1.0, 2001)
    rate, burnt = np.interp(even, found.time, found.rate), np.interp(even, found.time, found.burnt)
    first = int(np.argmax(np.where(burnt < 0.3, rate, 0.0)))
    second = int(np.argmax(np.where(burnt > 0.5, rate, 0.0)))
    level = plateau(rate, first, second)
    return Peaks(
        rate[first] / level, rate[second] / level, even[first], even[second], burnt[first], burnt[second]
    )


@lru_cache
def fit(name: str, weight: float = MASS_WEIGHT) -> Shape:
    """The numbers with which the law comes nearest to one run: release by mass lost, and mass by time."""
    run = cone_run(name)
    release = run.release_at(FITTED_TO)
    lost = np.interp(MOMENTS, run.time / run.flame_out, run.lost)

    def misses(numbers: Sequence[float]) -> NDArray[np.float64]:
        ours = course(Shape(*numbers))
        by_share = np.interp(FITTED_TO, ours.burnt, ours.rate) - release
        by_time = np.interp(MOMENTS, ours.time, ours.burnt) - lost
        return np.concatenate([by_share / np.sqrt(release.size), weight * by_time / np.sqrt(lost.size)])

    return Shape(*(float(x) for x in least_squares(misses, SHIPPED, bounds=(LOWEST, HIGHEST)).x))


class Calibration(NamedTuple):
    """What some runs give: the humps, the char and the heats."""

    shape: Shape
    heats: Heats

    @property
    def char_part(self) -> float:
        """Share of all heat that the char has."""
        char = self.heats.left * self.heats.char
        return char / (char + (1.0 - self.heats.left) * self.heats.gas)


@lru_cache
def calibrated(names: tuple[str, ...], weight: float = MASS_WEIGHT) -> Calibration:
    """The law's numbers of each run, their mean over some runs."""
    return Calibration(Shape(*np.mean([fit(name, weight) for name in names], axis=0)), mean_heats(names))


def spread(names: tuple[str, ...]) -> Shape:
    """Standard deviation of the law's numbers from run to run."""
    return Shape(*np.std([fit(name) for name in names], axis=0, ddof=1))
