"""Heat capacity that changes with temperature, as whoever builds a network gives it.

The state of such a node is not its temperature but the heat in it: e [K], with capacity x (e - e at the start)
the heat stored. So the ledger stays exact, whatever the capacity does.

>>> steel = Curve(273.15, (1.0, 1.8e-3, -4.0e-6, 5.2e-9), 873.15)
>>> steel.state(273.15)
273.15
>>> round(steel.state(673.15), 1)
765.1
"""

from dataclasses import dataclass

import numpy as np

LOWEST = 200.0  # K, below which the capacity stays; nothing here gets colder
GROWTH = 10.0  # of the capacity from the lowest to the top, for which `kernels.NEWTON_STEPS` are enough
ROUND_OFF = 1e-12  # 1/K


@dataclass(frozen=True)
class Curve:
    """Relative heat capacity r(T) = sum of coefficients[k] (T - base)^k from 200 K to `top`, constant outside.

    base          [K]
    coefficients  [4], per K to the power k; where r is 1 the node has the capacity it is built with
    top           [K]

    Raises ValueError unless r is above 0, never falls in its range, and grows tenfold at most: then the temperature
    follows from the heat without doubt, and to round-off.
    """

    base: float
    coefficients: tuple[float, float, float, float]
    top: float

    def __post_init__(self) -> None:
        if not self.top > LOWEST:
            raise ValueError(f"a curve's top must lie above {LOWEST} K, got {self.top} K")
        slope = np.polynomial.Polynomial(self.coefficients).deriv()
        turns = [float(x.real) for x in slope.deriv().roots()]
        ends = [LOWEST - self.base, self.top - self.base]
        least = min(float(slope(x)) for x in ends + [x for x in turns if ends[0] < x < ends[1]])
        if not self.relative(LOWEST) > 0.0 or least < -ROUND_OFF * self.relative(self.top):
            raise ValueError("a curve's relative capacity must be above 0 and never fall with temperature")
        if self.relative(self.top) > GROWTH * self.relative(LOWEST):
            raise ValueError(f"a curve's relative capacity must not grow more than {GROWTH:.0f}-fold")

    def relative(self, temperature: float) -> float:
        """Relative heat capacity at a temperature [K]."""
        a0, a1, a2, a3 = self.coefficients
        x = min(max(temperature, LOWEST), self.top) - self.base
        return a0 + x * (a1 + x * (a2 + x * a3))

    def state(self, temperature: float) -> float:
        """State e [K] of a node at a temperature [K]: the base plus the integral of r from there."""
        a0, a1, a2, a3 = self.coefficients
        inside = min(max(temperature, LOWEST), self.top)
        x = inside - self.base
        integral = x * (a0 + x * (a1 / 2.0 + x * (a2 / 3.0 + x * a3 / 4.0)))
        return self.base + integral + (temperature - inside) * self.relative(temperature)

    def row(self) -> list[float]:
        """The curve as kernels read it, see `arrays.Curves`."""
        row = [*self.coefficients, self.base]
        for end in (LOWEST, self.top):
            row += [end - self.base, self.state(end) - self.base, self.relative(end)]
        return row
