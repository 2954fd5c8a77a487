"""Moisture in the air: saturation over ice and over water, what air carries, dew and frost points.

Below 0 degC there are two conventions. Hygrometers and weather services mean humidity over supercooled water (memory),
and so does simtent's law of the dew point outdoors, for the sky; the libraries asked here mean ice, and so do simtent's
laws for the air inside, where frost grows. Vapour at saturation is 10 % less over ice than over water at
-10 degC: with all its numbers read the other way a dew point moves by up to half a kelvin, and a frost point taken for
a dew point is off by 1 K at -10 degC, by 2 K at -20.
"""

from functools import partial

import pytest
from CoolProp.CoolProp import HAProps_Aux, HAPropsSI, PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from simtent.physics.moist import (
    TRIPLE_POINT,
    dew_or_frost_point,
    humidity_ratio,
    saturation_over_ice,
    saturation_over_water,
    saturation_pressure,
    vapour_pressure,
)
from simtent.physics.sky import dew_point

from .claims import LIBRARY, MEMORY, SECOND_HAND, between, case, claims, off, percent
from .other_laws import saturation_pressure_ice, saturation_pressure_water
from .psychro import psychrolib
from .sources import ASHRAE_MOIST_AIR, COOLPROP, MURPHY_KOOP, PSYCHROLIB

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


saturation = partial(claims, unit="Pa", allowed=percent(0.1), digits=5)
FROST, LIQUID = (-40.0, -30.0, -20.0, -10.0, -5.0, -1.0), (0.02, 5.0, 10.0, 20.0, 35.0, 50.0)


def pure(celsius):
    """Saturation over pure ice below 0.01 degC, over pure water above, without air beside it [Pa]."""
    return HAProps_Aux("p_ws", celsius + ZERO, SEA_LEVEL, 0.0)[0]


@saturation(
    "Vapour at saturation over ice below 0 degC, over water above, of the table",
    ASHRAE_MOIST_AIR,
    SECOND_HAND,
    laws=[saturation_pressure],
    cases=[
        case(f"{celsius} degC", expected, celsius, allowed=off(0.01) if celsius == -60 else percent(0.03))
        for celsius, expected in HANDBOOK.items()
    ],
)
def test_saturation_of_the_table(celsius):
    return saturation_pressure(celsius + ZERO)


@saturation(
    "Vapour at saturation over ice",
    PSYCHROLIB,
    LIBRARY,
    laws=[saturation_over_ice, saturation_pressure],
    cases=[case(f"{celsius:g} degC", psychrolib.GetSatVapPres(celsius), celsius) for celsius in FROST],
)
def test_saturation_over_ice(celsius):
    assert saturation_pressure(celsius + ZERO) == saturation_over_ice(celsius + ZERO)
    return saturation_over_ice(celsius + ZERO)


@saturation(
    "Vapour at saturation over water",
    PSYCHROLIB,
    LIBRARY,
    laws=[saturation_over_water, saturation_pressure],
    cases=[case(f"{celsius:g} degC", psychrolib.GetSatVapPres(celsius), celsius) for celsius in LIQUID],
)
def test_saturation_over_water(celsius):
    assert saturation_pressure(celsius + ZERO) == saturation_over_water(celsius + ZERO)
    return saturation_over_water(celsius + ZERO)


@saturation(
    "Vapour at saturation over pure ice",
    COOLPROP,
    LIBRARY,
    laws=[saturation_over_ice],
    cases=[case(f"{celsius:g} degC", pure(celsius), celsius) for celsius in FROST],
)
def test_saturation_over_pure_ice(celsius):
    return saturation_over_ice(celsius + ZERO)


@saturation(
    "Vapour at saturation over pure water",
    COOLPROP,
    LIBRARY,
    laws=[saturation_over_water],
    cases=[case(f"{celsius:g} degC", pure(celsius), celsius) for celsius in LIQUID],
)
def test_saturation_over_pure_water(celsius):
    return saturation_over_water(celsius + ZERO)


STRETCHED = (
    "{} % more: both equations are stretched below 0 degC, where neither was fitted; see the next table"
)


@saturation(
    "Vapour at saturation over supercooled water, an equation of state carried on below 0 degC",
    COOLPROP,
    LIBRARY,
    laws=[saturation_over_water],
    cases=[
        case(
            f"{celsius:g} degC",
            over_water(celsius + ZERO),
            celsius,
            missed=STRETCHED.format(missed) if missed else None,
        )
        for celsius, missed in ((-1.0, ""), (-10.0, ""), (-20.0, "0.14"), (-30.0, "0.35"), (-40.0, "1.1"))
    ],
)
def test_saturation_over_supercooled_water(celsius):
    return saturation_over_water(celsius + ZERO)


# Murphy and Koop's equation for supercooled water, evaluated apart from simtent.
SUPERCOOLED = {-1.0: 568.197, -10.0: 286.453, -20.0: 125.504, -30.0: 50.936, -40.0: 18.912}


@saturation(
    "Vapour at saturation over supercooled water, an equation fitted to it",
    MURPHY_KOOP,
    MEMORY,
    allowed=percent(0.3),
    laws=[saturation_over_water],
    cases=[
        case(
            f"{celsius:g} degC",
            expected,
            celsius,
            missed="0.7 % more at the end of its range" if celsius == -40.0 else None,
        )
        for celsius, expected in SUPERCOOLED.items()
    ],
)
def test_saturation_of_a_fit_to_supercooled_water(celsius):
    return saturation_over_water(celsius + ZERO)


AIRS = (
    (-40, 0.8),
    (-20, 0.7),
    (-10, 0.8),
    (-0.5, 0.9),
    (0.5, 0.9),
    (10, 0.8),
    (20, 0.5),
    (25, 0.6),
    (50, 0.9),
)
carried = partial(claims, unit="g/kg", digits=5, allowed=percent(0.1), laws=[humidity_ratio])


def vapour(celsius, humidity):
    """Pressure of the vapour of air of a humidity over ice below 0 degC, over water above [Pa]."""
    return humidity * saturation_pressure(celsius + ZERO)


def of_real_air(wanted, celsius, humidity):
    """A property of moist air as a real gas at sea level."""
    return HAPropsSI(wanted, "T", celsius + ZERO, "P", SEA_LEVEL, "R", humidity)


@carried(
    "Humidity ratio of air of a relative humidity (over ice below 0 degC)",
    PSYCHROLIB,
    LIBRARY,
    cases=[case(in_words(*at), 1e3 * psychrolib.GetHumRatioFromRelHum(*at, SEA_LEVEL), *at) for at in AIRS],
)
def test_humidity_ratio(celsius, humidity):
    return 1e3 * humidity_ratio(vapour(celsius, humidity), SEA_LEVEL)


@carried(
    "Humidity ratio of air with the vapour pressure of real moist air",
    COOLPROP,
    LIBRARY,
    cases=[case(in_words(*at), 1e3 * of_real_air("W", *at), *at) for at in AIRS],
)
def test_humidity_ratio_of_real_vapour(*at):
    return 1e3 * humidity_ratio(of_real_air("P_w", *at), SEA_LEVEL)


@carried(
    "Humidity ratio of a relative humidity: real air holds 0.4 to 0.6 % more than ideal gases, all of the difference",
    COOLPROP,
    LIBRARY,
    allowed=percent(0.65),
    cases=[case(in_words(*at), 1e3 * of_real_air("W", *at), *at) for at in AIRS],
)
def test_humidity_ratio_of_real_air(celsius, humidity):
    return 1e3 * humidity_ratio(vapour(celsius, humidity), SEA_LEVEL)


RATIOS = (1e-5, 1e-3, 6e-3, 0.03, 0.09)
pressed = partial(claims, unit="Pa", digits=5, allowed=percent(0.1), laws=[vapour_pressure])


@pressed(
    "Vapour pressure of air with a humidity ratio",
    PSYCHROLIB,
    LIBRARY,
    cases=[
        case(f"{1e3 * ratio:g} g/kg", psychrolib.GetVapPresFromHumRatio(ratio, SEA_LEVEL), ratio)
        for ratio in RATIOS
    ],
)
def test_vapour_pressure(ratio):
    return vapour_pressure(ratio, SEA_LEVEL)


@pressed(
    "Vapour pressure of air at 50 degC with a humidity ratio",
    COOLPROP,
    LIBRARY,
    cases=[
        case(f"{1e3 * w:g} g/kg", HAPropsSI("P_w", "T", 323.15, "P", SEA_LEVEL, "W", w), w)
        for w in RATIOS[1:-1]
    ],
)
def test_vapour_pressure_of_real_air(ratio):
    return vapour_pressure(ratio, SEA_LEVEL)


points = partial(claims, unit="degC", digits=6, laws=[dew_or_frost_point])


@points(
    "Frost point below 0 degC, dew point above",
    PSYCHROLIB,
    LIBRARY,
    allowed=off(1e-3),
    cases=[case(in_words(*at), psychrolib.GetTDewPointFromVapPres(at[0], vapour(*at)), *at) for at in AIRS],
)
def test_dew_or_frost_point(celsius, humidity):
    return dew_or_frost_point(vapour(celsius, humidity)) - ZERO


@points(
    "Frost point below 0 degC, dew point above, by another library",
    COOLPROP,
    LIBRARY,
    allowed=off(0.01),
    cases=[case(in_words(*at), of_real_air("D", *at) - ZERO, *at) for at in AIRS],
)
def test_dew_or_frost_point_of_real_air(celsius, humidity):
    return dew_or_frost_point(vapour(celsius, humidity)) - ZERO


@given(st.floats(-60.0, 60.0))
def test_dew_or_frost_point_turns_saturation_round(celsius):
    assert dew_or_frost_point(saturation_pressure(celsius + ZERO)) == pytest.approx(celsius + ZERO, abs=1e-6)


@given(st.floats(0.0, 12000.0), st.floats(60e3, 105e3))
def test_ratio_and_pressure_are_each_others_inverse(part, whole):
    assert vapour_pressure(humidity_ratio(part, whole), whole) == pytest.approx(part, rel=1e-12, abs=1e-12)


@given(st.floats(-60.0, 60.0), st.floats(1e-3, 5.0))
def test_saturation_rises_and_ice_holds_less_below_the_triple_point(celsius, more):
    kelvin = celsius + ZERO
    assert saturation_pressure(kelvin + more) > saturation_pressure(kelvin)
    assert (saturation_over_ice(kelvin) < saturation_over_water(kelvin)) == (kelvin < TRIPLE_POINT) or abs(
        kelvin - TRIPLE_POINT
    ) < 0.01


def test_the_branches_meet_at_the_triple_point():
    ice, water = saturation_over_ice(TRIPLE_POINT), saturation_over_water(TRIPLE_POINT)
    assert ice == pytest.approx(water, rel=5e-6)
    # Published: 611.657 Pa at the triple point (IAPWS). 0.1 %.
    assert ice == pytest.approx(611.657, rel=1e-3)


def test_air_without_vapour_has_a_point_all_the_same():
    assert dew_or_frost_point(0.0) == dew_or_frost_point(1e-5) < 165.0
