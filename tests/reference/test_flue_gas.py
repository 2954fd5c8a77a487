"""Flue gas of wood: its heat, its other properties, how much of it there is, and how much carbon dioxide is in it.

simtent has the chimney standard's polynomials for wood of 23.1 % moisture, whatever the wood's own moisture. Heat
capacity follows the standard to 500 degC and a mixture of ideal gases above, where the standard runs high. Air is
counted by the heat that it sets free, that which then boils the wood's water off included: a kilowatt of net heat input
brings 2.2 to 2.3 % more flue gas than the standard says.
"""

from functools import partial

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from simtent.physics.flue_gas import (
    flue_carbon_dioxide,
    flue_gas_conductivity,
    flue_gas_constant,
    flue_gas_enthalpy,
    flue_gas_heat_capacity,
    flue_gas_viscosity,
)

from .claims import CLOSED_FORM, LIBRARY, SECOND_HAND, between, case, claims, off, percent
from .gas_mixture import dry_dioxide, mixture_gas_constant, mixture_heat_capacity
from .sources import COOLPROP, EN_13384, MATHEMATICS

SUBJECT = "Flue gas of wood"
CAPACITY = "J/(kg K)"

standard = partial(claims, source=EN_13384, provenance=SECOND_HAND)


@standard(
    "Heat capacity, 8 % of dry carbon dioxide",
    unit=CAPACITY,
    allowed=off(1.0),
    laws=[flue_gas_heat_capacity],
    cases=[
        case(f"{celsius:g} degC", capacity, celsius)
        for celsius, capacity in (
            (100.0, 1060.0),
            (200.0, 1082.0),
            (300.0, 1108.0),
            (400.0, 1138.0),
            (500.0, 1172.0),
        )
    ],
)
def test_heat_capacity(celsius):
    return flue_gas_heat_capacity(celsius + 273.15, 8.0)


@standard(
    "Heat capacity of the gas of wetter wood, M 33.3 %: left out here",
    unit=CAPACITY,
    allowed=percent(1.0),
    laws=[flue_gas_heat_capacity],
    cases=[
        case(
            f"{t:g} degC, 8 % CO2",
            (1011.0 + 0.05 * t + 0.0003 * t**2 + (18.5 + 0.016 * t - 1.0e-5 * t**2) * 8.0)
            / (1.0 + 0.0128 * 8.0),
            t,
        )
        for t in (100.0, 300.0, 500.0)
    ],
)
def test_heat_capacity_of_wetter_wood(celsius):
    return flue_gas_heat_capacity(celsius + 273.15, 8.0)


@standard(
    "Gas constant, 288 (1 - .0001 s)",
    unit=CAPACITY,
    allowed=percent(1e-3),
    laws=[flue_gas_constant],
    cases=[case("s 8 % CO2", 287.7696, 8.0), case("s 12 %", 287.6544, 12.0)],
)
def test_gas_constant(dioxide):
    return flue_gas_constant(dioxide)


@standard(
    "Conductivity, .0223 + 6.5e-5 t",
    unit="W/(m K)",
    allowed=percent(1e-3),
    laws=[flue_gas_conductivity],
    cases=[case("100 degC", 0.0288, 100.0), case("300 degC", 0.0418, 300.0)],
)
def test_conductivity(celsius):
    return flue_gas_conductivity(celsius + 273.15)


@standard(
    "Viscosity, 15e-6 + 47e-9 t - 20e-12 t^2",
    unit="uPa s",
    allowed=percent(1e-3),
    laws=[flue_gas_viscosity],
    cases=[case("100 degC", 19.5, 100.0), case("300 degC", 27.3, 300.0)],
)
def test_viscosity(celsius):
    return 1e6 * flue_gas_viscosity(celsius + 273.15)


MASS_FLOWS = ((4.0, 1.798), (6.0, 1.224), (8.0, 0.937), (10.0, 0.765), (12.0, 0.650))


SET_FREE = 18.06 * (1.0 - 0.231) / 13.32  # heat of the dry wood over the net heat of the moist, table B.1


def mass_flow(dioxide, set_free=SET_FREE):
    """Flue gas of 1 kW [g/s]: the air that gives this dioxide, and wood of 3.70 kWh/kg (table B.1)."""
    heat = 4000.0
    air = brentq(lambda air: flue_carbon_dioxide(heat, air) - dioxide, 0.0017, 0.1)
    return set_free * air / heat * 1e6 + 1.0 / 13.32


@standard(
    "Flue gas of 1 kW of net heat input, (6.89/s + .076)",
    unit="g/s",
    allowed=off(0.002),
    laws=[flue_carbon_dioxide],
    cases=[
        case(
            f"{dioxide:g} % CO2",
            flow,
            dioxide,
            missed="more: 3.03 MJ per kg of air by oxygen consumption, the table's wood has 3.11 of its dry heat",
        )
        for dioxide, flow in MASS_FLOWS
    ],
)
def test_mass_flow(dioxide):
    return mass_flow(dioxide)


@pytest.mark.parametrize(("dioxide", "expected"), MASS_FLOWS)
def test_mass_flow_is_missed_by_little(dioxide, expected):
    # And were all the heat set free net heat, as far on the other side.
    assert mass_flow(dioxide) == pytest.approx(expected, rel=0.025)
    assert mass_flow(dioxide, set_free=1.0) == pytest.approx(expected, rel=0.02)


@standard(
    "Dry carbon dioxide at an air ratio, 20.5 % over it; fires of 0.5, 4 and 20 kW",
    unit="vol %",
    allowed=percent(0.5),  # the smooth bound's doing
    laws=[flue_carbon_dioxide],
    cases=[
        case(f"air ratio {ratio:g}", [dioxide] * 3, ratio)
        for ratio, dioxide in ((1.6, 12.8125), (2.0, 10.25), (2.56, 8.0), (5.0, 4.1))
    ],
)
def test_dioxide_over_air_ratio(air_ratio):
    return [flue_carbon_dioxide(heat, air_ratio * heat / 3.03e6) for heat in (500.0, 4000.0, 20000.0)]


AIR_RATIOS = (1.69, 2.53, 5.06)


@claims(
    "Dry carbon dioxide at an air ratio, by burning the standard's wood",
    MATHEMATICS,
    CLOSED_FORM,
    unit="vol %",
    allowed=percent(2.0),
    laws=[flue_carbon_dioxide],
    cases=[case(f"air ratio {ratio:g}", dry_dioxide(ratio), ratio) for ratio in (1.6, 2.5, 5.0)],
)
def test_dioxide_by_chemistry(air_ratio):
    return flue_carbon_dioxide(4000.0, air_ratio * 4000.0 / 3.03e6)


@claims(
    "Gas constant by the mean molar mass; the standard takes its air as moist",
    MATHEMATICS,
    CLOSED_FORM,
    unit=CAPACITY,
    allowed=percent(0.4),
    laws=[flue_gas_constant],
    cases=[case(f"air ratio {ratio:g}", mixture_gas_constant(ratio), ratio) for ratio in AIR_RATIOS],
)
def test_gas_constant_of_a_mixture(air_ratio):
    return flue_gas_constant(dry_dioxide(air_ratio))


MIXTURE = ((25.0, 0.4), (200.0, 0.4), (400.0, 0.4), (500.0, 1.1), (600.0, 1.3), (800.0, 1.3), (1000.0, 1.3))
MIXTURE += ((1200.0, 2.0), (1400.0, 3.1))


@claims(
    "Heat capacity of a mixture of ideal gases; air ratios 1.69, 2.53 and 5.06, 12, 8 and 4 % of carbon dioxide",
    COOLPROP,
    LIBRARY,
    unit=CAPACITY,
    allowed=percent(0.4),
    laws=[flue_gas_heat_capacity],
    cases=[
        case(
            f"{celsius:g} degC",
            [mixture_heat_capacity(celsius + 273.15, ratio) for ratio in AIR_RATIOS],
            celsius,
            allowed=percent(agreement),
        )
        for celsius, agreement in MIXTURE
    ],
)
def test_heat_capacity_of_a_mixture(celsius):
    return [flue_gas_heat_capacity(celsius + 273.15, dry_dioxide(ratio)) for ratio in AIR_RATIOS]


@claims(
    "Sensible heat of firebox gas above 25 degC, a mixture of ideal gases",
    COOLPROP,
    LIBRARY,
    unit="kJ/kg",
    allowed=percent(1.0),
    laws=[flue_gas_enthalpy],
    cases=[
        case("900 degC, air ratio 2", quad(lambda t: mixture_heat_capacity(t, 2.0), 298.15, 1173.15)[0] / 1e3)
    ],
)
def test_heat_of_firebox_gas():
    return flue_gas_enthalpy(1173.15, dry_dioxide(2.0)) / 1e3


CELSIUS = (-40.0, 0.0, 100.0, 300.0, 500.0, 800.0, 1000.0)


def air(name):
    """A property of air at the temperatures above."""
    return [PropsSI(name, "T", celsius + 273.15, "P", 101325.0, "Air") for celsius in CELSIUS]


@claims(
    "Gas without carbon dioxide beside air, over air's value, -40 to 1000 degC",
    COOLPROP,
    LIBRARY,
    allowed=percent(2.6),
    laws=[flue_gas_heat_capacity, flue_gas_conductivity, flue_gas_viscosity],
    cases=[
        case("heat capacity", [1.0] * len(CELSIUS), lambda t: flue_gas_heat_capacity(t, 0.0), "C"),
        case("conductivity", [1.0] * len(CELSIUS), flue_gas_conductivity, "L", allowed=percent(10.0)),
        case(
            "viscosity: a spread, 8 to 17 % below as published",
            None,
            flue_gas_viscosity,
            "V",
            allowed=between(0.82, 0.93),
        ),
    ],
)
def test_properties_of_air(law, name):
    return [law(celsius + 273.15) / value for celsius, value in zip(CELSIUS, air(name), strict=True)]


@claims(
    "Gas constant without carbon dioxide, dry air",
    COOLPROP,
    LIBRARY,
    unit=CAPACITY,
    allowed=percent(0.4),
    laws=[flue_gas_constant],
    cases=[case("air", 287.055)],
)
def test_gas_constant_of_air():
    return flue_gas_constant(0.0)


PLACES = (-40.0, 0.0, 100.0, 300.0, 500.0, 700.0, 1000.0, 1400.0)


def integral(celsius, dioxide):
    """Heat above 25 degC by quadrature of the heat capacity [kJ/kg]."""
    points = [773.15] if celsius > 500.0 else None
    return (
        quad(lambda t: flue_gas_heat_capacity(t, dioxide), 298.15, celsius + 273.15, points=points)[0] / 1e3
    )


@claims(
    "Heat above 25 degC beside the quadrature of the heat capacity, -40 to 1400 degC",
    MATHEMATICS,
    CLOSED_FORM,
    unit="kJ/kg",
    allowed=off(2e-8),
    laws=[flue_gas_enthalpy],
    cases=[
        case(f"{dioxide:g} % CO2", [integral(t, dioxide) for t in PLACES], dioxide)
        for dioxide in (0.0, 4.0, 8.0, 20.5)
    ],
)
def test_enthalpy_is_the_integral_of_heat_capacity(dioxide):
    return [flue_gas_enthalpy(celsius + 273.15, dioxide) / 1e3 for celsius in PLACES]


def test_dioxide_at_its_ends():
    assert flue_carbon_dioxide(0.0, 0.0) == flue_carbon_dioxide(5000.0, 0.0) == 0.0
    assert flue_carbon_dioxide(5000.0, -0.001) == 0.0
    assert flue_carbon_dioxide(0.0, 0.001) == 0.0
    assert flue_carbon_dioxide(50000.0, 1e-3) == pytest.approx(20.5, rel=1e-3)


HEATS = st.floats(0.0, 5e4)
AIRS = st.floats(-0.01, 0.05)


@given(HEATS, HEATS, AIRS)
def test_dioxide_bounded_and_rising_with_heat(one, two, air):
    low, high = sorted((one, two))
    assert (
        0.0 <= flue_carbon_dioxide(low, air) <= flue_carbon_dioxide(high, air) * (1.0 + 1e-12) <= 20.5 + 1e-9
    )


@given(st.floats(500.0, 5e4), st.floats(1.0, 20.0), st.floats(1.0, 20.0))
def test_dioxide_falls_with_air(heat, one, two):
    few, many = sorted((one, two))
    thick, thin = (flue_carbon_dioxide(heat, ratio * heat / 3.03e6) for ratio in (few, many))
    assert thin <= thick * (1.0 + 1e-12)


@given(st.floats(200.0, 1700.0), st.floats(0.0, 20.5))
def test_hotter_gas_holds_more(kelvin, dioxide):
    assert flue_gas_enthalpy(kelvin + 1.0, dioxide) - flue_gas_enthalpy(kelvin, dioxide) > 900.0
    for law in (flue_gas_conductivity, flue_gas_viscosity):
        assert law(kelvin) > 0.0


@pytest.mark.parametrize("dioxide", [0.0, 8.0, 20.5])
def test_no_step_at_the_top(dioxide):
    below, above = (flue_gas_heat_capacity(773.15 + nudge, dioxide) for nudge in (-1e-6, 1e-6))
    assert above == pytest.approx(below, abs=1e-5)
