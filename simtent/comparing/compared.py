"""A comparison: the base's night, those of its variants, and how far each difference is known."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from simtent.assess.findings import Finding
from simtent.comparing.asked import NAMES, NUMBERS
from simtent.comparing.nights import Night
from simtent.comparing.safety import added
from simtent.network.arrays import Array
from simtent.scenario.scenario import Scenario

WITHIN = 0.8  # of the draws lie in the range that is told


@dataclass(frozen=True)
class Difference:
    """One number of a variant against the base's.

    amount     variant minus base; NaN where one of them does not have it
    low, high  between which eight draws in ten lie; NaN without draws
    apart      whether the two can be told apart: the range does not reach to both sides of 0, and they differ by more
               than the solver may be off
    """

    amount: float
    low: float
    high: float
    apart: bool


@dataclass(frozen=True)
class Compared:
    """What a comparison came to.

    nights  the base's, then those of the variants
    drawn   what people ask under every draw, shape (nights, draws, numbers)
    """

    nights: tuple[Night, ...]
    drawn: Array = field(repr=False)

    @property
    def base(self) -> Night:
        """The night of the scenario itself."""
        return self.nights[0]

    @property
    def variants(self) -> tuple[Night, ...]:
        """The others."""
        return self.nights[1:]

    @property
    def scenario(self) -> Scenario:
        """What the variants are held against."""
        return self.base.scenario

    @property
    def values(self) -> Array:
        """What people ask of every night, shape (nights, numbers)."""
        return np.array([[night.values[name] for name in NAMES] for night in self.nights])

    @property
    def accounts(self) -> tuple[str, ...]:
        """Names of the energy accounts that any of the nights has."""
        return tuple(dict.fromkeys(name for night in self.nights for name in night.energy))

    def difference(self, name: str, number: str) -> Difference:
        """Variant minus base, by the variant's name and the number's."""
        return self.between(name, self.base.name, number)

    def between(self, name: str, other: str, number: str) -> Difference:
        """One night minus another, by their names, draw by draw; KeyError where one of the names is unknown."""
        rows = {night.name: k for k, night in enumerate(self.nights)}
        column = NAMES.index(number)
        one, two = rows[name], rows[other]
        amount = float(self.values[one, column] - self.values[two, column])
        draws = self.drawn[one, :, column] - self.drawn[two, :, column]
        draws = draws[np.isfinite(draws)]
        low, high = _range(draws) if draws.size else (np.nan, np.nan)
        apart = abs(amount) >= NUMBERS[column].least and not low < 0.0 < high
        return Difference(amount, low, high, apart)

    def added(self, name: str) -> tuple[Finding, ...]:
        """Cautions that a variant has and the base does not."""
        return added(self._findings(name), self.base.findings)

    def removed(self, name: str) -> tuple[Finding, ...]:
        """Cautions that the base has and a variant does not."""
        return added(self.base.findings, self._findings(name))

    def _findings(self, name: str) -> tuple[Finding, ...]:
        return next(night.findings for night in self.nights if night.name == name)

    def only(self, names: Iterable[str]) -> "Compared":
        """The comparison with these variants alone, in this order."""
        rows = {night.name: k for k, night in enumerate(self.nights)}
        places = [0, *(rows[name] for name in names)]
        return Compared(tuple(self.nights[k] for k in places), self.drawn[places])


def _range(draws: Array) -> tuple[float, float]:
    low, high = np.quantile(draws, [0.5 - 0.5 * WITHIN, 0.5 + 0.5 * WITHIN])
    return float(low), float(high)
