"""Solve a plain network in one line."""

import numpy as np

from simtent.network import Accuracy, Builder, Trajectory, network_rhs, solve
from simtent.network.ledger import residual

TIGHT = Accuracy(rtol=1e-9, atol=1e-9)


def run(net: Builder, times: object, accuracy: Accuracy = TIGHT) -> Trajectory:
    """Solve and hold the ledger to a millionth."""
    arrays, start = net.freeze()
    answer = solve(
        lambda t, y, rows: network_rhs(t, y, arrays, rows),
        arrays,
        start,
        net.jump_times(),
        np.asarray(times, float),
        accuracy,
    )
    assert residual(net, answer.states) < 1e-6
    return answer
