"""A fabric skin in steady state, films, gap and radiation together, against published transmittances.

The fabric's own resistance is left out. Between airs of 20 and -10 degC; fluxes are simtent's laws joined in this test,
not a night. All of it is about building parts and film greenhouses: no measured tent was found.
"""

from functools import partial
from math import sqrt

import pytest
from scipy.optimize import brentq

from simtent.physics.airspace import gap_film, pair_emissivity
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.radiation import black_exchange

from .claims import EXACTLY, PUBLISHED, SECOND_HAND, between, case, claims, off, percent
from .sources import ASHRAE_FILMS, GREENHOUSE_ABSTRACTS, ISO_6946, MIHARA_HAYASHI

SUBJECT = "Skins and liners in steady state"
WALL, CEILING, FLOOR = 0.0, -1.0, 1.0
STEEP = sqrt(0.5)  # of a face at 45 degrees
ROOM, OUTDOORS = 293.15, 263.15
GAP = 0.025
SINGLE = [inside_film, black_exchange]
LINED = [*SINGLE, gap_film, pair_emissivity]

transmittance = partial(claims, unit="W/(m2 K)")


def inner_flux(face, cos_tilt, emissivity, room=ROOM):
    """Flux from room air and walls at one temperature to an inner face [W/m2]."""
    return emissivity * black_exchange(room, face) + inside_film(face - room, cos_tilt, 1.0) * (room - face)


def outer_flux(face, wind, emissivity=0.9):
    """Flux from the outer face to air, and surroundings at air temperature [W/m2]."""
    return outside_film(wind) * (face - OUTDOORS) + emissivity * black_exchange(face, OUTDOORS)


def gap_flux(inner, outer, cos_tilt):
    """Flux from the liner to the outer skin [W/m2]."""
    radiant = pair_emissivity(0.9, 0.9) * black_exchange(inner, outer)
    return gap_film(inner - outer, GAP, cos_tilt) * (inner - outer) + radiant


def lined_flux(cos_tilt, emissivity, to_outdoors):
    """Flux through a liner, a gap and an outer skin of no resistance of their own.

    The emissivity is that of the liner's face to the room; in the gap both faces have 0.9.
    """

    def outer_face(inner):
        def surplus(outer):
            return gap_flux(inner, outer, cos_tilt) - to_outdoors(outer)

        return brentq(surplus, OUTDOORS, inner)

    def surplus(inner):
        return inner_flux(inner, cos_tilt, emissivity) - to_outdoors(outer_face(inner))

    return inner_flux(brentq(surplus, OUTDOORS + 1e-6, ROOM), cos_tilt, emissivity)


def single_flux(cos_tilt, emissivity, to_outdoors):
    """Flux through one skin of no resistance of its own [W/m2]."""
    face = brentq(lambda face: inner_flux(face, cos_tilt, emissivity) - to_outdoors(face), OUTDOORS, ROOM)
    return inner_flux(face, cos_tilt, emissivity)


@transmittance(
    "Transmittance beside the sum of a standard's resistances, 0.04 m2 K/W outside; a model with films of its own",
    ISO_6946,
    SECOND_HAND,
    allowed=percent(10.0),
    laws=LINED,
    cases=[
        case("single wall, 0.13 inside", 1 / 0.17, single_flux, WALL),
        case("single roof, 0.10 inside", 1 / 0.14, single_flux, CEILING),
        case("lined wall, 0.13 inside, gap of 25 mm 0.18", 1 / 0.35, lined_flux, WALL),
        case("lined roof, 0.10 inside, gap of 25 mm 0.16", 1 / 0.30, lined_flux, CEILING),
    ],
)
def test_transmittance_beside_the_standard(flux, cos_tilt):
    return flux(cos_tilt, 0.9, lambda face: (face - OUTDOORS) / 0.04) / (ROOM - OUTDOORS)


STANDARD = [
    ("single wall", WALL, single_flux, 1 / 0.17, 1.06),
    ("single roof", CEILING, single_flux, 1 / 0.14, 0.92),
    ("lined wall", WALL, lined_flux, 1 / 0.35, 1.01),
    ("lined roof", CEILING, lined_flux, 1 / 0.30, 0.96),
]


@pytest.mark.parametrize(("skin", "cos_tilt", "flux", "standard", "ratio"), STANDARD)
def test_transmittance_is_off_by_no_more(skin, cos_tilt, flux, standard, ratio):
    ours = flux(cos_tilt, 0.9, lambda face: (face - OUTDOORS) / 0.04) / (ROOM - OUTDOORS)
    assert ours / standard == pytest.approx(ratio, rel=0.01), skin


# The table's films are those at 5.6 K; agreement of 15 % is what a model with its own films can be held to.
@transmittance(
    "Transmittance of a single skin in winter wind, 0.03 m2 K/W outside, by the emissivity of its inner face",
    ASHRAE_FILMS,
    SECOND_HAND,
    allowed=percent(15.0),
    laws=SINGLE,
    cases=[
        case("wall, 0.90", 6.68, WALL, 0.90),
        case("wall, 0.20", 3.74, WALL, 0.20),
        case(
            "wall, 0.05",
            3.04,
            WALL,
            0.05,
            missed="22 % more: the table's film is that of 5.6 K, here the air is 26 K warmer than the skin",
        ),
        case("roof, 0.90", 7.28, CEILING, 0.90),
        case("roof, 0.20", 4.47, CEILING, 0.20),
        case("roof, 0.05", 3.81, CEILING, 0.05),
    ],
)
def test_reflective_skin(cos_tilt, emissivity):
    return single_flux(cos_tilt, emissivity, lambda face: (face - OUTDOORS) / 0.03) / (ROOM - OUTDOORS)


# Cosine of the tilt, then the film [m2 K/W] by emissivity 0.90, 0.20, 0.05, and ours over it.
EMISSIVITIES = (0.90, 0.20, 0.05)
FILMS = {
    "up": (CEILING, (0.107, 0.194, 0.232), (1.20, 1.35, 1.45)),
    "up at 45 degrees": (-STEEP, (0.109, 0.201, 0.241), None),
    "horizontally": (WALL, (0.120, 0.238, 0.299), (1.13, 1.22, 1.28)),
    "down at 45 degrees": (STEEP, (0.134, 0.294, 0.391), None),
    "down": (FLOOR, (0.162, 0.475, 0.801), (0.96, 0.85, 0.77)),
}


def still_air(cos_tilt, emissivity):
    """Resistance of still air at a face that is 5.6 K colder than air and walls of 21.1 degC [m2 K/W]."""
    return 5.6 / inner_flux(294.25 - 5.6, cos_tilt, emissivity, room=294.25)


@claims(
    "Resistance of still air at a face 5.6 K colder, over that of the same table (heat, emissivity of face): a spread",
    ASHRAE_FILMS,
    SECOND_HAND,
    allowed=between(0.75, 1.48),
    laws=SINGLE,
    cases=[
        case(f"{way}, {emissivity:g}: {film:g} m2 K/W", None, cos_tilt, emissivity, film)
        for way, (cos_tilt, films, _) in FILMS.items()
        for emissivity, film in zip(EMISSIVITIES, films, strict=True)
    ],
)
def test_still_air_film(cos_tilt, emissivity, film):
    return still_air(cos_tilt, emissivity) / film


@pytest.mark.parametrize("way", [way for way, row in FILMS.items() if row[2] is not None])
def test_still_air_film_is_off_by_no_more(way):
    # Walton's law is the weaker at small differences: a known spread between sources, not a tolerance.
    cos_tilt, films, ratios = FILMS[way]
    found = [still_air(cos_tilt, e) / film for e, film in zip(EMISSIVITIES, films, strict=True)]
    assert found == pytest.approx(ratios, abs=0.02)


@claims(
    "Heat through a lined wall over that through a single skin, by wind",
    MIHARA_HAYASHI,
    PUBLISHED,
    allowed=off(0.08),
    laws=[*LINED, outside_film],
    cases=[
        case(f"{wind:g} m/s", ratio, wind)
        for wind, ratio in ((0.0, 0.60), (1.0, 0.56), (3.0, 0.51), (5.0, 0.48))
    ],
)
def test_liner_against_single_skin_in_wind(wind):
    def to_outdoors(face):
        return outer_flux(face, wind)

    return lined_flux(WALL, 0.9, to_outdoors) / single_flux(WALL, 0.9, to_outdoors)


# A plain liner saves 25 to 50 %, an aluminised one 40 to 65 %. In more wind both save more.
PLAIN, SHINY = (0.9, between(0.50, 0.75)), (0.2, between(0.35, 0.60))


@claims(
    "What a liner leaves of the heat through a wall, in little wind",
    GREENHOUSE_ABSTRACTS,
    PUBLISHED,
    allowed=between(0.35, 0.75),
    laws=[*LINED, outside_film],
    cases=[
        case(f"{name}, {wind:g} m/s", None, wind, emissivity, allowed=allowed)
        for name, (emissivity, allowed) in (("plain", PLAIN), ("aluminised, emissivity 0.2", SHINY))
        for wind in (0.0, 1.0)
    ],
)
def test_what_a_liner_saves(wind, emissivity):
    def to_outdoors(face):
        return outer_flux(face, wind)

    return lined_flux(WALL, emissivity, to_outdoors) / single_flux(WALL, 0.9, to_outdoors)


def in_wind(wind, flux=single_flux, emissivity=0.9):
    """Flux through a wall in wind [W/m2]."""
    return flux(WALL, emissivity, lambda face: outer_flux(face, wind))


def more_wind_costs_more():
    """Single skin, 5 m/s against 3 m/s."""
    return in_wind(5.0) > in_wind(3.0)


def liners_in_order():
    """Aluminised liner, plain liner, none, at 3 m/s."""
    return in_wind(3.0, lined_flux, 0.2) < in_wind(3.0, lined_flux) < in_wind(3.0)


def more_per_kelvin():
    """Inner film and radiation over a difference of 2, 5 and 15 K."""
    per_kelvin = [inner_flux(ROOM - d, WALL, 0.9) / d for d in (2.0, 5.0, 15.0)]
    return per_kelvin == sorted(per_kelvin)


@claims(
    "What raises the transmittance",
    GREENHOUSE_ABSTRACTS,
    PUBLISHED,
    allowed=EXACTLY,
    laws=[*LINED, outside_film],
    cases=[
        case("wind of 5 m/s more than of 3", True, more_wind_costs_more),
        case("a plain liner more than an aluminised one, none more than either", True, liners_in_order),
        case("per kelvin, a larger difference more than a small one", True, more_per_kelvin),
    ],
)
def test_signs_of_the_envelope(statement):
    return statement()
