"""Cell sizes of a one-dimensional column of ground."""

from math import sqrt

FIRST_CELL = 0.2


def column_thicknesses(diffusivity: float, shortest: float, cells: int, ratio: float) -> tuple[float, ...]:
    """Thicknesses of the cells of a ground column, from the surface down.

    Parameters
    ----------
    diffusivity : float
        Thermal diffusivity of the ground [m2/s].
    shortest : float
        Shortest time that matters [s].
    cells : int
        Number of cells, 1 or more [-].
    ratio : float
        Thickness of a cell over that of the one above it [-].

    Returns
    -------
    tuple of float
        Thicknesses, shape (cells,) [m].

    Raises
    ------
    ValueError
        If an argument is not above 0.

    Source
    ------
    Own rule, held to the closed forms of the half space in the tests: nodes on the faces of the cells, half
    of a cell's capacity at each of its faces, first cell 0.2 sqrt(diffusivity x shortest).

    Notes
    -----
    With 300 s, 8 cells and ratio 2 the flux into the ground from 5 min to 12 h is 2.6 to 3.3 % too high after
    a step of the surface and 0.4 to 2.0 % behind a film of 8 W/(m2 K), in every ground alike for the step.
    """
    if not (diffusivity > 0.0 and shortest > 0.0 and cells > 0 and ratio > 0.0):
        raise ValueError("diffusivity, shortest time, number of cells and ratio must be above 0")
    first = FIRST_CELL * sqrt(diffusivity * shortest)
    return tuple(first * ratio**index for index in range(cells))
