"""Carbon monoxide from burning wood and glowing coals, and how much of it is in air."""

CARBON_MONOXIDE_MASS = 28.010
"""Molar mass of carbon monoxide [kg/kmol]."""
AIR_MASS = 28.966
"""Molar mass of dry air [kg/kmol]."""
LEAST_EFFICIENCY = 0.67
"""Combustion efficiency of smouldering wood, below which nothing is known [-]; second-hand (open wildland burning)."""
MOST_EFFICIENCY = 0.97
"""Combustion efficiency of established flames [-]; the same source."""
FROM_COALS = 0.22
"""Carbon monoxide from glowing coals [kg/kg]: a tenth of their carbon (.95); charcoal 0.20 to 0.28, from memory."""


def from_flames(burnt: float) -> float:
    """Carbon monoxide given off per mass of wood gas, dry wood at heart.

    Parameters
    ----------
    burnt : float
        Share of the gas' heat that is set free [-].

    Returns
    -------
    float
        Carbon monoxide per dry wood [kg/kg], 0.0065 to 0.302.

    Source
    ------
    0.961 - 0.984 times the combustion efficiency: open wildland burning, second-hand through the source code of a
    forest service's fire effects model; an upper bracket. The burnt share of the gas is taken for the efficiency.
    """
    return 0.961 - 0.984 * min(max(burnt, LEAST_EFFICIENCY), MOST_EFFICIENCY)


def parts_per_million(share: float) -> float:
    """Carbon monoxide by volume from its share of the air's mass.

    Parameters
    ----------
    share : float
        Mass of carbon monoxide over that of the air [-].

    Returns
    -------
    float
        Concentration [ppm].

    Source
    ------
    Closed form: ratio of the molar masses.
    """
    return 1e6 * share * AIR_MASS / CARBON_MONOXIDE_MASS


def milligrams_per_ppm(kelvin: float, pascal: float) -> float:
    """Mass of carbon monoxide in a volume of air for a part in a million of its volume.

    Parameters
    ----------
    kelvin : float
        Temperature of the air [K].
    pascal : float
        Pressure of the air [Pa].

    Returns
    -------
    float
        Mass for each ppm [mg/m3 per ppm].

    Source
    ------
    Closed form, ideal gas: 1.145 at 25 degC, 1.164 at 20, 1.250 at 0, at 101.325 kPa.
    """
    return 1e-3 * CARBON_MONOXIDE_MASS * pascal / (8.314462618 * kelvin)
