"""A gas that the air of a night carries along, without weight of its own: what is given off inside, by layer.

It goes with the streams between layers, which take with them what is in the layer they leave, with the mixing of
neighbours, and out with the air that leaves. A plume gives some of it to every layer that it passes, where in truth it
passes by: differences between layers come out too small rather than too large.
"""

from dataclasses import dataclass

import numpy as np
import xarray as xr
from scipy.linalg import expm
from threadpoolctl import threadpool_limits

from simtent.assess.curves import Floats, seconds_of


@dataclass(frozen=True, slots=True)
class Air:
    """The air of a night as what a gas is carried by.

    seconds   [times] since the night's begin
    mass      [times, layers] kg
    entering  [times] kg/s of outdoor air
    exchange  [times, layers, layers] kg/s that a layer (row) gets from another; on the diagonal less all that it gets,
              outdoor air included
    """

    seconds: Floats
    mass: Floats
    entering: Floats
    exchange: Floats


def air_of(dataset: xr.Dataset) -> Air:
    """How the air of a night's Dataset carries a gas."""
    flow = dataset["layer_flow"].transpose("time", "interface", "stream").values
    mixing = dataset["mixing_flow"].values
    up, down = np.maximum(flow, 0.0).sum(axis=2) + mixing, np.maximum(-flow, 0.0).sum(axis=2) + mixing
    entering, mass = dataset["layer_inflow"].values, dataset["layer_mass"].values
    times, layers = mass.shape
    exchange, below = np.zeros((times, layers, layers)), np.arange(layers - 1)
    exchange[:, below + 1, below] = up
    exchange[:, below, below + 1] = down
    every = np.arange(layers)
    exchange[:, every, every] = -(exchange.sum(axis=2) + entering)
    return Air(seconds_of(dataset), mass, entering.sum(axis=1), exchange)


def carried(air: Air, given: Floats, start: float = 0.0) -> Floats:
    """Share by mass of a gas in every layer over that outdoors, shape (times, layers).

    Parameters
    ----------
    air : Air
        From `air_of`.
    given : array
        What is given off into each layer between two times, shape (times - 1, layers) [kg/s].
    start : float
        Share at the beginning, the same everywhere.
    """
    found = np.empty_like(air.mass)
    found[0] = start
    layers = air.mass.shape[1]
    # On small matrices threads of linear algebra that wait for each other take eighty times the work itself.
    with threadpool_limits(limits=1, user_api="blas"):
        for k, step in enumerate(np.diff(air.seconds)):
            # Of the two ends the one that less air enters: a door open for a minute must not air five.
            end = k if air.entering[k] <= air.entering[k + 1] else k + 1
            mass = air.mass[end]
            # The sources as one more state that stays 1: exact for streams that hold from one time to the next.
            whole = np.zeros((layers + 1, layers + 1))
            whole[:layers, :layers] = air.exchange[end] / mass[:, None]
            whole[:layers, layers] = given[k] / mass
            found[k + 1] = (expm(whole * step) @ np.append(found[k], 1.0))[:layers]
    return found
