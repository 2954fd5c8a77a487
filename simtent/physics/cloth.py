"""What becomes of thin cloth, or the face of wood, that a stove shines on: the temperature at which it stands still."""

from typing import NamedTuple

from simtent.physics.constants import STEFAN_BOLTZMANN

CLOSE = 1e-9  # K
MOST_ROUNDS = 100


class Sides(NamedTuple):
    """Air and surroundings on both sides of a thin cloth.

    inside, outside            temperatures of air and surroundings [K]
    film_inside, film_outside  of the air alone [W/(m2 K)]
    """

    inside: float
    outside: float
    film_inside: float
    film_outside: float


def heat_lost(kelvin: float, emissivity: float, sides: Sides) -> float:
    """Heat that a thin cloth gives off on both sides.

    Parameters
    ----------
    kelvin : float
        Temperature of the cloth [K].
    emissivity : float
        Of both sides [-].
    sides : Sides
        What is around it [K, W/(m2 K)].

    Returns
    -------
    float
        Heat [W/m2].

    Source
    ------
    Closed form: films on both sides, and radiation of a small body to large surroundings on both sides.
    """
    films = sides.film_inside * (kelvin - sides.inside) + sides.film_outside * (kelvin - sides.outside)
    return films + emissivity * STEFAN_BOLTZMANN * (2.0 * kelvin**4 - sides.inside**4 - sides.outside**4)


def cloth_temperature(absorbed: float, emissivity: float, sides: Sides) -> float:
    """Temperature at which a thin cloth that takes up radiation stands still.

    Parameters
    ----------
    absorbed : float
        Radiation taken up, 0 or more [W/m2].
    emissivity : float
        Of both sides [-].
    sides : Sides
        What is around it; one film at least above 0 [K, W/(m2 K)].

    Returns
    -------
    float
        Temperature [K].

    Source
    ------
    Closed form: the root of `heat_lost`, which rises with the temperature, by Newton from above.
    """
    films = sides.film_inside + sides.film_outside
    # Above the root, since the films alone would take the heat there; the loss is convex: Newton falls to the root.
    kelvin = max(sides.inside, sides.outside) + absorbed / films
    for _ in range(MOST_ROUNDS):
        slope = films + 8.0 * emissivity * STEFAN_BOLTZMANN * kelvin**3
        step = (heat_lost(kelvin, emissivity, sides) - absorbed) / slope
        kelvin -= step
        if abs(step) < CLOSE:
            break
    return kelvin


def flux_for(kelvin: float, absorptivity: float, emissivity: float, sides: Sides) -> float:
    """Radiation onto a thin cloth that holds it at a temperature.

    Parameters
    ----------
    kelvin : float
        Temperature of the cloth [K].
    absorptivity : float
        Of the cloth for the stove's radiation [-].
    emissivity : float
        Of both its sides [-].
    sides : Sides
        What is around it [K, W/(m2 K)].

    Returns
    -------
    float
        Radiation that arrives [W/m2].

    Source
    ------
    Closed form: `heat_lost` over what the cloth takes up of it.
    """
    return heat_lost(kelvin, emissivity, sides) / absorptivity
