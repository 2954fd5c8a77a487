"""Wood as a fuel by closed forms, apart from the package."""

DRY_WOOD = (0.500, 0.061, 0.428)  # carbon, hydrogen, oxygen in dry wood by mass; common practice, no source
FLUE_STANDARD = (0.495, 0.060, 0.445)  # as the volumes of EN 13384-1 table B.1 imply (second-hand)
MOLAR_VOLUME = 22.414  # m3/kmol at 0 degC and 101325 Pa


def net_heating_value(dry_value, moisture):
    """Heat of moist wood, its water leaving as vapour [J/kg], by the form of EN ISO 18125 (from memory)."""
    return dry_value * (1.0 - moisture) - 2.443e6 * moisture


def oxygen_needed(carbon, hydrogen, oxygen):
    """Oxygen that burns a fuel of these mass shares [kg/kg]."""
    return carbon * 31.998 / 12.011 + hydrogen * 15.999 / 2.016 - oxygen


def stoichiometric_air(carbon, hydrogen, oxygen):
    """Air that burns a fuel of these mass shares [kg/kg]; oxygen is .2314 of dry air by mass."""
    return oxygen_needed(carbon, hydrogen, oxygen) / 0.2314


def dry_dioxide(carbon, hydrogen, oxygen):
    """Carbon dioxide in the dry flue gas of just enough air, by volume; .791 of air is nitrogen."""
    dioxide = carbon * MOLAR_VOLUME / 12.011
    nitrogen = 0.791 * stoichiometric_air(carbon, hydrogen, oxygen) / 1.293
    return dioxide / (dioxide + nitrogen)
