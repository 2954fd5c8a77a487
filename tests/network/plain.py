"""Solve a plain network in one line."""

from collections.abc import Callable

import numpy as np

from simtent.network import Accuracy, Builder, Script, Trajectory, network_rhs, solve
from simtent.network.arrays import Array
from simtent.network.ledger import residual

TIGHT = Accuracy(rtol=1e-9, atol=1e-9)

More = Callable[[float, Array, Array], None]


def run(
    net: Builder,
    times: object,
    accuracy: Accuracy = TIGHT,
    *,
    script: Script | None = None,
    more: More = lambda _t, _state, _slope: None,
) -> Trajectory:
    """Solve and hold the ledger to a millionth; `more` adds to the slope of the plain network, in place."""
    arrays, start = net.freeze()

    def rhs(t, state, rows):
        slope = network_rhs(t, state, arrays, rows)
        more(t, state, slope)
        return slope

    answer = solve(rhs, arrays, start, net.jump_times(), np.asarray(times, float), accuracy, script=script)
    assert residual(net, answer.states) < 1e-6
    return answer
