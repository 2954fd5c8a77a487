"""Right-hand sides for `driven.py`, of t [s], state, shelter and rows of its tables, and their Jacobians."""

import numpy as np

from simtent import compiled
from simtent.assembly.parameters import Shelter
from simtent.network.arrays import Array, Indices
from simtent.network.kernels import network_rhs

APART = 1e-3  # K, for differences


def network_rates(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """A plain network, nothing else."""
    return network_rhs(t, state, p.net, rows)


def network_slopes(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Its Jacobian by differences: exact but for round-off where it is linear."""
    out, still = np.zeros((state.size, state.size)), network_rhs(t, state, p.net, rows)
    moved = state.copy()
    for k in range(p.net.capacity.size):
        moved[k] = state[k] + APART
        rate = network_rhs(t, moved, p.net, rows)
        for i in range(state.size):
            out[i, k] = (rate[i] - still[i]) / (moved[k] - state[k])
        moved[k] = state[k]
    return out


compiled.compile_module(globals())
