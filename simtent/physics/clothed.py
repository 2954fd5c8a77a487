"""A clothed body's balance of heat after ISO 11079: what it must lose, and what its clothing's surface loses."""

from collections.abc import Callable
from math import exp, log, sqrt
from typing import NamedTuple

from simtent.physics.constants import ICE_POINT, STEFAN_BOLTZMANN

EMITTING, RADIATING = 0.95, 0.77
"""Emissivity of clothing, share of a body's surface that faces the surroundings [-]; ISO 11079 by public programs."""
PERMEABILITY = 0.008
"""Of the outer fabric to air [m/s], 8 l/(s m2): dense working clothes, as in the standard's table; loose ones 0.1."""
FILM_STILL = 0.085
"""Resistance of still air around a naked body [m2 K/W]: the same."""
WIDER = 1.97
"""By which clothing enlarges the body's surface [1 per m2 K/W]; public programs have 1.197, see `clothing.required`."""
FASTEST_WALK = 1.2  # m/s
SLOWEST_AIR, FASTEST_AIR = 0.4, 18.0  # m/s


class Surroundings(NamedTuple):
    """What a person stands in.

    air       [K]
    radiant   mean temperature of what the person sees [K]
    speed     of the air [m/s]
    humidity  relative, over water [-]
    """

    air: float
    radiant: float
    speed: float
    humidity: float


class Activity(NamedTuple):
    """What a person does, and in what fabric.

    metabolic     heat of the body [W/m2]
    walking       [m/s]
    permeability  of the outer fabric [m/s]
    work          done on other things [W/m2]
    """

    metabolic: float
    walking: float = 0.0
    permeability: float = PERMEABILITY
    work: float = 0.0


class Strain(NamedTuple):
    """How a person is to feel: the skin's temperature [degC] and its wet share [-] by the metabolic heat M [W/m2].

    Skin at warmth - fall M, wet by wet + wetter M.
    """

    warmth: float
    fall: float
    wet: float
    wetter: float


NEUTRAL = Strain(35.7, 0.0285, 0.0, 0.001)
"""Neither warm nor cold: ISO 11079, through public programs."""
MINIMAL = Strain(33.34, 0.0354, 0.06, 0.0)
"""Cold on the whole but in balance, the least that is borne: the same."""


class Clothed(NamedTuple):
    """A clothed body: heat it must lose, and what its surface loses.

    skin, radiant, air  temperatures [K]
    heat                made, less work and breath [W/m2]
    sweat               of the skin, over the resistance to vapour's unit [W/m2 per (m2 K/W)]
    film                resistance of the air around [m2 K/W]
    kept                share of the insulation that wind and walking leave [-]
    """

    skin: float
    radiant: float
    air: float
    heat: float
    sweat: float
    film: float
    kept: float

    def left(self, worn: float) -> float:
        """Heat that must go through the clothing [W/m2]."""
        return self.heat - self.sweat / (self.film + worn)

    def dry(self, worn: float, surface: float) -> float:
        """Heat that the clothing's surface loses at a temperature, per body's surface [W/m2]."""
        grey = EMITTING * RADIATING * STEFAN_BOLTZMANN
        radiative = grey * (surface + self.radiant) * (surface**2 + self.radiant**2)
        convective = 1.0 / self.film - radiative
        lost = radiative * (surface - self.radiant) + convective * (surface - self.air)
        return (1.0 + WIDER * worn) * lost

    def surplus(self, worn: float) -> float:
        """Heat that clothing of some insulation keeps in too much; negative where it loses too much [W/m2]."""
        through = self.left(worn)
        return through - self.dry(worn, self.skin - worn * through)

    def basic(self, worn: float) -> float:
        """Insulation measured still of what has some while worn, 0 where a wind alone would do [m2 K/W]."""
        wider = 1.0 + WIDER * worn
        return max((worn + self.film / wider) / self.kept - FILM_STILL / wider, 0.0)

    def while_worn(self, basic: float) -> float:
        """Insulation while worn of what has some measured still: `basic` the other way, a square root [m2 K/W]."""
        still = basic * self.kept
        half = 0.5 * (1.0 - WIDER * still)
        rest = still + FILM_STILL * self.kept - self.film
        if rest <= 0.0:
            return 0.0
        return (sqrt(half * half + WIDER * rest) - half) / WIDER


def clothed(around: Surroundings, doing: Activity, strain: Strain) -> Clothed:
    """The body of a person who stands somewhere and does something.

    Parameters
    ----------
    around : Surroundings
        Air and radiant temperature [K], speed [m/s], relative humidity [-].
    doing : Activity
        Metabolic heat and work [W/m2], walking and the fabric's permeability [m/s].
    strain : Strain
        `NEUTRAL` or `MINIMAL`: skin [degC] and its wet share [-].

    Returns
    -------
    Clothed
        Temperatures [K], heat to lose [W/m2], resistances [m2 K/W].

    Raises
    ------
    ValueError
        If metabolic heat, work, permeability or humidity is no possible number.

    Source
    ------
    ISO 11079:2007, second-hand through two public programs and a library.
    """
    _refuse(around, doing)
    made, air = doing.metabolic, around.air - ICE_POINT
    walking = min(max(doing.walking, 0.0052 * (made - 58.0), 0.0), FASTEST_WALK)
    wind = -0.15 * min(max(around.speed, SLOWEST_AIR), FASTEST_AIR) - 0.22 * walking
    fabric = 1e3 * doing.permeability  # l/(s m2)
    skin, breath = strain.warmth - strain.fall * made, 29.0 + 0.2 * air
    vapour = around.humidity * _saturation(air)
    breathed = 0.0173 * made * (_saturation(breath) - vapour) + 0.0014 * made * (breath - air)
    heat = made - doing.work - breathed
    if heat <= 0.0:
        raise ValueError(
            f"work and breath take {made - heat:.0f} of {made:.0f} W/m2: no clothing keeps that warm"
        )
    wet = strain.wet + strain.wetter * made
    return Clothed(
        ICE_POINT + skin,
        around.radiant,
        around.air,
        heat,
        wet * (_saturation(skin) - vapour) * 0.38 / 0.06,
        0.092 * exp(wind) - 0.0045,
        0.54 * exp(wind) * fabric**0.075 - 0.06 * log(fabric) + 0.5,
    )


def _saturation(celsius: float) -> float:
    """Vapour at saturation as the standard has it, over water at all temperatures [kPa]."""
    return 0.1333 * exp(18.6686 - 4030.183 / (celsius + 235.0))


def _refuse(around: Surroundings, doing: Activity) -> None:
    """Raise a ValueError for what cannot be."""
    checks: tuple[tuple[str, float, Callable[[float], bool]], ...] = (
        ("metabolic heat", doing.metabolic, lambda value: value > 0.0),
        ("permeability", doing.permeability, lambda value: 0.0 < value <= 1.0),
        ("humidity", around.humidity, lambda value: 0.0 <= value <= 1.0),
    )
    for name, value, possible in checks:
        if not possible(value):
            raise ValueError(f"{name} is {value}: impossible")
