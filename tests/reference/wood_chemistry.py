"""Wood as a fuel by closed forms, apart from the package."""


def net_heating_value(dry_value, moisture):
    """Heat of moist wood, its water leaving as vapour [J/kg], by the form of EN ISO 18125 (from memory)."""
    return dry_value * (1.0 - moisture) - 2.443e6 * moisture


def stoichiometric_air(carbon, hydrogen, oxygen):
    """Air that burns a fuel of these mass shares [kg/kg]; oxygen is .2314 of dry air by mass."""
    return (carbon * 31.998 / 12.011 + hydrogen * 15.999 / 2.016 - oxygen) / 0.2314
