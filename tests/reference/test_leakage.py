"""Two published models of how much air leaks through a small house, and simtent's openings between them.

The basic model (Sherman and Grimsrud) takes a leak as an opening whose flow goes with the root of the pressure, the
enhanced one (Walker and Wilson, AIM-2) as a crack. Neither is in simtent: they are bounds. First lines hold the test's
own copies of them to worked examples; no part of simtent is in those. Then a box that leaks as both models take a house
to, by simtent's law of leaks: between them.
"""

from functools import partial
from math import sqrt

from scipy.constants import g as standard_gravity
from scipy.optimize import brentq

from simtent.physics.air import air_density
from simtent.physics.opening import LEAK_EXPONENT, leak_strength, opening_flow

from .claims import CLOSED_FORM, EXACTLY, MEMORY, PUBLISHED, between, case, claims, percent
from .leakage_models import (
    BASIC_STACK,
    FLUE,
    NO_FLUE,
    basic_leakage,
    enhanced_leakage,
    flow_at_one_pascal,
)
from .sources import ASHRAE_EXAMPLE, DOE_INPUT

SUBJECT = "Leakage: two models of houses"
copied = partial(claims, unit="l/s", allowed=percent(0.5))


@copied(
    "Basic model, the test's own copy: 500 cm2 at 4 Pa, 39 K, 6.7 m/s, shelter class 3, one storey",
    ASHRAE_EXAMPLE,
    MEMORY,
    allowed=percent(1.0),
    cases=[case("worked example", 58.0)],
)
def test_worked_example():
    return 1e3 * basic_leakage(0.05, 39.0, 6.7, 2.5, 3)


@copied(
    "Basic model, the test's own copy, published coefficients",
    DOE_INPUT,
    CLOSED_FORM,
    cases=[
        case("100 cm2, 25 K, 2 m/s, class 2, height 2 m", 6.232, 0.01, 25.0, 2.0, 2.0, 2),
        case("200 cm2, 30 K, 4 m/s, class 1, one storey: 70.0 m3/h", 70.0 / 3.6, 0.02, 30.0, 4.0, 2.5, 1),
    ],
)
def test_basic_model(area, difference, wind, height, shelter):
    return 1e3 * basic_leakage(area, difference, wind, height, shelter)


@copied(
    "Enhanced model, the test's own copy, published coefficients: 0.05 m3/s at 1 Pa, exponent 0.67, 25 K, 3 m/s; "
    "by the stack, by the wind, by both",
    DOE_INPUT,
    CLOSED_FORM,
    allowed=percent(0.1),
    cases=[
        case("no flue", (23.33, 21.08, 31.45), NO_FLUE),
        case("a flue", (29.82, 25.28, 39.09), FLUE),
    ],
)
def test_enhanced_model(kind):
    return [1e3 * flow for flow in enhanced_leakage(0.05, 0.67, 25.0, 3.0, kind)]


@claims(
    "Stack coefficient of the basic model, 0.01 ((1 + R/2)/3)^2 g H/T with R 0.5, 2.5 m, 293 K, beside the printed one",
    DOE_INPUT,
    PUBLISHED,
    allowed=percent(1.0),
    cases=[case("one storey", BASIC_STACK)],
)
def test_stack_coefficient_from_the_physics():
    return 0.01 * ((1.0 + 0.5 / 2.0) / 3.0) ** 2 * standard_gravity * 2.5 / 293.0


def test_still_and_isothermal():
    assert basic_leakage(0.02, 0.0, 0.0, 2.0, 3) == 0.0
    assert basic_leakage(0.02, -15.0, 1.0, 2.0, 3) == basic_leakage(0.02, 15.0, 1.0, 2.0, 3)


def leaking(area, inside, outside, height, slices):
    """Volume flow in [m3/s] of a still box: a quarter of its leaks in the floor, one in the ceiling, half in walls."""
    heavy, light = air_density(outside, 101325.0), air_density(inside, 101325.0)
    fall = (heavy - light) * standard_gravity
    leaks = [(0.0, 0.25 * area), (height, 0.25 * area)]
    leaks += [((i + 0.5) * height / slices, 0.5 * area / slices) for i in range(slices)]

    def flows(pressure):
        return [
            opening_flow(-pressure - fall * z, leak_strength(a), LEAK_EXPONENT, sqrt(heavy), sqrt(light))[0]
            for z, a in leaks
        ]

    pressure = brentq(lambda p: sum(flows(p)), -fall * height, 0.0, xtol=1e-13)
    return sum(flow for flow in flows(pressure) if flow > 0.0) / heavy


def models(difference):
    """Least and most by the two models for 100 cm2 and 2.5 m [l/s]."""
    one = flow_at_one_pascal(0.01, LEAK_EXPONENT, 1.2)
    low = enhanced_leakage(one, LEAK_EXPONENT, difference, 0.0, NO_FLUE)[0]
    return 1e3 * low, 1e3 * basic_leakage(0.01, difference, 0.0, 2.5, 3)


@claims(
    "Stack leakage of a box of 2.5 m with 100 cm2 of leaks at 4 Pa, half in walls, a quarter each in floor and "
    "ceiling, 20 degC inside, by simtent's law of leaks: between the enhanced model and the basic one",
    DOE_INPUT,
    PUBLISHED,
    unit="l/s",
    allowed=EXACTLY,
    laws=[opening_flow, leak_strength, air_density],
    cases=[
        case(f"{difference:g} K", None, difference, allowed=between(*models(difference)))
        for difference in (10.0, 25.0, 40.0, 55.0)
    ],
)
def test_stack_leakage_lies_between_the_published_models(difference):
    return 1e3 * leaking(0.01, 293.15, 293.15 - difference, 2.5, 40)


@claims(
    "The same box with the basic model's own exponent 1/2 and one density: its coefficient (V / 10 A)^2 / K in SI "
    "units",
    DOE_INPUT,
    PUBLISHED,
    allowed=percent(5.0),
    laws=[opening_flow, air_density],
    cases=[case("20 degC inside, 10 degC outside", BASIC_STACK)],
)
def test_stack_leakage_with_a_root_is_the_basic_model():
    inside, outside, height, area, slices = 293.15, 283.15, 2.5, 0.01, 400
    heavy, light = air_density(outside, 101325.0), air_density(inside, 101325.0)
    root = sqrt(0.5 * (heavy + light))
    fall = (heavy - light) * standard_gravity
    leaks = [(0.0, 0.25), (height, 0.25)] + [
        ((i + 0.5) * height / slices, 0.5 / slices) for i in range(slices)
    ]
    flows = [
        opening_flow(fall * (0.5 * height - z), sqrt(2.0) * area * a, 0.5, root, root)[0] for z, a in leaks
    ]
    assert abs(sum(flows)) < 1e-12
    volume = sum(flow for flow in flows if flow > 0.0) / (root * root)
    return (volume / (10.0 * area)) ** 2 / 10.0
