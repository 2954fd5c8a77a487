"""Convective heat transfer coefficients of surfaces, inside and outside."""

from math import pow

from simtent import compiled


def inside_film(difference: float, cos_tilt: float, density_ratio: float) -> float:
    """Natural convection coefficient of a surface that faces a room.

    Parameters
    ----------
    difference : float
        Surface minus air temperature [K].
    cos_tilt : float
        Cosine of the angle between straight up and the surface's normal pointing into the room [-]:
        floor +1, wall 0, ceiling -1.
    density_ratio : float
        Air density over that at the same temperature and 101325 Pa, that is, the pressure ratio [-].

    Returns
    -------
    float
        Convection coefficient [W/(m2 K)].

    Source
    ------
    Walton 1983, as printed in the US DOE Engineering Reference, inside heat balance: unstable
    9.482 |d|^(1/3) / (7.238 - |cos|), stable 1.810 |d|^(1/3) / (1.382 + |cos|). Factor density_ratio^(2/3):
    closed form, for the Nusselt number goes with Ra^(1/3) and Ra with the density squared.

    Notes
    -----
    Unstable: a warm surface that faces up or a cold one that faces down. 1.31 |d|^(1/3) on a wall, 1.52 and
    0.76 on a horizontal surface. Published laws for rooms spread by about 20 % around it. Turbulent range:
    below about 0.5 K or on surfaces under some 0.3 m the true coefficient is higher.
    The coefficient is 0 at difference 0, has an infinite slope there and jumps between its two branches;
    the flux coefficient x difference goes with |d|^(4/3) and is continuous with its first derivative.
    The two branches differ by 0.02 % on a wall.

    Examples
    --------
    >>> round(inside_film(10.0, 0.0, 1.0), 3), round(inside_film(10.0, 1.0, 1.0), 3)
    (2.822, 3.275)
    """
    lean = abs(cos_tilt)
    factor = 9.482 / (7.238 - lean) if difference * cos_tilt > 0.0 else 1.810 / (1.382 + lean)
    return factor * pow(abs(difference), 1.0 / 3.0) * pow(density_ratio, 2.0 / 3.0)


def outside_film(wind: float) -> float:
    """Convection coefficient of an outer surface in wind, without radiation.

    Parameters
    ----------
    wind : float
        Wind speed beside the surface [m/s], 0 or more.

    Returns
    -------
    float
        Convection coefficient [W/(m2 K)].

    Source
    ------
    ISO 6946:2017 annex C, h = 4 + 4 v (second-hand).

    Notes
    -----
    Other published laws give 0.8 to 1.5 times as much. 4 W/(m2 K) in still air. Smooth.

    Examples
    --------
    >>> outside_film(2.0)
    12.0
    """
    return 4.0 + 4.0 * wind


compiled.compile_module(globals())
