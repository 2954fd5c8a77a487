"""Matter that melts, as whoever builds a network gives it.

The state of such a node is not its temperature but the heat in it over its frozen capacity: e [K], with capacity x
(e - e at the start) the heat stored. So the ledger stays exact, whatever melts.

>>> snow = Melt(onset=273.15, latent=160.0, rise=0.02, thawed=0.5)
>>> round(snow.temperature(263.15), 6), round(snow.temperature(273.15 + 80.0), 2), round(snow.share(353.15), 3)
(263.15, 273.16, 0.5)
>>> round(snow.state(263.15), 6)
263.15
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp, log1p

import numpy as np
from scipy.optimize import brentq

from simtent.network.arrays import Array

# K of state over which a corner is rounded: five hundred times the step by which slopes are taken, and 0.03 % of the
# 160 K that ice melts by. From 0.02 to 0.2 K a night takes as many evaluations to 5 %, and melts as much to 0.2 %.
WIDTH = 0.05
ROUND_OFF = 1e-13  # K


@dataclass(frozen=True)
class Melt:
    """A node's temperature as a smooth function of its heat: frozen, melting, molten.

    onset   temperature at which it begins to melt [K]
    latent  heat that melts it all, over the frozen capacity [K]
    rise    by which its temperature rises as it melts [K]: 1 K for soil that thaws bit by bit; a little for ice too, so
            that every temperature has one state
    thawed  frozen over molten capacity [-]
    width   over which the corners are rounded [K]

    Raises ValueError unless all are above 0, and the temperature rises less with heat in melting than after it.
    """

    onset: float
    latent: float
    rise: float
    thawed: float
    width: float = WIDTH

    def __post_init__(self) -> None:
        if not min(self.latent, self.rise, self.thawed, self.width) > 0.0:
            raise ValueError("latent heat, rise, ratio of capacities and width must be above 0")
        if not self.slope <= self.thawed <= 1.0:
            raise ValueError("what is molten must store more than what is frozen, and less than what melts")

    @property
    def span(self) -> float:
        """State from the onset to where all is molten [K]."""
        return self.latent + self.rise

    @property
    def slope(self) -> float:
        """By how much the temperature rises with the state while it melts [-]."""
        return self.rise / self.span

    def temperature(self, state: float) -> float:
        """Temperature [K] at a state [K]."""
        begun, done = (
            self.width * _rounded((state - end) / self.width) for end in (self.onset, self.onset + self.span)
        )
        return float(state - (1.0 - self.slope) * begun + (self.thawed - self.slope) * done)

    def state(self, temperature: float) -> float:
        """State [K] at a temperature [K]."""
        return _state(self, temperature)

    def _found_state(self, temperature: float) -> float:
        low = temperature - ROUND_OFF * temperature
        # Far above, the state is ahead of the temperature by what melted, and by what the molten stores more.
        ahead = self.latent + max(temperature - self.onset, 0.0) * (1.0 / self.thawed - 1.0)
        high = low + 2.0 * ahead + 100.0 * self.width / self.slope
        return float(brentq(lambda e: self.temperature(e) - temperature, low, high, xtol=ROUND_OFF))

    def share(self, state: float) -> float:
        """Share that is molten [-] at a state [K]."""
        return float(self.shares(np.array([state]))[0])

    def shares(self, states: Array) -> Array:
        """Share that is molten [-] at each of some states [K], in their shape."""
        begun, done = self._corners(states)
        return np.asarray((begun - done) / self.span)

    def row(self) -> list[float]:
        """The melting as kernels read it, see `arrays.Melts`."""
        return [self.onset, self.onset + self.span, self.slope, self.thawed, self.width]

    def _corners(self, states: Array) -> tuple[Array, Array]:
        """State above the onset, and above the end of melting, rounded: never below 0 [K]."""
        ends = self.onset, self.onset + self.span
        begun, done = (self.width * np.logaddexp(0.0, (states - end) / self.width) for end in ends)
        return begun, done


def _rounded(x: float) -> float:
    """ln(1 + exp x), x above 0 and 0 below it with a round corner [-]: of one number, faster than an array of one."""
    return max(x, 0.0) + log1p(exp(-abs(x)))


@lru_cache(1024)  # a night starts many nodes alike, and a batch of nights the same ones
def _state(melt: Melt, temperature: float) -> float:
    return melt._found_state(temperature)
