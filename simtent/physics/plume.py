"""Warm air that rises from a source and draws the air of the room in as it goes."""

from math import pi, pow, sqrt

from simtent import compiled
from simtent.physics.constants import CP_AIR, GAS_CONSTANT_AIR, GRAVITY

ENTRAINMENT = 0.127
"""Speed of the air drawn in over the plume's own, evenly spread [-]; US DOE Engineering Reference, three-node room."""

FREE, WALL, CORNER = 1.0, 0.5 * pow(2.0, 1.0 / 3.0), 0.25 * pow(4.0, 1.0 / 3.0)
"""What a plume carries over what it would carry standing free [-]: 1, 0.630 at a wall, 0.397 in a corner, by mirror
images of the source (CFAST Technical Reference Guide, NIST). Its growth goes with the power 3/5 of that."""

FACTOR = 1.2 * ENTRAINMENT * pow(0.9 * ENTRAINMENT, 1.0 / 3.0) * pow(pi, 2.0 / 3.0)
"""C of flow = C flux^(1/3) height^(5/3) [-], closed form of Morton, Taylor and Turner's plume: 0.1587."""

GROWTH = pow(FACTOR, 0.6)
LEAST_FLUX = 1e-5  # m4/s3, of a third of a watt: over it the growth sets in
LEAST_HEAT = 3e-4  # of the dimensionless heat; some 15 W on 0.3 m: over it the heat's effect sets in
LEAST_DISTANCE = 0.1  # of the diameter, from the virtual origin up to the source
ROUNDED = 0.02  # of the diameter, width over which that bound sets in


def buoyancy_flux(watts: float, pressure: float) -> float:
    """Buoyancy that a source gives to the air each second.

    Parameters
    ----------
    watts : float
        Heat given to the air [W], of either sign.
    pressure : float
        Air pressure [Pa].

    Returns
    -------
    float
        Buoyancy flux [m4/s3], of the same sign.

    Source
    ------
    Definition, g Q / (rho c_p T), with rho T = p / R of an ideal gas.

    Notes
    -----
    Linear. The same for the heat that a plume carries above the air around it at any height.

    Examples
    --------
    >>> round(buoyancy_flux(1000.0, 101325.0), 5)
    0.02762
    """
    return GRAVITY * GAS_CONSTANT_AIR / CP_AIR * watts / pressure


def plume_growth(flux: float) -> float:
    """Rise per metre of the power 3/5 of the volume flow of a plume that stands free.

    Parameters
    ----------
    flux : float
        Buoyancy flux that the plume has against the air beside it [m4/s3], of either sign.

    Returns
    -------
    float
        d(V^(3/5))/dz [m^(4/5)/s^(3/5)], V in m3/s; exactly 0 for a flux of 0 or less.

    Source
    ------
    Morton, Taylor and Turner's plume (closed form): V = C F^(1/3) z^(5/3), so that V^(3/5) = C^(3/5) F^(1/5) z.

    Notes
    -----
    In layered air F is what is left at each height. Against the three full equations in evenly layered air the flow is
    0.7 % short half way to where the buoyancy ends, 7 % there, and it ends 1.2 % higher.
    F^(1/5) has an infinite slope at 0: the growth sets in as F^2 over 1e-5 m4/s3, the buoyancy of a third of a watt; at
    10 W it is 0.1 % short, at 100 W 1e-5. Smooth to the first derivative.

    Examples
    --------
    >>> round(plume_growth(0.02762) ** (5 / 3), 4)
    0.048
    """
    if flux <= 0.0:
        return 0.0
    square = flux * flux
    return GROWTH * square * pow(square + LEAST_FLUX * LEAST_FLUX, -0.9)


def virtual_distance(watts: float, diameter: float, pressure: float) -> float:
    """Distance from the point from which a plume seems to rise up to its source.

    Parameters
    ----------
    watts : float
        Heat given to the air by the source [W], of either sign.
    diameter : float
        Diameter of the source seen from above [m], above 0.
    pressure : float
        Air pressure [Pa].

    Returns
    -------
    float
        Distance [m], above 0.1 diameter.

    Source
    ------
    Heskestad, as printed in the CFAST Technical Reference Guide (NIST): D (1.02 - 1.4 Q*^0.4),
    Q* = Q / (rho c_p T sqrt(g D) D^2).

    Notes
    -----
    Measured on fires, where Q is all the heat set free; over a warm surface an assumption. 1.02 D for no heat or less
    (within 0.01 %). Q*^0.4 has an infinite slope at 0: over Q* = 3e-4 it sets in as the third power, some 15 W on
    0.3 m. It is rounded over 0.02 D where it reaches 0.1 D.
    Smooth to the second derivative.

    Examples
    --------
    >>> round(virtual_distance(1000.0, 0.3, 101325.0), 3)
    0.221
    """
    power = 0.0
    if watts > 0.0:
        relative = buoyancy_flux(watts, pressure) / (GRAVITY * sqrt(GRAVITY * diameter) * diameter * diameter)
        square = relative * relative
        power = square * relative * pow(square + LEAST_HEAT * LEAST_HEAT, -1.3)
    over = 1.02 - LEAST_DISTANCE - 1.4 * power
    return diameter * (LEAST_DISTANCE + 0.5 * (over + sqrt(over * over + ROUNDED * ROUNDED)))


compiled.compile_module(globals())
