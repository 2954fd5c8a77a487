"""A fabric skin in steady state: films, gap and radiation together against published transmittances."""

import pytest
from scipy.optimize import brentq

from simtent.physics.airspace import gap_film, pair_emissivity
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.radiation import black_exchange

WALL, CEILING, FLOOR = 0.0, -1.0, 1.0
ROOM, OUTDOORS = 293.15, 263.15
GAP = 0.025


def inner_flux(face, cos_tilt, emissivity, room=ROOM):
    """Flux from room air and walls at one temperature to an inner face [W/m2]."""
    return emissivity * black_exchange(room, face) + inside_film(face - room, cos_tilt, 1.0) * (room - face)


def outer_flux(face, wind, emissivity=0.9):
    """Flux from the outer face to air, and surroundings at air temperature [W/m2]."""
    return outside_film(wind) * (face - OUTDOORS) + emissivity * black_exchange(face, OUTDOORS)


def gap_flux(inner, outer, cos_tilt):
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
    face = brentq(lambda face: inner_flux(face, cos_tilt, emissivity) - to_outdoors(face), OUTDOORS, ROOM)
    return inner_flux(face, cos_tilt, emissivity)


# EN4, EN5, WS8, EN6, EN7. Second-hand inputs (ISO 6946: inside 0.13 wall and 0.10 roof, outside 0.04, gap
# 0.18 and 0.16 m2 K/W), closed form. Ours at 30 K between the airs:
# case, U of the standard, ours over it (1 %).
STANDARD = [
    ("single wall", WALL, False, 1 / 0.17, 1.06),
    ("single roof", CEILING, False, 1 / 0.14, 0.92),
    ("lined wall", WALL, True, 1 / 0.35, 1.01),
    ("lined roof", CEILING, True, 1 / 0.30, 0.96),
]


@pytest.mark.parametrize(("case", "cos_tilt", "lined", "standard", "ratio"), STANDARD)
def test_transmittance_beside_the_standard(case, cos_tilt, lined, standard, ratio):
    flux = lined_flux if lined else single_flux
    ours = flux(cos_tilt, 0.9, lambda face: (face - OUTDOORS) / 0.04) / (ROOM - OUTDOORS)
    assert ours / standard == pytest.approx(ratio, rel=0.01), case


# EN8, EN9. Second-hand: ASHRAE Handbook Fundamentals 2021 ch. 26 table 10 (films at 5.6 K) with 0.03 m2 K/W
# outside: U [W/(m2 K)] by emissivity of the inner face. Expected agreement 15 % for a model with its own
# films; achieved -3 to +14 % but for one.
LOW = pytest.mark.xfail(
    strict=True,
    reason="22 % high: the table's film is that of 5.6 K, here the air is 26 K warmer than the skin",
)
REFLECTIVE = [
    pytest.param(WALL, 0.90, 6.68),
    pytest.param(WALL, 0.20, 3.74),
    pytest.param(WALL, 0.05, 3.04, marks=LOW),
    pytest.param(CEILING, 0.90, 7.28),
    pytest.param(CEILING, 0.20, 4.47),
    pytest.param(CEILING, 0.05, 3.81),
]


@pytest.mark.parametrize(("cos_tilt", "emissivity", "expected"), REFLECTIVE)
def test_reflective_skin(cos_tilt, emissivity, expected):
    ours = single_flux(cos_tilt, emissivity, lambda face: (face - OUTDOORS) / 0.03) / (ROOM - OUTDOORS)
    assert ours == pytest.approx(expected, rel=0.15)


# Still-air film of the same table at its own 5.6 K [m2 K/W]: cosine of the tilt, then emissivity 0.90, 0.20,
# 0.05. Ours over it: 0.96 to 1.2 at 0.90, up to 1.45 at 0.05 (up), 0.77 (down): Walton's law is the weaker at
# small differences. A known spread between sources, not a tolerance.
FILMS = [
    (CEILING, (0.107, 0.194, 0.232), (1.20, 1.35, 1.45)),
    (WALL, (0.120, 0.238, 0.299), (1.13, 1.22, 1.28)),
    (FLOOR, (0.162, 0.475, 0.801), (0.96, 0.85, 0.77)),
]


@pytest.mark.parametrize(("cos_tilt", "table", "ratios"), FILMS)
def test_still_air_film_at_a_small_difference(cos_tilt, table, ratios):
    for emissivity, expected, ratio in zip((0.90, 0.20, 0.05), table, ratios, strict=True):
        film = 5.6 / inner_flux(294.25 - 5.6, cos_tilt, emissivity, room=294.25)
        assert film / expected == pytest.approx(ratio, abs=0.02)


# EN1. Published abstract (Mihara and Hayashi 1979): wind [m/s], U lined over U single, within 0.08.
LINED = [(0.0, 0.60), (1.0, 0.56), (3.0, 0.51), (5.0, 0.48)]


@pytest.mark.parametrize(("wind", "expected"), LINED)
def test_liner_against_single_skin_in_wind(wind, expected):
    def to_outdoors(face):
        return outer_flux(face, wind)

    ratio = lined_flux(WALL, 0.9, to_outdoors) / single_flux(WALL, 0.9, to_outdoors)
    assert ratio == pytest.approx(expected, abs=0.08)


@pytest.mark.parametrize("wind", [0.0, 1.0])
def test_what_a_liner_saves(wind):
    # EN3. Published abstracts: a plain liner saves 25 to 50 %, an aluminised one 40 to 65 %. In more wind
    # both save more (EN1 has 52 % at 5 m/s itself).
    def to_outdoors(face):
        return outer_flux(face, wind)

    single = single_flux(WALL, 0.9, to_outdoors)
    assert 0.50 <= lined_flux(WALL, 0.9, to_outdoors) / single <= 0.75
    assert 0.35 <= lined_flux(WALL, 0.2, to_outdoors) / single <= 0.60


def test_signs_of_the_envelope():
    # EN2. Published abstracts: U rises with wind and with the difference; aluminised liner below plain below
    # none.
    def to_outdoors(face):
        return outer_flux(face, 3.0)

    single = single_flux(WALL, 0.9, to_outdoors)
    assert single_flux(WALL, 0.9, lambda face: outer_flux(face, 5.0)) > single
    assert lined_flux(WALL, 0.2, to_outdoors) < lined_flux(WALL, 0.9, to_outdoors) < single
    per_kelvin = [inner_flux(ROOM - d, WALL, 0.9) / d for d in (2.0, 5.0, 15.0)]
    assert per_kelvin == sorted(per_kelvin)
