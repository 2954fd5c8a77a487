"""Changes by what they buy: at the cot and on the floor, for each kilogram that is carried and for what is paid."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from simtent.comparing.compared import Compared, Difference
from simtent.comparing.usual import Applied, Usual

LIGHT = 0.01  # kg, below which nothing counts as carried


@dataclass(frozen=True)
class Bought:
    """What one change buys.

    usual   its row; None for a variant that is none of the usual changes
    cot, floor, lowest  mean at the cot and on the floor in bed, lowest at the cot [K]
    mass    carried [kg]; None where nothing counts
    price   as given; None without
    grave   whether it adds a caution
    """

    name: str
    usual: Usual | None
    cot: Difference
    floor: Difference
    lowest: Difference
    mass: float | None
    price: float | None
    grave: bool

    @property
    def carried(self) -> bool:
        """Whether anything has to be carried."""
        return self.mass is not None and self.mass >= LIGHT

    def per_mass(self, difference: Difference) -> float:
        """Kelvins for each kilogram; NaN where nothing is carried."""
        return difference.amount / self.mass if self.carried and self.mass else math.nan

    def per_price(self, difference: Difference) -> float:
        """Kelvins for each unit of money; NaN where no price is given."""
        return difference.amount / self.price if self.price else math.nan


def ranked(found: Compared, changes: tuple[Applied, ...], prices: Mapping[str, float]) -> tuple[Bought, ...]:
    """All variants of a comparison: what needs no carrying first, by the cot's mean; then by that for a kilogram.

    In both, whatever adds a caution stands last.

    prices  by names of variants, in one currency
    """
    rows = {it.usual.name: it for it in changes}
    bought = []
    for night in found.variants:
        row = rows.get(night.name)
        cot, floor, lowest = (
            found.difference(night.name, number) for number in ("cot_mean", "floor_mean", "cot_lowest")
        )
        mass = row.mass if row else None
        price = prices.get(night.name)
        usual, grave = row.usual if row else None, bool(found.added(night.name))
        bought.append(Bought(night.name, usual, cot, floor, lowest, mass, price, grave))
    return tuple(sorted(bought, key=_first))


def _first(it: Bought) -> tuple[bool, bool, float]:
    gain = it.per_mass(it.cot) if it.carried else it.cot.amount
    return it.carried, it.grave, -gain if it.cot.apart else 0.0
