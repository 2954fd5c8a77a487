"""Physical constants, SI."""

STEFAN_BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant [W/(m2 K4)]; CODATA 2018."""

GAS_CONSTANT_AIR = 287.055
"""Specific gas constant of dry air [J/(kg K)]."""

CP_AIR = 1006.0
"""Specific heat of dry air at constant pressure [J/(kg K)], within 1 % from -90 to 130 degC."""

ICE_POINT = 273.15
"""0 degC [K]."""

GRAVITY = 9.80665
"""Standard gravity [m/s2]."""
