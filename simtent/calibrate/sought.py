"""A number that is sought: what was believed of it before, and how it is counted in deviations of that belief."""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Sought:
    """One number to be found.

    A factor is believed log-normal: ln(value) lies around ln(median) with deviation `spread`. Otherwise the value
    itself lies around the median with deviation `spread`, in the number's unit. It is sought as z, its distance
    from the median in these deviations, so that the belief is a standard normal one.

    name        a dotted key of the scenario, or what it is: "lag of cot"
    unit        in which it is counted, "1" for a plain number
    low, high   bounds
    source      of the belief
    keys        dotted keys of the scenario that it moves by the same factor; none for what belongs to a log
    sensor      place of the sensor that it belongs to, if to one
    """

    name: str
    unit: str
    median: float
    spread: float
    low: float
    high: float
    source: str
    factor: bool = True
    keys: tuple[str, ...] = ()
    sensor: str = ""

    def value(self, z: float) -> float:
        """The number, within its bounds."""
        far = self.spread * z
        found = self.median * math.exp(far) if self.factor else self.median + far
        return min(max(found, self.low), self.high)

    def place(self, value: float) -> float:
        """Where a value lies, in deviations from the median."""
        if self.factor:
            return math.log(value / self.median) / self.spread
        return (value - self.median) / self.spread

    @property
    def ends(self) -> tuple[float, float]:
        """The bounds in deviations; a factor's lowest value is above 0."""
        low = max(self.low, 1e-6 * self.median) if self.factor else self.low
        return self.place(low), self.place(self.high)

    @property
    def before(self) -> str:
        """The belief in words: how far one deviation reaches."""
        if self.factor:
            return f"x{math.exp(self.spread):.3g}"
        unit = "" if self.unit == "1" else f" {self.unit}"
        return f"+-{self.spread:.3g}{unit}"
