"""Flue gas of wood as a mixture of ideal gases, to which the chimney standard's polynomials are held.

The wood is that of EN 13384-1 table B.1 at 23.1 % moisture: mass shares of dry wood, and water per kg dry, implied by
the table's volumes (closed form of second-hand values): carbon .495, hydrogen .060, oxygen the rest but for .5 % ash.
"""

from CoolProp.CoolProp import PropsSI

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
