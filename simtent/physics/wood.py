"""Wood as a fuel: the heats of its gas and its char, of the water in it, and the air it needs."""

from simtent import compiled

WATER_HEAT = 2.443e6  # J/kg, of evaporation at 25 degC
COAL_HEAT = 30.0e6  # J/kg of char; 28 to 31 MJ/kg in a cone calorimeter (MaCFP wood calibration set)
AIR_HEAT = 3.03e6  # J of fuel that 1 kg of air burns: 13.1 MJ per kg of oxygen, .2314 of the air
CHAR_SHARE = 0.176  # of wood left as its flames go out: mean of 57 cone runs, air-dry (MaCFP set); .15 to .25
ASH_SHARE = 0.005  # of dry stem wood, .3 to 1 %, from memory
AIR_RATIO_LEAST = 1.6  # air taken in over air needed where short; 1.5 to 2.5 in hot flaming, from memory


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


compiled.compile_module(globals())
