"""Flue gas of wood against the chimney standard's table, a mixture of ideal gases, and air."""

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

# The mixture of ideal gases to which the standard's polynomials are held.
# Wood that EN 13384-1 table B.1 implies at 23.1 % moisture: mass shares of dry wood, and water per kg dry.
# Closed form from the table's volumes (second-hand): carbon .495, hydrogen .060, oxygen the rest but for .5 % ash.
CARBON, HYDROGEN, OXYGEN, WATER = 0.495, 0.060, 0.440, 0.300

MOLAR_MASS = {"CO2": 0.0440095, "H2O": 0.0180153, "N2": 0.0280134, "O2": 0.0319988}  # kg/mol
NITROGEN_SHARE = 0.7905  # of dry air's volume, argon counted in


def amounts(air_ratio):
    """Moles of each gas per kg of dry wood, burnt whole in dry air."""
    carbon, hydrogen, oxygen = CARBON / 0.012011, HYDROGEN / 0.001008, OXYGEN / 0.015999
    needed = carbon + hydrogen / 4.0 - oxygen / 2.0
    return {
        "CO2": carbon,
        "H2O": hydrogen / 2.0 + WATER / MOLAR_MASS["H2O"],
        "N2": air_ratio * needed * NITROGEN_SHARE / (1.0 - NITROGEN_SHARE),
        "O2": (air_ratio - 1.0) * needed,
    }


def dry_dioxide(air_ratio):
    """Carbon dioxide in the dry gas [volume %]."""
    moles = amounts(air_ratio)
    return 100.0 * moles["CO2"] / (sum(moles.values()) - moles["H2O"])


def masses(air_ratio):
    """Mass shares of the gases."""
    kilograms = {gas: moles * MOLAR_MASS[gas] for gas, moles in amounts(air_ratio).items()}
    total = sum(kilograms.values())
    return {gas: mass / total for gas, mass in kilograms.items()}


def mixture_gas_constant(air_ratio):
    """Specific gas constant of the mixture [J/(kg K)]."""
    return sum(share * 8.314462618 / MOLAR_MASS[gas] for gas, share in masses(air_ratio).items())


def mixture_heat_capacity(kelvin, air_ratio):
    """Specific heat of the mixture [J/(kg K)], each gas as an ideal gas."""
    return sum(
        share * PropsSI("CP0MASS", "T", kelvin, "P", 101325.0, gas)
        for gas, share in masses(air_ratio).items()
    )


# FU5. EN 13384-1 Annex B, wood of 23.1 % moisture, s 8 % (second-hand): degC, J/(kg K). Within 1.
HEAT_CAPACITIES = [(100.0, 1060.0), (200.0, 1082.0), (300.0, 1108.0), (400.0, 1138.0), (500.0, 1172.0)]

# FU4. EN 13384-1 Annex B (second-hand): dry CO2 [%], flue gas per kW of heat input [g/s], (6.89/s + .076).
MASS_FLOWS = [(4.0, 1.798), (6.0, 1.224), (8.0, 0.937), (10.0, 0.765), (12.0, 0.650)]

CELSIUS = [-40.0, 0.0, 100.0, 300.0, 500.0, 700.0, 1000.0, 1400.0]


@pytest.mark.parametrize(("celsius", "expected"), HEAT_CAPACITIES)
def test_published_heat_capacity(celsius, expected):
    assert flue_gas_heat_capacity(celsius + 273.15, 8.0) == pytest.approx(expected, abs=1.0)


def mass_flow(dioxide, heat=4000.0):
    """Flue gas of 1 kW [g/s]: the air that gives this dioxide, and wood of 3.70 kWh/kg (table B.1)."""
    air = brentq(lambda air: flue_carbon_dioxide(heat, air) - dioxide, 0.0017, 0.1)
    return air / heat * 1e6 + 1.0 / 13.32


@pytest.mark.parametrize(("dioxide", "expected"), MASS_FLOWS)
def test_published_mass_flow(dioxide, expected):
    # Oxygen consumption gives 3.03 MJ per kg of air where the table's volumes imply 2.99.
    assert mass_flow(dioxide) == pytest.approx(expected, rel=0.02)


@pytest.mark.xfail(
    reason="FU4 wants 0.002 g/s: ours are 0.012 (s 12 %) to 0.031 g/s (s 4 %) below, 1.7 to 1.9 %"
)
@pytest.mark.parametrize(("dioxide", "expected"), MASS_FLOWS)
def test_published_mass_flow_closely(dioxide, expected):
    assert mass_flow(dioxide) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("dioxide", [0.0, 4.0, 8.0, 20.5])
@pytest.mark.parametrize("celsius", CELSIUS)
def test_enthalpy_is_the_integral_of_heat_capacity(celsius, dioxide):
    ends = (298.15, celsius + 273.15)
    points = [773.15] if celsius > 500.0 else None
    expected, _ = quad(lambda kelvin: flue_gas_heat_capacity(kelvin, dioxide), *ends, points=points)
    assert flue_gas_enthalpy(celsius + 273.15, dioxide) == pytest.approx(expected, rel=1e-9, abs=1e-6)


# Library: CoolProp 8.0.0, ideal gases, at the air ratio that gives 4, 8 and 12 % dry CO2. Below 400 degC the
# standard's polynomial is within 0.4 % of the mixture, at 500 degC 1 %.
@pytest.mark.parametrize("air_ratio", [5.06, 2.53, 1.69])
@pytest.mark.parametrize(
    ("celsius", "agreement"),
    [
        (25.0, 0.004),
        (200.0, 0.004),
        (400.0, 0.004),
        (500.0, 0.011),
        (600.0, 0.013),
        (800.0, 0.013),
        (1000.0, 0.013),
        (1200.0, 0.02),
        (1400.0, 0.031),
    ],
)
def test_heat_capacity_against_a_mixture(celsius, agreement, air_ratio):
    dioxide = dry_dioxide(air_ratio)
    oracle = mixture_heat_capacity(celsius + 273.15, air_ratio)
    assert flue_gas_heat_capacity(celsius + 273.15, dioxide) == pytest.approx(oracle, rel=agreement)


def test_enthalpy_of_firebox_gas_against_a_mixture():
    # Library: as above; the whole sensible heat of gas at 900 degC within 1 %.
    oracle, _ = quad(lambda kelvin: mixture_heat_capacity(kelvin, 2.0), 298.15, 1173.15)
    assert flue_gas_enthalpy(1173.15, dry_dioxide(2.0)) == pytest.approx(oracle, rel=0.01)


@pytest.mark.parametrize("air_ratio", [1.69, 2.53, 5.06])
def test_gas_constant_against_a_mixture(air_ratio):
    # Closed form of the mixture's mean molar mass: 0.3 % at most; the standard takes its air as moist.
    ours = flue_gas_constant(dry_dioxide(air_ratio))
    assert ours == pytest.approx(mixture_gas_constant(air_ratio), rel=0.004)


# Without carbon dioxide it is air. Library: CoolProp 8.0.0.
@pytest.mark.parametrize("celsius", [-40.0, 0.0, 100.0, 300.0, 500.0, 800.0, 1000.0])
def test_properties_of_air(celsius):
    def oracle(name):
        return PropsSI(name, "T", celsius + 273.15, "P", 101325.0, "Air")

    kelvin = celsius + 273.15
    assert flue_gas_heat_capacity(kelvin, 0.0) == pytest.approx(oracle("C"), rel=0.026)
    assert flue_gas_conductivity(kelvin) == pytest.approx(oracle("L"), rel=0.10)
    assert 0.82 < flue_gas_viscosity(kelvin) / oracle("V") < 0.93
    assert flue_gas_constant(0.0) == pytest.approx(287.055, rel=0.004)


# Air ratio [-], dry CO2 [%]: 20.5 / air ratio, EN 13384-1 (second-hand); 0.5 % is the smooth bound's doing.
@pytest.mark.parametrize(("air_ratio", "expected"), [(1.6, 12.8125), (2.0, 10.25), (2.56, 8.0), (5.0, 4.1)])
@pytest.mark.parametrize("heat", [500.0, 4000.0, 20000.0])
def test_dioxide_over_air_ratio(heat, air_ratio, expected):
    assert flue_carbon_dioxide(heat, air_ratio * heat / 3.03e6) == pytest.approx(expected, rel=0.005)


def test_dioxide_against_a_mixture():
    # Closed form of the combustion of the table's wood: the two differ by less than 2 %.
    for air_ratio in (1.6, 2.5, 5.0):
        ours = flue_carbon_dioxide(4000.0, air_ratio * 4000.0 / 3.03e6)
        assert ours == pytest.approx(dry_dioxide(air_ratio), rel=0.02)


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
