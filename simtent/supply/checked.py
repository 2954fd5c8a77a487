"""The rule of equal useful heat, held against simulated nights: the same night with another wood."""

from dataclasses import dataclass
from typing import Any

from simtent.driver import drive
from simtent.errors import InputError
from simtent.scenario.materials import Species, species, species_names
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import find, plain
from simtent.supply.burnt import coldest, mean
from simtent.supply.other_wood import scaled

GREEN = 0.4  # water in the moist wood, for the second check: half green wood, which a hot fire still burns


@dataclass(frozen=True)
class Checked:
    """A night burnt with another wood, every load of the same useful heat; temperatures at the cot, in bed [degC].

    own, other            coldest with the wood at hand, and with the other
    own_mean, other_mean  means
    factor                mass of each load over that of the wood at hand
    unfit                 whether its loads have no room in the firebox; then no night was simulated
    """

    species: Species
    moisture: float
    factor: float
    own: float = 0.0
    other: float = 0.0
    own_mean: float = 0.0
    other_mean: float = 0.0
    unfit: bool = False


def check(night: Scenario) -> tuple[Checked, ...]:
    """A night with its loads, burnt with the densest other species, and with its own half green."""
    assert night.wood is not None
    wood = night.wood
    densest = max(
        (species(name) for name in species_names() if name != wood.species.name), key=lambda it: it.density
    )
    own = drive(night)
    found = []
    for kind, moisture in ((densest, wood.moisture), (wood.species, max(GREEN, wood.moisture))):
        factor = scaled(wood, kind, moisture)
        try:
            other = drive(night.replace(other_wood(night, kind, moisture)))
        except InputError:
            found.append(Checked(kind, moisture, factor, unfit=True))
            continue
        found.append(Checked(kind, moisture, factor, coldest(own), coldest(other), mean(own), mean(other)))
    return tuple(found)


def other_wood(night: Scenario, kind: Species, moisture: float) -> dict[str, Any]:
    """Replacements: another wood, every load of its useful heat by the clock and by rules."""
    wood, stoking = night.wood, night.stoking
    assert wood and stoking
    factor = scaled(wood, kind, moisture)
    changes: dict[str, Any] = {"wood.species": kind.name, "wood.moisture": f"{100.0 * moisture!r} % wet"}
    for what, key, piles in (
        ("load", "pieces", [it.pieces for it in stoking.load]),
        ("rule", "load", [it.load for it in stoking.rule]),
    ):
        rows, there = find(night.tree, ("stoking", what))
        if there and piles:
            masses = [wood.load_masses(tuple(pile.items())) for pile in piles]
            changes[f"stoking.{what}"] = [
                {**row, key: {name: f"{factor * mass!r} kg" for name, mass in own.items()}}
                for row, own in zip(plain(rows), masses, strict=True)
            ]
    return changes
