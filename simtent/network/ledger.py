"""The ledger: every joule that entered must be found in the nodes.

What went along each path is integrated with the state; what is stored is computed from the states of the nodes
alone. Were the stored heat integrated too, the ledger would close at any tolerance and prove nothing.
"""

import numpy as np

from simtent.network.arrays import Array
from simtent.network.builder import Builder

ROUND_OFF = 1e-8


def stored(builder: Builder, states: Array) -> dict[str, Array]:
    """Heat stored since the start in each group of nodes [J], for states of shape [m, n + p or more]."""
    gains = np.array(builder.capacities) * (states[:, : len(builder.capacities)] - np.array(builder.starts))
    groups = np.array(builder.groups)
    return {group: gains[:, groups == group].sum(axis=1) for group in dict.fromkeys(builder.groups)}


def entered(builder: Builder, states: Array) -> dict[str, Array]:
    """Heat that has entered along each crossing path since the start [J]."""
    n = len(builder.capacities)
    names = zip(builder.path_names, builder.crossings, strict=True)
    return {name: states[:, n + k] for k, (name, crossing) in enumerate(names) if crossing}


def residual(builder: Builder, states: Array) -> float:
    """Largest gap between heat entered and heat stored over the run, as a share of the throughput [-].

    The throughput is half of all heat that crossed or was stored, whatever its sign, at its largest: what came
    in, or what went out. Where hardly anything moves it counts as no less than ROUND_OFF of the heat the nodes
    hold, for temperatures have only so many digits.
    """
    came = np.array(list(entered(builder, states).values()))
    kept = np.array(list(stored(builder, states).values()))
    gap = np.abs(came.sum(axis=0) - kept.sum(axis=0)).max()
    throughput = (np.abs(came).sum(axis=0) + np.abs(kept).sum(axis=0)).max() / 2.0
    held = float(np.dot(builder.capacities, np.abs(builder.starts)))
    return float(gap / max(throughput, ROUND_OFF * held, np.finfo(float).tiny))
