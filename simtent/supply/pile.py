"""A pile of whole pieces: its weight, its volume in a stack, and how often one goes to carry it."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from simtent.scenario.turns import Pieces
from simtent.scenario.wood import Wood

# Solid wood in a stack: 80 to 90 of a cord's 128 cubic feet are wood, the middle taken. Maine Forest Service, leaflet
# on buying firewood (Department of Agriculture, Conservation and Forestry, January 2017). Short straight pieces lie
# closer, crooked ones looser.
SOLID = 85.0 / 128.0
SOLID_RANGE = (80.0 / 128.0, 90.0 / 128.0)
KINDLING = 0.03  # m, pieces thinner than this light a fire; own choice
ROUNDING = 1e-9


@dataclass(frozen=True)
class Pile:
    """Whole pieces by kind; the wood says what one weighs."""

    counts: Mapping[str, int]
    wood: Wood

    @classmethod
    def of(cls, loads: Iterable[Pieces], wood: Wood) -> "Pile":
        """All that several loads put on; what is given as a mass is rounded up to whole pieces of its kind."""
        counts = dict.fromkeys(wood.pieces, 0)
        masses = dict.fromkeys(wood.pieces, 0.0)
        for name, amount in (it for load in loads for it in load):
            if isinstance(amount, int):
                counts[name] += amount
            else:
                masses[name] += amount
        whole = {name: math.ceil(mass / wood.piece_mass(name) - ROUNDING) for name, mass in masses.items()}
        return cls({name: count + whole[name] for name, count in counts.items() if count + whole[name]}, wood)

    def __add__(self, other: "Pile") -> "Pile":
        names = dict.fromkeys((*self.counts, *other.counts))
        counts = {name: self.counts.get(name, 0) + other.counts.get(name, 0) for name in names}
        return Pile(counts, self.wood)

    def times(self, factor: float) -> "Pile":
        """So many times the pieces of each kind, rounded up to whole ones."""
        counts = {name: math.ceil(factor * count - ROUNDING) for name, count in self.counts.items()}
        return Pile(counts, self.wood)

    def mass_of(self, name: str) -> float:
        """Mass of all pieces of a kind as they are, moist [kg]."""
        return self.counts.get(name, 0) * self.wood.piece_mass(name)

    @property
    def mass(self) -> float:
        """Mass as it is, moist [kg]."""
        return sum((self.mass_of(name) for name in self.counts), start=0.0)

    @property
    def stacked(self) -> float:
        """Volume of a stack, the air in it included [m3]."""
        return self.wood.volume_of(self.mass) / SOLID

    @property
    def kindling(self) -> dict[str, int]:
        """The pieces that light a fire: those thinner than `KINDLING`, else the thinnest kind there is."""
        thick = {name: self.wood.pieces[name].thick for name in self.counts}
        thin = [name for name in thick if thick[name] < KINDLING] or sorted(thick, key=thick.__getitem__)[:1]
        return {name: self.counts[name] for name in thin}

    def ways(self, load: float) -> int:
        """How often one goes with a sled that takes so much [kg], filled with whole pieces, the heaviest first.

        No piece may be heavier than that.
        """
        left, heaviest = dict(self.counts), sorted(self.counts, key=lambda name: -self.wood.piece_mass(name))
        count = 0
        while any(left.values()):
            room, count = load, count + 1
            for name in heaviest:
                mass = self.wood.piece_mass(name)
                taken = min(left[name], math.floor(room / mass + ROUNDING))
                left[name], room = left[name] - taken, room - taken * mass
        return count
