"""A plate in two dimensions against the first validation case of ISO 10211.

A square, 20 degC along one edge and 0 along the others, cut into a square grid of nodes and links and solved until it
is steady. A calculation counts as exact in the sense of the standard if it meets 28 printed points to 0.1 K; here they
are the series itself, from which the remembered table of the standard differs by less than 0.05 K. Its cases 2 to 4
(metal frames, corners in three dimensions) are not held: nothing of simtent conducts in three dimensions.
"""

from functools import partial

import numpy as np
import pytest

from simtent.network.kernels import add_links
from simtent.network.solve import solve

from .claims import CLOSED_FORM, between, case, claims, off
from .plate import COLUMNS, ROWS, closed, settled
from .sources import ISO_10211, MATHEMATICS

SUBJECT = "A plate in two dimensions"
PRINTED = (
    (9.658, 13.379, 14.729, 15.085),
    (5.252, 8.641, 10.316, 10.811),
    (3.189, 5.609, 7.014, 7.465),
    (2.014, 3.641, 4.658, 5.000),
    (1.262, 2.309, 2.986, 3.219),
    (0.740, 1.359, 1.767, 1.908),
    (0.342, 0.630, 0.820, 0.886),
)
plate = partial(claims, laws=[solve, add_links])


@plate(
    "Temperatures at 28 points, an eighth of the square apart",
    ISO_10211,
    CLOSED_FORM,
    unit="degC",
    allowed=off(0.1),
    cases=[
        case(f"{spaces} spaces along an edge", [degrees for row in PRINTED for degrees in row], spaces)
        for spaces in (16, 32)
    ],
)
def test_points(spaces):
    return settled(spaces).ravel()


def test_the_series_is_what_is_printed():
    found = [[closed(i / 8.0, j / 8.0) for i in COLUMNS] for j in ROWS]
    assert found == pytest.approx(np.array(PRINTED), abs=6e-4)


def worst(spaces):
    series = [[closed(i / 8.0, j / 8.0) for i in COLUMNS] for j in ROWS]
    return np.abs(settled(spaces) - series).max()


@plate(
    "By which power of the spacing the worst of the 28 points comes closer: about 2, less while the grid is coarse",
    MATHEMATICS,
    CLOSED_FORM,
    allowed=between(1.5, 2.2),
    digits=3,
    cases=[
        case("from 8 to 16 spaces along an edge", None, 8),
        case("from 16 to 32", None, 16),
    ],
)
def test_order(spaces):
    return float(np.log2(worst(spaces) / worst(2 * spaces)))
