"""Dry air: an ideal gas of constant specific heat, and the standard atmosphere, against libraries."""

from functools import partial

import fluids.atmosphere
import pytest
from CoolProp.CoolProp import PropsSI

from simtent.physics.air import air_density, standard_pressure
from simtent.physics.constants import CP_AIR

from .claims import LIBRARY, SECOND_HAND, case, claims, off, percent
from .other_laws import air_conductivity, air_viscosity
from .psychro import psychrolib
from .sources import ASHRAE_MOIST_AIR, COOLPROP, FLUIDS, PSYCHROLIB

SUBJECT = "Dry air"

density = partial(claims, unit="kg/m3", laws=[air_density])
pressure = partial(claims, unit="Pa", laws=[standard_pressure])

# Dry air at 101325 Pa: T [K], density [kg/m3], viscosity [Pa s], conductivity [W/(m K)], Prandtl [-].
DRY_AIR = [
    (253.15, 1.3956, 1.6201e-5, 0.022812, 0.714),
    (273.15, 1.2931, 1.7218e-5, 0.02436, 0.711),
    (293.15, 1.2046, 1.8206e-5, 0.025874, 0.708),
    (400.0, 0.88231, 2.3055e-5, 0.033453, 0.699),
]
RANGE = [-90.0, -60.0, -20.0, 20.0, 126.85, 300.0, 500.0, 700.0]


def real_air(name, celsius, pascal=101325.0):
    """A property of real air. Library: CoolProp 8.0.0."""
    return PropsSI(name, "T", celsius + 273.15, "P", pascal, "Air")


@density(
    "Density of dry air at sea level",
    COOLPROP,
    LIBRARY,
    digits=5,
    allowed=percent(0.2),
    cases=[case(f"{kelvin - 273.15:g} degC", expected, kelvin) for kelvin, expected, *_ in DRY_AIR],
)
def test_density(kelvin):
    return air_density(kelvin, 101325.0)


@density(
    "Density over the whole range of the model",
    COOLPROP,
    LIBRARY,
    allowed=percent(0.4),
    cases=[case("eight temperatures from -90 to 700 degC", [real_air("D", celsius) for celsius in RANGE])],
)
def test_density_over_the_whole_range():
    return [air_density(celsius + 273.15, 101325.0) for celsius in RANGE]


@density(
    "Density at altitude",
    COOLPROP,
    LIBRARY,
    allowed=percent(0.2),
    cases=[case("-10 degC, 77000 Pa", real_air("D", -10.0, 77000.0))],
)
def test_density_at_altitude():
    return air_density(263.15, 77000.0)


@claims(
    "Specific heat, a constant here",
    COOLPROP,
    LIBRARY,
    unit="J/(kg K)",
    allowed=percent(1.0),
    cases=[case(f"{celsius:g} degC", real_air("C", celsius)) for celsius in RANGE if celsius <= 130.0],
)
def test_specific_heat():
    return CP_AIR


# Fits that only the tests here use, for comparing with laws of plates and cavities.
@pytest.mark.parametrize(("temperature", "density", "viscosity", "conductivity", "prandtl"), DRY_AIR)
def test_dry_air_table(temperature, density, viscosity, conductivity, prandtl):
    assert air_viscosity(temperature) == pytest.approx(viscosity, rel=0.02)
    assert air_conductivity(temperature) == pytest.approx(conductivity, rel=0.02)
    ours = CP_AIR * air_viscosity(temperature) / air_conductivity(temperature)
    assert ours == pytest.approx(prandtl, rel=0.02)


# Whole range of the model, degC. Agreement as the docstrings promise.
@pytest.mark.parametrize("celsius", RANGE)
def test_fits_over_the_whole_range(celsius):
    cool = celsius <= 130.0
    assert air_viscosity(celsius + 273.15) == pytest.approx(
        real_air("V", celsius), rel=0.01 if cool else 0.04
    )
    assert air_conductivity(celsius + 273.15) == pytest.approx(real_air("L", celsius), rel=0.022)


@pressure(
    "Pressure of the standard atmosphere in chapter 1",
    ASHRAE_MOIST_AIR,
    SECOND_HAND,
    digits=6,
    allowed=off(1.0),
    cases=[case("1000 m", 89875.0)],
)
def test_standard_pressure():
    return standard_pressure(1000.0)


ALTITUDES = (-400.0, 0.0, 500.0, 2317.0, 6000.0)


@pressure(
    "Pressure of the standard atmosphere, the same formula in a library",
    PSYCHROLIB,
    LIBRARY,
    digits=6,
    allowed=off(0.1),
    cases=[
        case(f"{altitude:g} m", psychrolib.GetStandardAtmPressure(altitude), altitude)
        for altitude in ALTITUDES
    ],
)
def test_standard_pressure_by_the_same_formula(altitude):
    return standard_pressure(altitude)


@pressure(
    "Pressure of the U.S. Standard Atmosphere of 1976, over geopotential height",
    FLUIDS,
    LIBRARY,
    digits=6,
    allowed=percent(0.1),
    cases=[
        case(f"{altitude:g} m", fluids.atmosphere.ATMOSPHERE_1976(altitude).P, altitude)
        for altitude in ALTITUDES
    ],
)
def test_standard_pressure_of_1976(altitude):
    return standard_pressure(altitude)
