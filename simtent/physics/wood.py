"""Wood as a fuel: moisture, heating value, the heats of its gas and its char, the air it needs."""

from simtent import compiled

WATER_HEAT = 2.443e6  # J/kg, of evaporation at 25 degC
COAL_HEAT = 30.0e6  # J/kg of char; 28 to 31 MJ/kg in a cone calorimeter (MaCFP wood calibration set)
AIR_HEAT = 3.03e6  # J of fuel that 1 kg of air burns: 13.1 MJ per kg of oxygen, .2314 of the air
CHAR_SHARE = 0.176  # of wood left as its flames go out: mean of 57 cone runs, air-dry (MaCFP set); .15 to .25
ASH_SHARE = 0.005  # of dry stem wood, .3 to 1 %, from memory
AIR_RATIO_LEAST = 1.6  # air taken in over air needed where short; 1.5 to 2.5 in hot flaming, from memory


def wet_basis(dry_basis_moisture: float) -> float:
    """Moisture on the wet basis from that on the dry basis.

    Parameters
    ----------
    dry_basis_moisture : float
        Water over dry wood [kg/kg], 0 or more.

    Returns
    -------
    float
        Water over moist wood [kg/kg].

    Source
    ------
    Closed form.
    """
    return dry_basis_moisture / (1.0 + dry_basis_moisture)


def dry_basis(wet_basis_moisture: float) -> float:
    """Moisture on the dry basis from that on the wet basis.

    Parameters
    ----------
    wet_basis_moisture : float
        Water over moist wood [kg/kg], 0 to below 1.

    Returns
    -------
    float
        Water over dry wood [kg/kg].

    Source
    ------
    Closed form.
    """
    return wet_basis_moisture / (1.0 - wet_basis_moisture)


def net_heating_value(dry_value: float, moisture: float) -> float:
    """Net heating value of moist wood.

    Parameters
    ----------
    dry_value : float
        Net heating value of the dry wood [J/kg].
    moisture : float
        Water over moist wood [kg/kg], 0 to below 1.

    Returns
    -------
    float
        Heat per mass of moist wood, the water leaving as vapour [J/kg].

    Source
    ------
    Form of EN ISO 18125 (from memory).
    """
    return dry_value * (1.0 - moisture) - WATER_HEAT * moisture


def gas_heat(dry_value: float, char_share: float) -> float:
    """Heat of the gas that dry wood gives off, such that gas and char add up to the wood.

    Parameters
    ----------
    dry_value : float
        Net heating value of the dry wood [J/kg].
    char_share : float
        Share of the dry wood that stays as char [-], 0 to below 1.

    Returns
    -------
    float
        Heat per mass of gas [J/kg].

    Source
    ------
    Closed form; the heat of char as `COAL_HEAT`.
    """
    return (dry_value - COAL_HEAT * char_share) / (1.0 - char_share)


def stoichiometric_air(carbon: float, hydrogen: float, oxygen: float) -> float:
    """Air that burns a fuel completely.

    Parameters
    ----------
    carbon : float
        Mass share of carbon in the dry fuel [-].
    hydrogen : float
        Mass share of hydrogen [-].
    oxygen : float
        Mass share of oxygen [-].

    Returns
    -------
    float
        Mass of dry air over mass of dry fuel [kg/kg].

    Source
    ------
    Closed form, molar masses C 12.011, H 1.008, O 15.999; oxygen is .2314 of dry air by mass.
    """
    needed = carbon * 31.998 / 12.011 + hydrogen * 15.999 / 2.016 - oxygen
    return needed / 0.2314


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
