"""Transport of heat by a stream and by mixing together, upwind where the stream is the stronger."""

from math import expm1

from simtent import compiled

SMALL, LARGE = 1e-3, 500.0


def mixing_left(peclet: float) -> float:
    """Share of the mixing between two cells that is left beside a stream through both.

    Parameters
    ----------
    peclet : float
        Capacity flow of the stream over the conductance of the mixing [-], positive from the first cell to the second.

    Returns
    -------
    float
        Bernoulli's function x / (e^x - 1) [-], 1 without a stream.

    Source
    ------
    Exact steady profile of convection and diffusion between two points: Scharfetter and Gummel 1969; the
    exponential scheme of textbooks of numerical heat transfer (both from memory).

    Notes
    -----
    From the first cell to the second go C T1 + D mixing_left(C/D) (T1 - T2). A strong stream carries what
    comes from upwind, a weak one the mean, and smearing by the cells' size adds nothing to mixing that is larger.
    Smooth where the stream turns round. For C far below 0 it grows as -C/D, so that C T2 is carried.

    Examples
    --------
    >>> round(mixing_left(1.0), 6), round(mixing_left(-1.0), 6), mixing_left(0.0)
    (0.581977, 1.581977, 1.0)
    """
    if peclet > LARGE:
        return 0.0
    if abs(peclet) < SMALL:
        return 1.0 - peclet * (0.5 - peclet / 12.0)
    return peclet / expm1(peclet)


compiled.compile_module(globals())
