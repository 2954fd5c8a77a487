"""Air that a difference of pressure drives through leaks and openings."""

from math import pow, sqrt

from simtent import compiled

REFERENCE_DROP = 4.0
"""Pressure at which a leakage area is stated [Pa]; ASTM E779."""

LEAK_EXPONENT = 0.65
"""Exponent of the pressure in the flow through cracks and seams [-], 0.6 to 0.7; ASHRAE 1997 (second-hand)."""

ORIFICE_EXPONENT = 0.5
"""Exponent of the pressure in the flow through an opening with sharp edges [-]."""

DISCHARGE = 0.6
"""Discharge coefficient of an opening with sharp edges [-]; Modelica Buildings Library (LBNL)."""

STILL = 0.01
"""Pressure over which a flow passes smoothly through 0 [Pa]; Modelica Buildings Library (LBNL)."""


def leak_strength(area: float) -> float:
    """Strength of seams and cracks of a leakage area, for `opening_flow` with LEAK_EXPONENT.

    Parameters
    ----------
    area : float
        Leakage area at 4 Pa, discharge coefficient 1 [m2].

    Returns
    -------
    float
        Mass flow over sqrt(density) pressure^0.65 [m2 Pa^-0.15].

    Source
    ------
    Leakage area law, V = L sqrt(2 p_ref / rho) (p / p_ref)^n (Modelica Buildings Library, LBNL), here at 4 Pa.

    Notes
    -----
    Linear.
    """
    return area * sqrt(2.0 * REFERENCE_DROP) * pow(REFERENCE_DROP, -LEAK_EXPONENT)


def orifice_strength(area: float, discharge: float) -> float:
    """Strength of an opening with sharp edges, for `opening_flow` with ORIFICE_EXPONENT.

    Parameters
    ----------
    area : float
        Free area [m2].
    discharge : float
        Discharge coefficient [-].

    Returns
    -------
    float
        Mass flow over sqrt(density x pressure) [m2].

    Source
    ------
    Orifice law, m = C_d A sqrt(2 rho dp) (Modelica Buildings Library, LBNL).

    Notes
    -----
    Linear.
    """
    return sqrt(2.0) * discharge * area


def opening_flow(
    drive: float, strength: float, exponent: float, root_out: float, root_in: float
) -> tuple[float, float]:
    """Flow through an opening, and its slope against the pressure.

    Parameters
    ----------
    drive : float
        Pressure outside less that inside, at the opening's height [Pa].
    strength : float
        Strength of the opening [kg/s over sqrt(kg/m3) Pa^exponent].
    exponent : float
        Exponent of the pressure [-], 0.5 to 1.
    root_out : float
        Square root of the density outside [kg^(1/2)/m^(3/2)].
    root_in : float
        Square root of the density inside [kg^(1/2)/m^(3/2)].

    Returns
    -------
    tuple[float, float]
        Mass flow, positive inward [kg/s]; its derivative against the drive [kg/(s Pa)], above 0.

    Source
    ------
    strength sqrt(rho) |d|^n with the density where the air comes from: orifice and power law (Modelica Buildings
    Library, LBNL). Rounded over 0.01 Pa about no flow, d (d^2 + 0.01^2)^((n - 1)/2), and so is the change of
    density.

    Notes
    -----
    At 1 Pa within 0.01 %. Smooth to every derivative. Rises strictly with the drive while the densities differ by less
    than a factor of 90. The air passes one way at a time: a tall opening is cut into slices.

    Examples
    --------
    >>> flow, slope = opening_flow(10.0, orifice_strength(0.01, 0.6), 0.5, 1.0973, 1.0973)
    >>> round(flow, 4), round(slope, 5)
    (0.0294, 0.00147)
    """
    square = drive * drive + STILL * STILL
    size = 1.0 / sqrt(square)
    steep = sqrt(size) if exponent == ORIFICE_EXPONENT else pow(square, 0.5 * (exponent - 1.0))
    way, round_off = drive * size, STILL * size  # their squares add up to 1
    turned = 0.5 * (root_out - root_in) * way
    blended = 0.5 * (root_out + root_in) + turned
    slope = exponent * way * way * blended + round_off * round_off * (blended + turned)
    passed = strength * steep
    return passed * drive * blended, passed * slope


def wind_pressure(coefficient: float, density: float, speed: float) -> float:
    """Pressure that wind puts on a face, above that of the still air around.

    Parameters
    ----------
    coefficient : float
        Pressure coefficient of the face [-], positive to windward, negative in the lee.
    density : float
        Density of the air outside [kg/m3].
    speed : float
        Wind speed that the coefficient goes with [m/s].

    Returns
    -------
    float
        Pressure [Pa].

    Source
    ------
    Definition, C_p rho v^2 / 2.

    Notes
    -----
    Smooth.
    """
    return 0.5 * coefficient * density * speed * speed


compiled.compile_module(globals())
