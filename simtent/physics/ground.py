"""Conduction into the ground: snow, slabs, the edge of a heated floor."""

from math import log, pi, pow, sqrt

from simtent import compiled

EDGE_REACH = 0.3  # fitted, see edge_conductance


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


def snow_conductivity_exponential(density: float) -> float:
    """Thermal conductivity of seasonal snow: exponential law, for the spread.

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
    Sturm et al. 1997, J. Glaciology 43(143), 10^(2.650 r - 1.652), r in g/cm3 (second-hand).

    Notes
    -----
    Range up to 600 kg/m3. Smooth.
    """
    return pow(10.0, 2.650 * density / 1000.0 - 1.652)


def snow_conductivity_power(density: float) -> float:
    """Thermal conductivity of seasonal snow: power law, for the spread.

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
    2.29 (r / 0.920)^1.88, r in g/cm3, as used by a weather forecasting model's land surface scheme
    (second-hand).

    Notes
    -----
    Smooth.
    """
    return 2.29 * pow(density / 920.0, 1.88)


def slab_transmittance(
    area: float, perimeter: float, wall: float, conductivity: float, resistance: float
) -> float:
    """Steady thermal transmittance of a floor slab on the ground.

    Parameters
    ----------
    area : float
        Floor area [m2].
    perimeter : float
        Exposed perimeter [m].
    wall : float
        Thickness of the surrounding wall [m].
    conductivity : float
        Conductivity of the ground [W/(m K)].
    resistance : float
        Thermal resistance of the floor's own layers, without films [m2 K/W].

    Returns
    -------
    float
        Transmittance per floor area between inside and outdoor air [W/(m2 K)].

    Source
    ------
    ISO 13370, slab on ground, with film resistances 0.17 inside and 0.04 outside (second-hand).

    Notes
    -----
    A floor heated for one night loses more than this. The two branches differ by 0.02 % where they meet.
    """
    width = area / (0.5 * perimeter)
    equivalent = wall + conductivity * (0.17 + resistance + 0.04)
    if equivalent < width:
        reach = pi * width
        return 2.0 * conductivity / (reach + equivalent) * log(reach / equivalent + 1.0)
    return conductivity / (0.457 * width + equivalent)


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
    temperature. Where the ground starts warmer than the air outdoors, the surface beside the shelter is
    warmer than the air too, and a link to the air overstates the loss. Smooth.
    """
    reach = EDGE_REACH * pi * sqrt(diffusivity * duration)
    return conductivity / pi * log(1.0 + reach / (conductivity * resistance))


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
