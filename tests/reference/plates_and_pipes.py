"""Films of plates and pipes in still air and in wind, by a library's laws with properties at the film temperature."""

import ht
from CoolProp.CoolProp import PropsSI
from scipy.constants import g as standard_gravity


def air(kelvin):
    """Density, viscosity, conductivity and specific heat of air. Library: CoolProp 8.0.0."""
    return [PropsSI(name, "T", kelvin, "P", 101325.0, "Air") for name in "DVLC"]


def plate(difference, length, room=283.15):
    """Prandtl and Grashof number of a body in still air, conductivity over length, properties at film temperature."""
    middle = room + difference / 2.0
    density, viscosity, conductivity, capacity = air(middle)
    grashof = standard_gravity / middle * difference * length**3 * (density / viscosity) ** 2
    return capacity * viscosity / conductivity, grashof, conductivity / length


def upright_plate(difference, length, room=283.15):
    """Film of a vertical plate [W/(m2 K)], by Churchill and Chu."""
    prandtl, grashof, scale = plate(difference, length, room)
    return ht.Nu_vertical_plate_Churchill(prandtl, grashof) * scale


def top(difference, side, room):
    """Film of a square plate that faces up [W/(m2 K)], by McAdams, length area over perimeter."""
    prandtl, grashof, scale = plate(difference, side / 4.0, room)
    return ht.Nu_horizontal_plate_McAdams(prandtl, grashof, buoyancy=True) * scale


def level_pipe(difference, diameter):
    """Film of a horizontal pipe [W/(m2 K)], by Churchill and Chu."""
    prandtl, grashof, scale = plate(difference, diameter)
    return ht.Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof) * scale


def upright_pipe(difference, diameter, length):
    """Film of a slender upright pipe [W/(m2 K)], by Popiel: more than a plate, for it is not wide."""
    prandtl, grashof, scale = plate(difference, length)
    assert diameter / length < 35.0 / grashof**0.25  # a plate's law does not hold
    return ht.Nu_vertical_cylinder_Popiel_Churchill(prandtl, grashof, length, diameter) * scale


def along_and_across(wind):
    """Films of a laminar plate of 0.5 m along the wind and of a pipe of 76 mm across it, air of 110 degC [W/(m2 K)]."""
    density, viscosity, conductivity, capacity = air(383.15)
    prandtl = capacity * viscosity / conductivity
    along, across = (density * wind * length / viscosity for length in (0.5, 0.076))
    least = ht.Nu_external_horizontal_plate(along, prandtl, L=0.5, x=0.5) * conductivity / 0.5
    return least, ht.Nu_cylinder_Churchill_Bernstein(across, prandtl) * conductivity / 0.076
