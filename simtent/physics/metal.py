"""Heat stored in the sheet metal of stoves and pipes."""

from simtent import compiled
from simtent.physics.constants import ICE_POINT

STEEL = (425.0, 0.773, -1.69e-3, 2.22e-6)
"""Polynomial of the specific heat over degC [J/(kg K), then per K, K2, K3]; EN 1993-1-2 3.4.1.2 (from memory)."""

STEEL_TOP = 600.0
"""Top of that polynomial's range [degC]; the peak of the phase change at 735 degC is left out."""

STEEL_DENSITY = 7850.0
"""Density of steel [kg/m3]; EN 1993-1-2 (from memory)."""

TITANIUM = (560.0, 0.0, 0.0, 0.0)
"""As for steel; middle of 520 to 600 J/(kg K), from memory."""

TITANIUM_TOP = 600.0
"""Top of that range [degC]."""

TITANIUM_DENSITY = 4500.0
"""Density of titanium [kg/m3]; from memory."""


def metal_heat_capacity(
    temperature: float, c0: float, c1: float, c2: float, c3: float, top_celsius: float
) -> float:
    """Specific heat of a metal: a polynomial over degC, constant above its top.

    Parameters
    ----------
    temperature : float
        Metal temperature [K].
    c0 : float
        Specific heat at 0 degC [J/(kg K)].
    c1 : float
        Linear term [J/(kg K2)].
    c2 : float
        Square term [J/(kg K3)].
    c3 : float
        Cubic term [J/(kg K4)].
    top_celsius : float
        Temperature above which the specific heat stays [degC].

    Returns
    -------
    float
        Specific heat [J/(kg K)].

    Source
    ------
    EN 1993-1-2 3.4.1.2 for steel (from memory, `STEEL`); titanium from memory (`TITANIUM`).

    Notes
    -----
    From 200 K on both metals' are positive and never fall. Continuous; its slope steps at the top.

    Examples
    --------
    >>> round(metal_heat_capacity(673.15, *STEEL, STEEL_TOP))
    606
    """
    t = min(temperature - ICE_POINT, top_celsius)
    return c0 + t * (c1 + t * (c2 + t * c3))


def metal_enthalpy(
    temperature: float, c0: float, c1: float, c2: float, c3: float, top_celsius: float
) -> float:
    """Heat stored in a metal above 0 degC.

    Parameters
    ----------
    temperature : float
        Metal temperature [K].
    c0 : float
        Specific heat at 0 degC [J/(kg K)].
    c1 : float
        Linear term [J/(kg K2)].
    c2 : float
        Square term [J/(kg K3)].
    c3 : float
        Cubic term [J/(kg K4)].
    top_celsius : float
        Temperature above which the specific heat stays [degC].

    Returns
    -------
    float
        Enthalpy above that at 0 degC [J/kg].

    Source
    ------
    Closed form: the integral of `metal_heat_capacity`.

    Notes
    -----
    Continuous with its first derivative.

    Examples
    --------
    >>> round(metal_enthalpy(673.15, *STEEL, STEEL_TOP) / 1e3)
    210
    """
    celsius = temperature - ICE_POINT
    t = min(celsius, top_celsius)
    stored = t * (c0 + t * (c1 / 2.0 + t * (c2 / 3.0 + t * c3 / 4.0)))
    return stored + (celsius - t) * metal_heat_capacity(temperature, c0, c1, c2, c3, top_celsius)


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
