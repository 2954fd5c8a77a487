"""Conduction into the ground: snow, slabs, the edge of a heated floor; what melting takes."""

from math import log, pi, sqrt

from simtent import compiled

EDGE_REACH = 0.3  # fitted, see edge_conductance

FUSION = 333.4e3
"""Heat that melts ice at 0 degC [J/kg]; IAPWS R10-06 (2009), 333.43 kJ/kg, from memory."""

THAWED_MORE = 4200.0 - 2050.0
"""Specific heat of water above that of ice [J/(kg K)], near 0 and near -20 degC; both from memory."""


def snow_conductivity(density: float) -> float:
    """Thermal conductivity of seasonal snow: the default law.

    Parameters
    ----------
    density : float
        Snow density [kg/m3].

    Returns
    -------
    float
        Effective conductivity [W/(m K)].

    Source
    ------
    Sturm et al. 1997, J. Glaciology 43(143), quadratic regression (second-hand):
    0.138 - 1.01 r + 3.233 r^2 from 0.156 g/cm3, 0.023 + 0.234 r below.

    Notes
    -----
    Range up to 600 kg/m3. Published snow conductivities differ by a factor of 2 at one density: read the
    value as plus or minus 50 %. The two branches differ by 0.7 % where they meet.

    Examples
    --------
    >>> round(snow_conductivity(300.0), 3)
    0.126
    """
    r = density / 1000.0
    if r < 0.156:
        return 0.023 + 0.234 * r
    return 0.138 - 1.01 * r + 3.233 * r * r


def edge_conductance(conductivity: float, diffusivity: float, duration: float, resistance: float) -> float:
    """Conductance from the ground under a heated floor to outdoors around the floor's edge.

    Mean over the time since the floor began to be heated: the extra heat lost at the edge, over the rise of
    the ground's surface under the middle of the floor.

    Parameters
    ----------
    conductivity : float
        Conductivity of the ground [W/(m K)].
    diffusivity : float
        Thermal diffusivity of the ground [m2/s].
    duration : float
        Time since the floor began to be heated [s].
    resistance : float
        Film and floor layers inside plus film outside [m2 K/W], above 0.

    Returns
    -------
    float
        Conductance per metre of perimeter [W/(m K)].

    Source
    ------
    (k / pi) ln(1 + 0.3 pi sqrt(a t) / (k R)): the form of ISO 13370's edge loss with the depth reached in the
    time t in the place of the floor's width. The number 0.3 is our own fit to a two-dimensional transient
    calculation, which the tests repeat.

    Notes
    -----
    Over k 0.1 to 2.5 W/(m K), 2 to 14 h, 0.10 to 1.17 m2 K/W inside and 0.03 to 0.15 outside (the outer one
    never the larger): misses from -24 % (bare floor, little resistance) to +26 % (thick mat), rms 14 %, at
    most 0.09 W/(m K). A straight edge of a wide floor; ground, surface outside and outdoor air start at one
    temperature. Beside a floor of 2 to 4 m in three dimensions, with equal films inside and out, -28 to -5 %;
    with the column of ground under it within 1.5 % of all that the floor loses in 12 h. Where the ground starts
    warmer than the air outdoors, the surface beside the shelter is warmer than the air too, and a link to the
    air overstates the loss. Smooth.
    """
    reach = EDGE_REACH * pi * sqrt(diffusivity * duration)
    return conductivity / pi * log(1.0 + reach / (conductivity * resistance))


compiled.compile_module(globals())
