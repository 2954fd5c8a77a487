"""Air leaking through a small building's envelope."""

from math import sqrt

from simtent import compiled

STACK_COEFFICIENT = 0.000145  # (l/s)2/(cm4 K)
WIND_COEFFICIENT = 0.000174  # (l/s)2/(cm4 (m/s)2)
STOREY_HEIGHT = 2.5  # m


def basic_leakage(area: float, difference: float, wind: float, height: float) -> float:
    """Volume flow of outdoor air through an effective leakage area, by stack and wind together.

    Parameters
    ----------
    area : float
        Effective leakage area at 4 Pa [m2].
    difference : float
        Mean inside minus outdoor air temperature [K].
    wind : float
        Wind speed [m/s], 0 or more.
    height : float
        Height of the room [m].

    Returns
    -------
    float
        Volume flow [m3/s].

    Source
    ------
    Sherman and Grimsrud's basic model, coefficients of the US DOE Input Output Reference: stack
    0.000145 (l/s)2/(cm4 K) for one storey of 2.5 m, wind 0.000174 (l/s)2/(cm4 (m/s)2) for shelter class 3
    (some obstructions). The stack coefficient is proportional to height (closed form of the same model).

    Notes
    -----
    The sign of the difference does not matter. Without difference and wind the flow is 0, and its slope
    against the difference is infinite; the heat it carries, flow x difference, goes with |d|^(3/2) and is
    continuous with its first derivative.

    Examples
    --------
    >>> round(basic_leakage(0.05, 39.0, 6.7, 2.5), 4)
    0.058
    """
    stack = STACK_COEFFICIENT * height / STOREY_HEIGHT * abs(difference)
    breeze = WIND_COEFFICIENT * wind * wind
    return 10.0 * area * sqrt(stack + breeze)


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
