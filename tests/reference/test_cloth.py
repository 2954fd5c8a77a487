"""The temperature at which thin cloth stands still when a stove shines on it.

Cloth of one temperature through, emissivity 0.9 on both sides. The films are a choice: 4 W/(m2 K) of still air, 10
in wind. Real cloth is reached sooner by sparks, and is in folds, damp, coated, or near parts hotter than the mean.
"""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import sigma

from simtent.physics.cloth import Sides, cloth_temperature, flux_for, heat_lost

from .claims import CLOSED_FORM, case, claims, off, percent
from .sources import FLUX_TABLE, MATHEMATICS

SUBJECT = "Cloth near a stove"
ZERO = 273.15
FILMS = {"wind": 10.0, "calm": 4.0}

tabled = partial(claims, source=FLUX_TABLE, provenance=CLOSED_FORM)


def around(film, inside=20.0, outside=-10.0):
    """Still air at 20 degC within, air at -10 degC outside."""
    return Sides(inside + ZERO, outside + ZERO, 4.0, film)


def standing(film, kilowatts):
    """Temperature of the cloth [degC]."""
    return cloth_temperature(0.9 * 1000.0 * kilowatts, 0.9, around(film)) - ZERO


FLUXES = (0.5, 1.0, 2.0, 3.0, 5.0, 7.5, 10.0)
TABLE = {"wind": (21, 38, 70, 98, 144, 190, 228), "calm": (30, 52, 89, 119, 167, 213, 250)}


@tabled(
    "Temperature of cloth between 20 degC within and -10 degC outside that meets 0.5, 1, 2, 3, 5, 7.5, 10 kW/m2",
    unit="degC",
    allowed=off(1.0),
    laws=[cloth_temperature],
    cases=[case(name, TABLE[name], film) for name, film in FILMS.items()],
)
def test_temperatures(film):
    return [standing(film, kilowatts) for kilowatts in FLUXES]


HELD = {75: (2.2, 1.6), 100: (3.1, 2.4), 160: (5.8, 4.7), 220: (9.5, 7.9), 250: (11.7, 10.0)}


@tabled(
    "Radiation that holds such cloth at a temperature, in wind and in a calm",
    unit="kW/m2",
    allowed=off(0.06),  # rounding
    laws=[flux_for, heat_lost],
    cases=[case(f"{celsius} degC", expected, celsius) for celsius, expected in HELD.items()],
)
def test_fluxes(celsius):
    return [1e-3 * flux_for(celsius + ZERO, 0.9, 0.9, around(film)) for film in FILMS.values()]


@claims(
    "Without radiation, and without emissivity, the mean of both airs by their films",
    MATHEMATICS,
    CLOSED_FORM,
    unit="degC",
    allowed=off(1e-6),
    laws=[cloth_temperature],
    cases=[
        case("wind", (4.0 * 20.0 - 10.0 * 10.0) / 14.0, 10.0),
        case("calm", 5.0, 4.0),
    ],
)
def test_nothing_shines(film):
    return cloth_temperature(0.0, 0.0, around(film)) - ZERO


@claims(
    "Without air, a thin sheet of emissivity 1 by the fourth root of the mean of the fourth powers",
    MATHEMATICS,
    CLOSED_FORM,
    unit="K",
    allowed=percent(1e-6),
    laws=[cloth_temperature],
    cases=[
        case("nothing shines", ((293.15**4 + 263.15**4) / 2.0) ** 0.25, 0.0),
        case("2 kW/m2", ((293.15**4 + 263.15**4 + 2000.0 / sigma) / 2.0) ** 0.25, 2000.0),
    ],
)
def test_no_air(absorbed):
    return cloth_temperature(absorbed, 1.0, Sides(293.15, 263.15, 1e-9, 1e-9))


KELVINS = st.floats(220.0, 330.0)
SIDES = st.builds(Sides, KELVINS, KELVINS, st.floats(1.0, 30.0), st.floats(1.0, 50.0))
SHARES = st.floats(0.05, 1.0)


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), SHARES, SIDES)
def test_more_radiation_is_never_cooler_and_the_balance_closes(one, other, emissivity, sides):
    cool, hot = (cloth_temperature(1000.0 * it, emissivity, sides) for it in sorted((one, other)))
    assert hot >= cool - 1e-9
    assert heat_lost(hot, emissivity, sides) == pytest.approx(1000.0 * max(one, other), rel=1e-9, abs=1e-5)


@given(st.floats(0.1, 20.0), SHARES, SIDES)
def test_flux_and_temperature_are_each_others_inverse(kilowatts, share, sides):
    kelvin = cloth_temperature(share * 1000.0 * kilowatts, share, sides)
    assert flux_for(kelvin, share, share, sides) == pytest.approx(1000.0 * kilowatts, rel=1e-8)


@given(st.floats(0.5, 20.0), st.floats(4.0, 40.0), st.floats(0.1, 10.0))
def test_wind_cools_what_is_warmer_than_the_wind(kilowatts, film, more):
    assert standing(film + more, kilowatts) < standing(film, kilowatts)
