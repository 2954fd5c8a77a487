"""Air that a colder or warmer surface sets moving along itself, and how far such a current goes."""

from math import sqrt

from simtent import compiled
from simtent.physics.constants import CP_AIR

SHED = 0.25
"""Share of the way to the surface's temperature that the air of its current goes [-]."""

WIDTH = 0.2  # K, over which a layer begins to stand in a current's way; half of it always does
LEAST_HEAT = 1e-9  # W, keeps a current of nothing from dividing by it


def current_flow(film: float, area: float) -> float:
    """Air that a surface draws out of a layer into the current along itself.

    Parameters
    ----------
    film : float
        Convection coefficient [W/(m2 K)].
    area : float
        Area of the surface in the layer [m2].

    Returns
    -------
    float
        Mass flow [kg/s], 0 or more.

    Source
    ------
    The block model of Togari et al. 1993 (from memory, the original was not seen): the air of the current takes a
    temperature of 0.75 of the layer's and 0.25 of the surface's. Its flow, 4 h A / c_p, follows from the heat that
    convection takes from it (closed form).

    Notes
    -----
    The share of 0.25 is of large halls; no measured one of a small shelter was found. A turbulent boundary layer by
    Eckert and Jackson (from memory) has 0.21. Linear.

    Examples
    --------
    >>> round(current_flow(4.0, 2.0), 5)
    0.03181
    """
    return film * area / (SHED * CP_AIR)


def going_on(excess: float, mass_flow: float, step: float) -> float:
    """Share of a current that goes on into the next layer; the rest is delivered in the layer it is in.

    Parameters
    ----------
    excess : float
        Heat of the current beyond that of the layer it is in, positive if that drives it on [W]: what warm air that
        rises has above it, what cold air that falls lacks.
    mass_flow : float
        Mass flow of the current [kg/s], 0 or more.
    step : float
        By how much the next layer's temperature lies beyond this one's, in the same sense [K].

    Returns
    -------
    float
        Share [-], 0 to 1.

    Source
    ------
    The block model of Togari et al. 1993 (from memory) delivers a current whole where the next block lies beyond
    it. Shared here between the two layers that its temperature lies between, as a profile between their centres
    has it: then the place of delivery moves on with the temperatures, not by whole layers.

    Notes
    -----
    All of it goes on where the current lies beyond the next layer, nothing where it lies behind its own; cubic
    between. Where the next layer is like this one, or behind it, 0.14 to 0.1 K stand for the step and keep it smooth.
    Smooth to the first derivative.

    Examples
    --------
    >>> going_on(-1.0, 0.03, 2.0), round(going_on(30.3, 0.03, 2.0), 2), going_on(90.0, 0.03, 2.0)
    (0.0, 0.5, 1.0)
    """
    if excess <= 0.0:
        return 0.0
    ahead = 0.5 * (step + sqrt(step * step + WIDTH * WIDTH))
    ahead = sqrt(ahead * ahead + 0.25 * WIDTH * WIDTH)
    whole = CP_AIR * mass_flow * ahead + LEAST_HEAT
    if excess >= whole:
        return 1.0
    share = excess / whole
    return share * share * (3.0 - 2.0 * share)


compiled.compile_module(globals())
