"""Two problems of the IVP test set as right-hand sides of `simtent.network`, their Jacobians, both compiled.

The state is a node that stays as it is, then the amounts of the problem. Shelter and rows of tables are not read: they
are there because the compiled driver hands them over.
"""

import numpy as np

from simtent import compiled
from simtent.network.arrays import Array, Indices


def hires_rates(_t: float, state: Array, _p: object, _rows: Indices) -> Array:
    """Growth of a plant under strong light: eight substances."""
    y1, y2, y3, y4, y5, y6, y7, y8 = state[1:9]
    out = np.zeros(9)
    met = 280.0 * y6 * y8
    out[1] = -1.71 * y1 + 0.43 * y2 + 8.32 * y3 + 0.0007
    out[2] = 1.71 * y1 - 8.75 * y2
    out[3] = -10.03 * y3 + 0.43 * y4 + 0.035 * y5
    out[4] = 8.32 * y2 + 1.71 * y3 - 1.12 * y4
    out[5] = -1.745 * y5 + 0.43 * (y6 + y7)
    out[6] = -met + 0.69 * y4 + 1.71 * y5 - 0.43 * y6 + 0.69 * y7
    out[7] = met - 1.81 * y7
    out[8] = -out[7]
    return out


def hires_slopes(_t: float, state: Array, _p: object, _rows: Indices) -> Array:
    """Its Jacobian."""
    out = np.zeros((9, 9))
    by_6, by_8 = 280.0 * state[8], 280.0 * state[6]
    out[1, 1], out[1, 2], out[1, 3] = -1.71, 0.43, 8.32
    out[2, 1], out[2, 2] = 1.71, -8.75
    out[3, 3], out[3, 4], out[3, 5] = -10.03, 0.43, 0.035
    out[4, 2], out[4, 3], out[4, 4] = 8.32, 1.71, -1.12
    out[5, 5], out[5, 6], out[5, 7] = -1.745, 0.43, 0.43
    out[6, 4], out[6, 5], out[6, 6], out[6, 7], out[6, 8] = 0.69, 1.71, -0.43 - by_6, 0.69, -by_8
    out[7, 6], out[7, 7], out[7, 8] = by_6, -1.81, by_8
    out[8, 6], out[8, 7], out[8, 8] = -by_6, 1.81, -by_8
    return out


def robertson_rates(_t: float, state: Array, _p: object, _rows: Indices) -> Array:
    """A reaction that feeds itself: three substances."""
    y1, y2, y3 = state[1:4]
    out = np.zeros(4)
    out[3] = 3e7 * y2 * y2
    out[1] = -0.04 * y1 + 1e4 * y2 * y3
    out[2] = -out[1] - out[3]
    return out


def robertson_slopes(_t: float, state: Array, _p: object, _rows: Indices) -> Array:
    """Its Jacobian."""
    y2, y3 = state[2:4]
    out = np.zeros((4, 4))
    out[1, 1], out[1, 2], out[1, 3] = -0.04, 1e4 * y3, 1e4 * y2
    out[3, 2] = 6e7 * y2
    for k in range(1, 4):
        out[2, k] = -out[1, k] - out[3, k]
    return out


compiled.compile_module(globals())
