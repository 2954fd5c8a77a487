"""Right-hand side of the relay's body for the compiled driver: a network, and watts that a rule sets."""

from simtent import compiled
from simtent.assembly.parameters import Shelter
from simtent.network.arrays import Array, Indices
from simtent.network.kernels import network_rhs
from tests.reference.driven_kernels import network_slopes

POWER, DUMMY = 3, 4  # places of the held numbers, after a node and two paths


def relay_rates(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """What the network says, and the heater's watts."""
    out = network_rhs(t, state, p.net, rows)
    out[0] += state[POWER] / p.net.capacity[0]
    out[2] += state[POWER]
    return out


def relay_slopes(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """The watts do not depend on the body."""
    return network_slopes(t, state, p, rows)


compiled.compile_module(globals())
