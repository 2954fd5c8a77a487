"""What hot metal gives to a room and to the wind, against printed fluxes, closed forms and other laws."""

from math import isfinite

import ht
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import g as standard_gravity
from scipy.optimize import brentq

from simtent.physics.hot_surface import hot_film
from simtent.physics.radiation import black_exchange
from tests.reference.metals import DENSITY, specific_heat

# HB5. Closed form, room 20 degC, emissivity .85, 1.31 d^(4/3): degC, flux [W/m2], radiant share, time constant of
# 1 mm of steel [s]. Within 0.5 %, shares to their rounding.
FLUXES = [
    (100.0, 1030.0, 0.56, 218.0),
    (150.0, 2052.0, 0.58, 171.0),
    (200.0, 3391.0, 0.61, 137.0),
    (250.0, 5100.0, 0.64, 112.0),
    (300.0, 7245.0, 0.67, 93.0),
    (350.0, 9899.0, 0.70, 78.0),
    (400.0, 13146.0, 0.73, 67.0),
    (450.0, 17077.0, 0.75, 58.0),
    (500.0, 21789.0, 0.77, 51.0),
    (550.0, 27391.0, 0.80, 46.0),
]


def fluxes(surface, room, emissivity=0.85):
    """Radiant and convective flux of a surface into a room in still air [W/m2]; both in K."""
    difference = surface - room
    return emissivity * black_exchange(surface, room), hot_film(difference, 0.0, 1.0) * difference


@pytest.mark.parametrize(("celsius", "expected", "share", "seconds"), FLUXES)
def test_flux_table(celsius, expected, share, seconds):
    radiant, convective = fluxes(celsius + 273.15, 293.15)
    assert radiant + convective == pytest.approx(expected, rel=0.005)
    assert radiant / (radiant + convective) == pytest.approx(share, abs=0.006)


@pytest.mark.parametrize(("celsius", "expected", "share", "seconds"), FLUXES)
def test_time_constant_of_thin_steel(celsius, expected, share, seconds):
    warmer, cooler = (sum(fluxes(celsius + 273.15 + nudge, 293.15)) for nudge in (0.01, -0.01))
    stored = specific_heat("steel", celsius + 273.15) * DENSITY["steel"] * 1e-3
    assert stored / ((warmer - cooler) / 0.02) == pytest.approx(seconds, rel=0.012)


def test_cube():
    # HB1. Closed form: 1 m cube, 5 faces, emissivity .8, 500 K in a room of 300 K. Convection there by a vertical
    # plate's law with .15 Ra^(1/3) on the top; ours is 8 % above.
    radiant, convective = fluxes(500.0, 300.0, emissivity=0.8)
    assert 5.0 * radiant == pytest.approx(12340.0, rel=1e-3)
    assert 5.0 * convective == pytest.approx(7100.0, rel=0.10)


# HB3. Closed form: 1 kg/h of wood, 20 % moist, is 3.975 kW; body of .45 m2 takes 55 or 65 % of it. Within 2 K.
@pytest.mark.parametrize(("share", "expected"), [(0.55, 244.0), (0.65, 266.0)])
def test_body_temperature(share, expected):
    body = brentq(lambda kelvin: 0.45 * sum(fluxes(kelvin, 293.15)) - share * 3975.0, 300.0, 900.0)
    assert body - 273.15 == pytest.approx(expected, abs=2.0)


def air(kelvin):
    """Density, viscosity, conductivity and specific heat of air. Library: CoolProp 8.0.0."""
    return [PropsSI(name, "T", kelvin, "P", 101325.0, "Air") for name in "DVLC"]


def plate(difference, length, room=283.15):
    """Vertical plate in still air [W/(m2 K)], properties at film temperature. Library: ht 1.2.0, Churchill."""
    film = room + difference / 2.0
    density, viscosity, conductivity, capacity = air(film)
    grashof = standard_gravity / film * difference * length**3 * (density / viscosity) ** 2
    return (
        ht.Nu_vertical_plate_Churchill(capacity * viscosity / conductivity, grashof) * conductivity / length
    )


# A spread, not a tolerance: properties at film temperature, which ours leaves out, tilt the comparison from 0.82 at
# 30 K to 1.30 at 480 K. There three quarters of the heat is radiation.
@pytest.mark.parametrize("length", [0.3, 0.6])
@pytest.mark.parametrize("difference", [30.0, 100.0, 200.0, 300.0, 480.0])
def test_still_air_against_a_plate(difference, length):
    assert 0.80 < hot_film(difference, 0.0, 1.0) / plate(difference, length) < 1.32


@pytest.mark.parametrize("difference", [100.0, 200.0, 300.0])
def test_still_air_within_a_sixth_of_a_plate(difference):
    assert hot_film(difference, 0.0, 1.0) == pytest.approx(plate(difference, 0.45), rel=0.16)


# Library: ht 1.2.0, laminar plate of 0.5 m along the wind and pipe of 76 mm across it (Churchill and Bernstein).
@pytest.mark.parametrize("wind", [1.0, 3.0, 6.0])
def test_wind_lies_between_a_plate_and_a_pipe(wind):
    density, viscosity, conductivity, capacity = air(383.15)
    prandtl = capacity * viscosity / conductivity
    along, across = (density * wind * length / viscosity for length in (0.5, 0.076))
    least = ht.Nu_external_horizontal_plate(along, prandtl, L=0.5, x=0.5) * conductivity / 0.5
    most = ht.Nu_cylinder_Churchill_Bernstein(across, prandtl) * conductivity / 0.076
    assert least < hot_film(200.0, wind, 1.0) < most


def test_wind_alone():
    # ISO 6946 annex C (second-hand): 4 W/(m2 K) per m/s; without a difference nothing else is left.
    assert [hot_film(0.0, wind, 1.0) for wind in (0.0, 1.0, 5.0)] == pytest.approx([0.0, 4.0, 20.0])


def test_both_together():
    # Cubes add up (handbooks of heat transfer, from memory): two equal parts make 2^(1/3) of one.
    still = hot_film(250.0, 0.0, 1.0)
    assert hot_film(250.0, still / 4.0, 1.0) == pytest.approx(2.0 ** (1.0 / 3.0) * still, rel=1e-12)


def test_thin_air():
    # Closed form of Nu ~ Ra^(1/3): still air falls with density^(2/3), wind's part stays.
    assert hot_film(200.0, 0.0, 0.7) == pytest.approx(
        0.7 ** (2.0 / 3.0) * hot_film(200.0, 0.0, 1.0), rel=1e-12
    )
    assert hot_film(0.0, 3.0, 0.7) == pytest.approx(12.0, rel=1e-12)


@given(st.floats(0.0, 900.0), st.floats(0.0, 15.0), st.floats(0.01, 50.0), st.floats(0.01, 5.0))
def test_more_of_either_gives_more(difference, wind, warmer, windier):
    here = hot_film(difference, wind, 0.9)
    assert here < hot_film(difference + warmer, wind, 0.9) + 1e-12
    assert here < hot_film(difference, wind + windier, 0.9)
    assert hot_film(-difference, wind, 0.9) == here


@pytest.mark.parametrize("wind", [0.0, 1e-9, 0.3, 5.0])
def test_flux_is_finite_and_smooth_through_zero(wind):
    points = [-790.0, -5.0, -1e-3, -1e-12, -5e-324, 0.0, 5e-324, 1e-12, 1e-3, 5.0, 790.0]
    for point in points:
        here, there = (hot_film(d, wind, 0.8) * d for d in (point, point + 1e-6))
        assert isfinite(here) and here * point >= 0.0
        assert abs(there - here) <= 25.0 * 1e-6
