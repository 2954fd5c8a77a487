"""Room for the arrays of a solver, made in Python."""

import numpy as np

from simtent.network.factors import Factors


def room_for_factors(n: int) -> Factors:
    """Room for a matrix of n rows."""
    return Factors(
        matrix=np.zeros((n, n)),
        places=np.zeros(n * n, np.int64),
        starts=np.zeros(2 * n + 1, np.int64),
        inverse=np.zeros(n),
    )
