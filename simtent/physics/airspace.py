"""Heat transfer across an unventilated air gap between two skins."""

from math import pow

from simtent import compiled

STILL_AIR_CONDUCTIVITY = 0.025  # W/(m K), as the standard has it


def gap_film(difference: float, thickness: float, cos_tilt: float) -> float:
    """Convection and conduction coefficient from face to face of an unventilated airspace.

    Parameters
    ----------
    difference : float
        Temperature of the inner face minus that of the outer face [K].
    thickness : float
        Width of the gap [m], above 0.
    cos_tilt : float
        Cosine of the angle between straight up and the normal pointing into the room [-]:
        floor +1, wall 0, ceiling -1.

    Returns
    -------
    float
        Coefficient between the two faces, radiation apart [W/(m2 K)].

    Source
    ------
    ISO 6946 annex on airspaces (from memory; its table of resistances is reproduced in the tests): the
    largest of 0.025 / d and, with heat flowing up, 1.95 or 1.14 dT^(1/3); horizontally, 1.25 or
    0.73 dT^(1/3); down, 0.12 d^-0.44 or 0.09 dT^0.187 d^-0.44.

    Notes
    -----
    The standard changes form at 5 K with steps of up to 1.4 %; taking the larger one keeps the coefficient
    continuous and equals the standard's within that. Heat flow within 30 degrees of horizontal counts as
    horizontal, as the standard has it for surfaces; from there it goes linearly with |cos_tilt| to the
    values of a horizontal gap (our rule, to be continuous). At difference 0 a tilted gap's coefficient jumps
    between up and down; the flux is 0 there and continuous. Gaps up to 0.3 m.
    """
    size = abs(difference)
    level = max(1.25, 0.73 * pow(size, 1.0 / 3.0))
    if difference * cos_tilt < 0.0:
        upright = max(1.95, 1.14 * pow(size, 1.0 / 3.0))
    else:
        upright = max(0.12, 0.09 * pow(size, 0.187)) * pow(thickness, -0.44)
    share = max(0.0, 2.0 * abs(cos_tilt) - 1.0)
    still = STILL_AIR_CONDUCTIVITY / thickness
    return (1.0 - share) * max(still, level) + share * max(still, upright)


def pair_emissivity(one: float, other: float) -> float:
    """Effective emissivity of two large parallel grey faces.

    Parameters
    ----------
    one : float
        Emissivity of one face [-], above 0.
    other : float
        Emissivity of the other face [-], above 0.

    Returns
    -------
    float
        1 / (1 / one + 1 / other - 1) [-].

    Source
    ------
    Closed form for grey, diffuse, infinite plates; also ISO 6946.

    Notes
    -----
    Smooth.
    """
    return one * other / (one + other - one * other)


compiled.compile_module(globals())
