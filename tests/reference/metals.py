"""Sheet metal as the stove's nodes have it: the specific heats through the engine's own curves."""

from simtent.assembly.stove import heat_at_ice_point, heat_curve
from simtent.scenario.hardware import METALS

DENSITY = METALS  # kg/m3


def specific_heat(metal, kelvin):
    """Specific heat [J/(kg K)]."""
    return heat_at_ice_point(metal) * heat_curve(metal).relative(kelvin)


def enthalpy(metal, kelvin):
    """Heat above 0 degC [J/kg]."""
    return heat_at_ice_point(metal) * (heat_curve(metal).state(kelvin) - 273.15)
