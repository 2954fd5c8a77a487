"""The same heat from another wood: by its heating value and the water in it, and by nothing else."""

from dataclasses import dataclass

from simtent.physics.wood import WATER_HEAT
from simtent.scenario.materials import Species, species, species_names
from simtent.scenario.wood import Wood
from simtent.supply.pile import SOLID, Pile

DRYNESS = {
    "dry": 0.15,
    "seasoned": 0.20,
    "half dry": 0.35,
    "green": 0.50,
}  # water in moist wood; common practice


@dataclass(frozen=True)
class Other:
    """Another wood in place of a pile.

    mass     as carried, moist [kg]
    water    of it [kg]
    stacked  [m3]
    pieces   of the same sizes, for each piece of the pile [-]
    """

    species: Species
    moisture: float
    mass: float
    water: float
    stacked: float
    pieces: float


def useful_heat(kind: Species, moisture: float) -> float:
    """Heat of moist wood that no vapour takes along [J/kg moist]: net heating value less its water's evaporation.

    The usual formula of handbooks; what a stove loses up the flue is taken as the same share for every wood.
    """
    return (1.0 - moisture) * kind.heating_value - moisture * WATER_HEAT


def instead(pile: Pile, kind: Species, moisture: float) -> Other:
    """What another wood comes to, with the useful heat of a pile."""
    wood = pile.wood
    heat = pile.mass * useful_heat(wood.species, wood.moisture)
    mass = heat / useful_heat(kind, moisture)
    solid = mass * (1.0 - moisture) / kind.density
    return Other(
        kind,
        moisture,
        mass,
        mass * moisture,
        solid / SOLID,
        solid / wood.volume_of(pile.mass) if pile.mass else 1.0,
    )


def woods(pile: Pile) -> list[dict[str, Other]]:
    """Every species of the table, each at every dryness, the wood at hand's own species first."""
    own = pile.wood.species.name
    names = [own, *(name for name in species_names() if name != own)]
    return [{dry: instead(pile, species(name), wet) for dry, wet in DRYNESS.items()} for name in names]


def scaled(wood: Wood, kind: Species, moisture: float) -> float:
    """Mass of another wood over that of the wood at hand, with the same useful heat [-]."""
    return useful_heat(wood.species, wood.moisture) / useful_heat(kind, moisture)
