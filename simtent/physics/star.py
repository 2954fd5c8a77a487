"""Long-wave exchange of a room's surfaces through one mean radiant node: Carroll's star."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

ITERATIONS = 20_000
CLOSE = 1e-13


def carroll_weights(
    areas: Sequence[float] | NDArray[np.float64],
    emissivities: Sequence[float] | NDArray[np.float64],
    plane_areas: Sequence[float] | NDArray[np.float64],
) -> NDArray[np.float64]:
    """Exchange areas between each surface of an enclosure and its mean radiant node.

    The heat from surface i is G_i sigma (T_i^4 - T_m^4), and the node's T_m^4 = sum G_i T_i^4 / sum G_i.

    Parameters
    ----------
    areas : sequence of float
        Area of each surface, shape (n,) [m2].
    emissivities : sequence of float
        Emissivity of each surface, above 0 to 1, shape (n,) [-].
    plane_areas : sequence of float
        For each surface, the area of the whole flat plane it lies in, shape (n,) [m2]. Surfaces in one plane
        do not see each other. A surface that is a plane by itself repeats its own area; a surface made of
        strips of several equal walls gives one wall's area; one curved so that it sees itself as much as the
        rest (a dome) gives 0.

    Returns
    -------
    ndarray
        Exchange areas G, shape (n,) [m2].

    Raises
    ------
    ValueError
        If the shapes differ, an area or emissivity is out of range, or one plane holds half the area
        or more: the star has no solution then.

    Source
    ------
    Carroll 1980: f_i = 1 / (1 - A_i f_i / sum A_j f_j), G_i = A_i / (1/f_i + (1 - e_i)/e_i) (from memory;
    held to exact radiosity in the tests). The plane's area in the numerator is our extension for strips.

    Notes
    -----
    Exact for a cube, a sphere, a dome on its floor, a long ridge tent, a body inside a round room. In flat boxes with
    emissivity 0.9 the floor's flux is 3 to 4 % too small, the ceiling's 1 %.
    """
    area = np.asarray(areas, dtype=np.float64)
    emissivity = np.asarray(emissivities, dtype=np.float64)
    plane = np.asarray(plane_areas, dtype=np.float64)
    _check(area, emissivity, plane)
    view = np.ones_like(area)
    for _ in range(ITERATIONS):
        improved = 1.0 / (1.0 - plane * view / np.dot(area, view))
        change = float(np.max(np.abs(improved - view) / improved))
        view = improved
        if change < CLOSE:
            break
    if change >= CLOSE or not np.all(view >= 1.0):
        raise ValueError("the radiant star did not converge: one plane holds nearly half the area")
    return np.asarray(area / (1.0 / view + (1.0 - emissivity) / emissivity))


def _check(area: NDArray[np.float64], emissivity: NDArray[np.float64], plane: NDArray[np.float64]) -> None:
    if area.ndim != 1 or not area.shape == emissivity.shape == plane.shape or area.size == 0:
        raise ValueError("areas, emissivities and plane_areas must be flat and equally long")
    if not np.all(area > 0.0) or not np.all(plane >= 0.0):
        raise ValueError("areas must be above 0 and plane areas 0 or more")
    if not np.all((emissivity > 0.0) & (emissivity <= 1.0)):
        raise ValueError("emissivities must lie above 0 and up to 1")
    if np.max(plane) >= 0.5 * area.sum():
        raise ValueError("one plane holds half the area or more: split it or treat it apart")
