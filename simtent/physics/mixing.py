"""Mixing of room air over height, as a conductivity."""

from simtent import compiled

STABLE = 0.6  # W/(m K)
UNSTABLE = 30.0  # W/(m K)
WIDTH = 1.0  # K/m


def mixing_conductivity(gradient: float) -> float:
    """Effective conductivity of room air over height, small where layers lie stably.

    Parameters
    ----------
    gradient : float
        Rise of air temperature with height [K/m].

    Returns
    -------
    float
        Conductivity [W/(m K)]: 0.6 where it is warmer above, 30 where it is colder above by 1 K/m or more, a
        smooth passage (cubic in the gradient) between.

    Source
    ------
    The block model of Togari et al. 1993 exchanges 2.3 (stable) and 116 W/(m2 K) (unstable) between
    blocks; times a block height of 0.26 m that is 0.6 and 30 W/(m K) (both from memory, the original was not
    seen).

    Notes
    -----
    Written as a conductivity it does not depend on the number of layers. The width of the passage is
    our choice.
    """
    if gradient >= 0.0:
        return STABLE
    if gradient <= -WIDTH:
        return UNSTABLE
    s = -gradient / WIDTH
    return STABLE + (UNSTABLE - STABLE) * s * s * (3.0 - 2.0 * s)


compiled.compile_module(globals())
