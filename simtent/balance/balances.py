"""The lowest air and the floor at one moment: all that warms and cools either, ranked.

Every share comes out of the kernels that the right-hand side is made of, called one by one on empty arrays, so that no
law stands here a second time; what the shares sum to is what the whole right-hand side says is stored.
"""

from dataclasses import dataclass

import numpy as np

from simtent.balance.floor import floor_nodes, floor_shares
from simtent.balance.low_air import air_shares
from simtent.balance.moment import Share, moment, ranked
from simtent.run import Run

TOP = 0.3  # m


@dataclass(frozen=True, slots=True)
class Balances:
    """The lowest air and the floor at one moment.

    seconds  since the night began: the reported time next to what was asked
    height   up to which air counts, the upper edge of a layer [m]
    air      what warms and cools that air, the largest first
    floor    what warms and cools the floor, from its upper face down to the top of the ground, the largest first
    air_stored, floor_stored  what each sums to, by which it warms [W]; on snow and ice, what melts is in it
    """

    seconds: float
    height: float
    air: tuple[Share, ...]
    floor: tuple[Share, ...]
    air_stored: float
    floor_stored: float


def balances(night: Run, seconds: float, top: float = TOP) -> Balances:
    """What warms and cools the lowest air and the floor at one moment of a solved night.

    Parameters
    ----------
    night : Run
        A solved night with a shelter.
    seconds : float
        Since it began; the reported time next to it counts.
    top : float
        Height up to which air counts [m]; a layer counts whole if its centre lies below.

    Returns
    -------
    Balances
        Shares by size [W], and what they sum to.

    Raises
    ------
    ValueError
        A stove in the open, a moment outside the night, or no layer of air so low.
    """
    house, times = night.model.house, night.solution.times
    if house is None:
        raise ValueError("a stove in the open has neither room air nor floor")
    if not times[0] <= seconds <= times[-1]:
        raise ValueError(f"{seconds!r} s lie outside the night, which lasts {times[-1]:g} s")
    layers = int(np.searchsorted(house.bands.centres, top))
    if layers == 0:
        raise ValueError(f"{top!r} m lie below the centre of the lowest layer, {house.bands.centres[0]:g} m")
    now = moment(night, seconds)
    inside = floor_nodes(house, now.temps.size)
    return Balances(
        now.t,
        float(house.bands.edges[layers]),
        ranked(air_shares(house, now, layers)),
        ranked(floor_shares(now, inside)),
        float(now.stored[:layers].sum()),
        float(now.stored[inside[: now.stored.size]].sum()),
    )
