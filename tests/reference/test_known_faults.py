"""Faults and conventions of libraries and shortcuts that a check of this folder could rest on, and does not.

About those libraries, not about simtent: *met* means that the fault is still there as told. The day a library mends it,
its line fails, and the way round it here may go. Versions are those of the constraints file.
"""

from math import exp, log

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import HAPropsSI

from .claims import CLOSED_FORM, LIBRARY, SECOND_HAND, case, claims, off, percent
from .enclosures import box_areas, box_views, exact_fluxes, star_fluxes
from .other_laws import saturation_pressure_ice, saturation_pressure_water
from .psychro import psychrolib
from .sources import COOLPROP, HEAT_ATLAS, HT, MATHEMATICS, PSYCHROLIB

SUBJECT = "Known faults"
ZERO = 273.15
PRANDTL, RAYLEIGH = 0.71, 1e9
BOX = (3.0, 3.0, 2.0)


def plate_facing_up(exponent):
    """Nusselt number of a hot plate that faces up, 0.15 [Ra (1 + (0.322/Pr)^0.55)^exponent]^(1/3)."""
    return 0.15 * (RAYLEIGH * (1.0 + (0.322 / PRANDTL) ** 0.55) ** exponent) ** (1 / 3)


@claims(
    "Still wrong: ht's default law of a hot plate that faces up has a factor to the power +20/11 for -20/11 (Nu 110.8)",
    HEAT_ATLAS,
    SECOND_HAND,
    allowed=percent(0.1),
    cases=[
        case("Nu by the default, air, Ra 1e9: as with the wrong sign", plate_facing_up(20 / 11), None, 1.0),
        case("the default over the published form", 1.83, None, plate_facing_up(-20 / 11), allowed=off(0.01)),
    ],
)
def test_hot_plate_by_default(method, over):
    return ht.Nu_free_horizontal_plate(PRANDTL, RAYLEIGH / PRANDTL, buoyancy=True, Method=method) / over


def test_the_default_is_never_asked_for_here():
    """What the comparisons take instead lies with the published form, 110.8, and not with the default, 203."""
    assert plate_facing_up(-20 / 11) == pytest.approx(110.8, abs=0.1)
    for method, expected in (("McAdams", 150.0), ("Rohsenow", 140.7)):
        found = ht.Nu_free_horizontal_plate(PRANDTL, RAYLEIGH / PRANDTL, buoyancy=True, Method=method)
        assert found == pytest.approx(expected, abs=0.1)


def hollands_later_form(prandtl, ra, exponent):
    """Nusselt number of a layer heated from below, by the form of 1984, with the power of Ra in its exponent.

    5803 as the library has it; the form of 1976 has 5830 (from memory), which moves it by 0.2 %.
    """
    first = 1.44 / (1.0 + 0.018 / prandtl + 0.00136 / prandtl**2)
    second = 75.0 * exp(1.5 * prandtl**-0.5)
    rolls = first + 2.0 * (ra ** (1 / 3) / second) ** (1.0 - log(ra**exponent / second))
    return 1.0 + max(0.0, 1.0 - 1708.0 / ra) * rolls + max(0.0, (ra / 5803.0) ** (1 / 3) - 1.0)


@claims(
    "Still wrong: ht's docstring of Hollands' layer prints Ra^(1/5) in its exponent; its code is right, Ra^(1/3)",
    HT,
    LIBRARY,
    digits=5,
    allowed=percent(0.1),
    cases=[
        case("water, Pr 5.54, Ra 1.778e9: with 1/3", hollands_later_form(5.54, 5.54 * 3.21e8, 1 / 3), 5.54),
    ],
)
def test_docstring_of_hollands(prandtl):
    assert "{1/5}" in ht.Nu_Nusselt_Rayleigh_Hollands.__doc__, "mended: take this away"
    return ht.Nu_Nusselt_Rayleigh_Hollands(prandtl, 3.21e8, buoyancy=True)


def frost_point(celsius, humidity):
    """Where vapour over ice at a temperature saturates over ice again [degC], by the equation over ice."""
    vapour = humidity * saturation_pressure_ice(celsius + ZERO)
    low, high = celsius - 40.0, celsius
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if saturation_pressure_ice(middle + ZERO) < vapour else (low, middle)
    return low


@claims(
    "Convention: below 0 degC PsychroLib's humidity and dew point mean ice",
    PSYCHROLIB,
    LIBRARY,
    unit="degC",
    allowed=off(0.01),
    cases=[
        case("dew point at -10 degC, 80 %: as over ice", frost_point(-10.0, 0.8), -10.0, 0.8),
        case("dew point at -20 degC, 70 %: as over ice", frost_point(-20.0, 0.7), -20.0, 0.7),
    ],
)
def test_dew_point_of_psychrolib_is_over_ice(celsius, humidity):
    return psychrolib.GetTDewPointFromRelHum(celsius, humidity)


@claims(
    "Convention: below 0 degC CoolProp's humidity and dew point mean ice",
    COOLPROP,
    LIBRARY,
    unit="degC",
    allowed=off(0.01),
    cases=[
        case("dew point at -10 degC, 80 %: as over ice", frost_point(-10.0, 0.8), -10.0, 0.8),
        case("dew point at -20 degC, 70 %: as over ice", frost_point(-20.0, 0.7), -20.0, 0.7),
    ],
)
def test_dew_point_of_coolprop_is_over_ice(celsius, humidity):
    return HAPropsSI("D", "T", celsius + ZERO, "P", 101325.0, "R", humidity) - ZERO


def test_the_convention_is_worth_a_tenth():
    assert saturation_pressure_water(263.15) / saturation_pressure_ice(263.15) == pytest.approx(
        1.103, abs=1e-3
    )


BOX_KELVIN = np.array([273.15, 303.15, 283.15, 283.15, 283.15, 283.15])
CUBE_KELVIN = np.array([400.0, *[300.0] * 5])


@claims(
    "Shortcut that simtent does not take: a star weighted by emissivity times area, over exact radiosity",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=off(0.001),
    cases=[
        case(
            "box of 3 x 3 x 2 m, emissivity 0.9, ceiling 30, others 10, floor 0 degC: ceiling",
            0.795,
            0.9,
            BOX,
            1,
        ),
        case("the same box: floor", 0.762, 0.9, BOX, 0),
        case("black cube, one face 400, others 300 K", 0.833, 1.0, (1.0, 1.0, 1.0), 0),
    ],
)
def test_star_by_emissivity_and_area(emissivity, sides, face):
    kelvin = BOX_KELVIN if sides == BOX else CUBE_KELVIN
    areas = box_areas(*sides)
    exact = exact_fluxes(box_views(*sides), emissivity, kelvin)
    return star_fluxes(emissivity * areas, areas, kelvin)[face] / exact[face]


# Laws of the library that are right, and that comparisons here lean on: values of an earlier day, or closed forms.
CHURCHILL_CHU = (0.6 + 0.387 * (0.69 * 2.63e9) ** (1 / 6) / (1 + (0.559 / 0.69) ** (9 / 16)) ** (8 / 27)) ** 2


@pytest.mark.parametrize(
    ("found", "expected", "share"),
    [
        (ht.Nu_vertical_plate_Churchill(0.69, 2.63e9), 147.16185, 1e-6),
        (ht.Nu_horizontal_plate_McAdams(5.54, 3.21e8, True), 181.73121, 1e-7),
        (ht.Nu_horizontal_plate_McAdams(5.54, 3.21e8, False), 55.44565, 1e-7),
        (ht.Nu_horizontal_cylinder_Churchill_Chu(0.69, 2.63e9), CHURCHILL_CHU, 1e-9),
        (ht.Nu_horizontal_cylinder_Churchill_Chu(0.69, 2.63e9), 139.135, 1e-5),
        (ht.Nu_horizontal_cylinder_Morgan(0.69, 2.63e9), 151.39, 1e-4),
        (ht.Nu_horizontal_cylinder_Churchill_Chu(0.697, 5.073e6 / 0.697), 23.091, 1e-4),
        (ht.Nu_vertical_cylinder_Popiel_Churchill(0.7, 1e10, 1.8, 0.1), 248.58, 1e-3),
        (ht.Nu_vertical_plate_Churchill(0.7, 1e10), 224.97, 1e-3),
        (ht.Nu_sphere_Churchill(0.7, 1e7), 25.67087, 1e-6),
        (ht.Nu_Nusselt_Rayleigh_Hollands(0.7, 1e5 / 0.7), 3.960, 1e-3),
        (ht.Nu_Nusselt_Rayleigh_Hollands(0.71, 1e6 / 0.71), 7.012, 1e-3),
        (ht.Nu_Nusselt_vertical_Thess(0.7, 1e6 / 0.7, H=2, L=0.1), 6.254, 1e-3),
        (ht.Nu_Nusselt_Rayleigh_Holling_Herwig(0.7, 1e6 / 0.7), 8.123, 1e-3),
    ],
)
def test_what_the_library_gives_has_not_changed(found, expected, share):
    assert found == pytest.approx(expected, rel=share)
