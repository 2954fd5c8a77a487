"""Convection from the hot outside of stove and pipe, in still air and in wind."""

from math import pow

from simtent import compiled
from simtent.physics.convection import inside_film


def hot_film(difference: float, wind: float, density_ratio: float) -> float:
    """Convection coefficient of a hot surface, without radiation.

    Parameters
    ----------
    difference : float
        Surface minus air temperature [K].
    wind : float
        Wind speed beside the surface [m/s], 0 or more; 0 inside a shelter.
    density_ratio : float
        Air density over that at the same temperature and 101325 Pa, that is, the pressure ratio [-].

    Returns
    -------
    float
        Convection coefficient [W/(m2 K)].

    Source
    ------
    Still air: a turbulent vertical plate, `inside_film` of a wall, 1.31 |d|^(1/3). Wind: the part of ISO 6946 annex C
    that grows with it, 4 v (second-hand). Both together: the root of the sum of cubes, as for assisting
    flows in handbooks of heat transfer (from memory).

    Notes
    -----
    A box's top gives more and its bottom less than its sides. A vertical plate of 0.3 to 0.6 m with properties at
    film temperature gives 18 % more at 30 K, as much at 200 K and 25 % less at 480 K; a pipe of 76 mm much the
    same. Wind: between a plate of 0.5 m along it (0.5 to 0.9 of this) and a pipe of 76 mm across it (1.2 to
    2.5 times).
    As for `inside_film`, the slope is infinite at difference 0 in still air; the flux coefficient x difference
    is continuous with its first derivative.

    Examples
    --------
    >>> round(hot_film(300.0, 0.0, 1.0), 2), round(hot_film(300.0, 3.0, 1.0), 2)
    (8.77, 13.39)
    """
    still = inside_film(difference, 0.0, density_ratio)
    blown = 4.0 * wind
    return pow(still * still * still + blown * blown * blown, 1.0 / 3.0)


compiled.compile_module(globals())
