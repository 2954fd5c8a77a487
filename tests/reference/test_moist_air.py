"""Moisture in the air: simtent's one law is the dew point, over water at all temperatures.

Below 0 degC there are two conventions. Hygrometers and weather services mean humidity over supercooled water (memory),
and so does simtent; the libraries asked here mean ice. Vapour at saturation is 10 % less over ice than over water at
-10 degC: with all its numbers read the other way a dew point moves by up to half a kelvin, and a frost point taken for
a dew point is off by 1 K at -10 degC, by 2 K at -20.
"""

from functools import partial

import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI
from scipy.optimize import brentq

from simtent.physics.sky import dew_point

from .claims import LIBRARY, SECOND_HAND, between, case, claims, off
from .other_laws import saturation_pressure_ice, saturation_pressure_water
from .sources import ASHRAE_MOIST_AIR, COOLPROP, PSYCHROLIB

psychrolib.SetUnitSystem(psychrolib.SI)

SUBJECT = "Moist air"
ZERO = 273.15
SEA_LEVEL = 101325.0

dew = partial(claims, unit="degC", laws=[dew_point])

# Over ice below 0 degC: degC, Pa; 0.03 %, 0.01 Pa at -60 degC.
HANDBOOK = {-60: 1.08, -20: 103.24, -5: 401.74, 5: 872.6, 25: 3169.7, 50: 12351.3}


@pytest.mark.parametrize(("celsius", "expected"), HANDBOOK.items())
def test_saturation_of_the_handbook(celsius, expected):
    law = saturation_pressure_ice if celsius < 0 else saturation_pressure_water
    assert law(celsius + ZERO) == pytest.approx(expected, rel=3e-4, abs=0.01)


# Library: PsychroLib 2.5.0, over ice; closed form of a remembered equation, over supercooled water. 0.1 %.
@pytest.mark.parametrize(
    ("celsius", "ice", "water"),
    [
        (-30, 38.016, 51.06),
        (-20, 103.260, 125.63),
        (-10, 259.903, 286.56),
        (-5, 401.764, 421.83),
        (-1, 562.672, 568.22),
    ],
)
def test_saturation_below_freezing(celsius, ice, water):
    assert saturation_pressure_ice(celsius + ZERO) == pytest.approx(ice, rel=1e-3)
    assert saturation_pressure_water(celsius + ZERO) == pytest.approx(water, rel=1e-3)


@pytest.mark.parametrize("celsius", [-90.0, -45.0, -15.0, 0.02, 20.0, 60.0])
def test_saturation_against_a_library(celsius):
    # Library: PsychroLib 2.5.0, the same equations; 1e-6.
    law = saturation_pressure_ice if celsius < 0 else saturation_pressure_water
    assert law(celsius + ZERO) == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-6)


def test_ice_against_another_equation():
    # Library: CoolProp 8.0.0, humid air at saturation over ice; an independent equation of state, 0.5 %.
    partial_pressure = HAPropsSI("P_w", "T", 263.15, "P", SEA_LEVEL, "R", 1.0)
    assert saturation_pressure_ice(263.15) == pytest.approx(partial_pressure, rel=0.005)


def over_water(kelvin):
    """Vapour at saturation over water, supercooled below 0 degC [Pa]. Library: CoolProp 8.0.0, IAPWS-95."""
    return PropsSI("P", "T", kelvin, "Q", 0, "Water")


@pytest.mark.parametrize(("celsius", "share"), [(-1.0, 1e-3), (-10.0, 1e-3), (-20.0, 2e-3), (-30.0, 4e-3)])
def test_water_against_another_equation(celsius, share):
    assert saturation_pressure_water(celsius + ZERO) == pytest.approx(over_water(celsius + ZERO), rel=share)


def in_words(celsius, humidity):
    """A case's name."""
    return f"{celsius:g} degC, {100.0 * humidity:g} %"


@dew(
    "Dew point above freezing",
    PSYCHROLIB,
    LIBRARY,
    digits=5,
    allowed=off(0.05),
    cases=[
        case(in_words(*at), expected, *at)
        for at, expected in (((20, 0.5), 9.272), ((10, 0.8), 6.713), ((25, 0.6), 16.701))
    ],
)
def test_dew_point_against_a_library(celsius, humidity):
    return dew_point(celsius + ZERO, humidity) - ZERO


@dew(
    "Dew point above freezing, by another library",
    COOLPROP,
    LIBRARY,
    digits=5,
    allowed=off(0.05),
    cases=[
        case(
            in_words(*at),
            HAPropsSI("D", "T", at[0] + ZERO, "P", SEA_LEVEL, "R", at[1]) - ZERO,
            *at,
        )
        for at in ((20, 0.5), (10, 0.8), (25, 0.6))
    ],
)
def test_dew_point_against_another_library(celsius, humidity):
    return dew_point(celsius + ZERO, humidity) - ZERO


@dew(
    "Dew point of air that holds what saturates it at the lower temperature, from the table of vapour at saturation",
    ASHRAE_MOIST_AIR,
    SECOND_HAND,
    allowed=off(0.1),
    cases=[
        case(f"{warm} degC, {HANDBOOK[cold]:g} of {HANDBOOK[warm]:g} Pa", cold, warm, cold)
        for warm, cold in ((25, 5), (50, 25), (50, 5))
    ],
)
def test_dew_point_of_the_handbook(warm, cold):
    return dew_point(warm + ZERO, HANDBOOK[cold] / HANDBOOK[warm]) - ZERO


def from_water(celsius, humidity):
    """Dew point over water of air of a humidity over water [degC]."""
    vapour = humidity * over_water(celsius + ZERO)
    return brentq(lambda kelvin: over_water(kelvin) - vapour, 235.0, celsius + ZERO) - ZERO


BELOW = [(0, 0.9), (-5, 0.8), (-10, 0.8), (-10, 0.3), (-20, 0.7)]


@dew(
    "Dew point below freezing, dew point and humidity over supercooled water",
    COOLPROP,
    LIBRARY,
    allowed=off(0.1),
    cases=[case(in_words(*at), from_water(*at), *at) for at in BELOW],
)
def test_dew_point_over_supercooled_water(celsius, humidity):
    return dew_point(celsius + ZERO, humidity) - ZERO


@dew(
    "Dew point over water of air that is saturated over ice (91 % over water at -10 degC)",
    COOLPROP,
    LIBRARY,
    allowed=off(0.1),
    cases=[
        case(
            f"{celsius} degC",
            from_water(celsius, saturation_pressure_ice(celsius + ZERO) / over_water(celsius + ZERO)),
            celsius,
        )
        for celsius in (-5, -10, -20)
    ],
)
def test_dew_point_of_air_over_ice(celsius):
    humidity = saturation_pressure_ice(celsius + ZERO) / over_water(celsius + ZERO)
    return dew_point(celsius + ZERO, humidity) - ZERO


@claims(
    "How much lower simtent's dew point is than the library's, which means ice by both numbers: the two conventions",
    PSYCHROLIB,
    LIBRARY,
    unit="K",
    allowed=between(0.0, 0.5),
    laws=[dew_point],
    cases=[
        case(f"{in_words(celsius, humidity)}: {frost:g} degC", None, celsius, humidity, frost)
        for celsius, humidity, frost in ((0, 0.9, -1.273), (-10, 0.8, -12.490), (-20, 0.7, -23.663))
    ],
)
def test_dew_point_beside_frost_point(celsius, humidity, frost):
    return frost - (dew_point(celsius + ZERO, humidity) - ZERO)


@pytest.mark.parametrize("celsius", [-40.0, -20.0, 0.0, 30.0, 60.0])
@pytest.mark.parametrize("humidity", [0.3, 0.6, 0.9])
def test_dew_point_holds_the_vapour(celsius, humidity):
    # Closed form: over water at the dew point the saturation pressure is the vapour pressure. 0.1 K.
    vapour = humidity * saturation_pressure_water(celsius + ZERO)
    found = dew_point(celsius + ZERO, humidity)
    assert saturation_pressure_water(found - 0.11) < vapour < saturation_pressure_water(found + 0.11)


def test_dew_point_at_the_ends():
    assert dew_point(263.15, 1.0) == pytest.approx(263.15, abs=1e-9)
    assert dew_point(263.15, 0.0) == dew_point(263.15, 0.01) < 225.0
