"""From mark to mark of a linear network, one matrix after the other; compiled where it can be."""

import numpy as np

from simtent import compiled
from simtent.network.arrays import Array, Indices


def walk(powers: Array, which: Indices, added: Array, kicked: Indices, kicks: Array) -> Array:
    """States at all marks, shape [m + 1, n].

    powers   [h, n, n], what a step of each length leaves of the state before it
    which    [m], the length of each step
    added    [m, n] K, what its step adds
    kicked, kicks   [k] marks, the first of them 0, and [k, n] K, by how much the state jumps there
    """
    states = np.empty((len(which) + 1, added.shape[1]))
    states[0] = kicks[0]
    following = 1
    for k in range(len(which)):
        states[k + 1] = powers[which[k]] @ states[k] + added[k]
        if following < len(kicked) and kicked[following] == k + 1:
            states[k + 1] += kicks[following]
            following += 1
    return states


compiled.compile_module(globals())
