"""What warms and cools the lowest layers of air.

Air that moves counts by its heat over the mean of the air it comes to: cold air that enters by what it takes to warm
it. Every stream is let run alone on empty arrays: what it then leaves in the low layers, less what was given to it
there, came with it from above or went with it.
"""

from typing import NamedTuple

import numpy as np

from simtent.assembly.air import add_exchange, add_feeds, add_films, add_hearth
from simtent.assembly.house import House
from simtent.assembly.parameters import Column
from simtent.assembly.plumes import HEARTH, SLEEPERS
from simtent.assembly.rhs import add_hot_faces
from simtent.assembly.streams import (
    FALL_FLOW,
    FALL_HEAT,
    RISE_FLOW,
    RISE_HEAT,
    SHED_ROWS,
    add_falling,
    add_fan,
    add_plume,
    add_rising,
    add_room_air,
)
from simtent.balance.moment import Moment, joined, some
from simtent.network.arrays import Array
from simtent.physics.constants import CP_AIR

UNMIXED = 1e-12  # factor on mixing that leaves the room's own flow alone

SURFACES = {
    "wall_to_air": "walls",
    "roof_to_air": "roof",
    "window_to_air": "windows",
    "floor_to_air": "floor",
    "contents_to_air": "beds and gear",
}
OPENINGS = {"skirt": "the gap under the skirt", "door": "the door", "jack": "the gap around the pipe"}
UP, DOWN = "air of the room that is pushed up", "air of the room that comes down in place of what left"
RISES = {
    HEARTH: "warm air that rises from the stove or heater",
    SLEEPERS: "warm air that rises from sleepers",
}

Shares = dict[str, float]


class Low(NamedTuple):
    """The lowest layers: how many of how many, temperatures of all [K], and the mean of the lowest by heat capacity."""

    layers: int
    of: int
    temps: Array
    mean: float

    def brings(self, heat: Array, gain: Array) -> float:
        """Heat over the mean [W] that heat [W] and air that comes and goes [kg/s] bring, both by layer."""
        low = slice(self.layers)
        return float(heat[low].sum() + CP_AIR * (gain[low] * (self.temps[low] - self.mean)).sum())

    def warming(self, entering: Array, outdoors: float) -> float:
        """What it takes from this air to warm the outdoor air [K] that enters it [kg/s], negative [W]."""
        return float(CP_AIR * entering[: self.layers].sum() * (outdoors - self.mean))

    def empty(self) -> tuple[Array, Array, Array]:
        """Heat and gain of every layer, and flows between them, all 0."""
        return np.zeros(self.of), np.zeros(self.of), np.zeros(self.of - 1)


def air_shares(house: House, now: Moment, layers: int) -> Shares:
    """Every share of the lowest layers [W], by its name."""
    mass, column = now.p.net.capacity[:layers], now.p.room.column
    mean = float(mass @ now.temps[:layers] / mass.sum())
    low = Low(layers, column.distance.size + 1, now.temps, mean)
    gain, entering = np.zeros(low.of), np.zeros(low.of)
    return {
        **_surfaces(now, layers),
        **_openings(house, now, low, gain, entering),
        **_plumes(now, low, gain),
        **_currents(now, low, gain, entering),
        **_evened(now, low, gain),
        "things that dry or take up moisture": float(now.latent[:layers].sum()),
    }


def _surfaces(now: Moment, layers: int) -> Shares:
    """Convection of surfaces into the low layers, and what is linked to them."""
    heat, paths = now.nothing()
    films, ratio = some(now.p.films, now.p.films.air < layers), now.p.weather.density_ratio
    add_films(films, ratio, now.temps, heat, paths, np.zeros((SHED_ROWS, layers)))
    shares = {name: float(paths[now.names.index(name)]) for name in SURFACES if name in now.names}
    shares |= dict(joined(now, np.arange(now.temps.size) < layers))
    return {SURFACES[name]: watts for name, watts in shares.items()}


def _openings(house: House, now: Moment, low: Low, gain: Array, entering: Array) -> Shares:
    """Outdoor air by the opening it comes in through, and what goes out."""
    names = np.array([element.name.rsplit(", ", 1)[0] for element in house.elements])
    left, shares = np.zeros(low.of), {}
    for name in dict.fromkeys(names.tolist()):
        flows, came, paths = np.where(names == name, now.exchanged, 0.0), np.zeros(low.of), now.nothing()[1]
        add_exchange(now.p.room.openings, flows, now.outdoors, now.temps, paths, came, left)
        through = OPENINGS.get(name, name.replace("_", " "))
        shares[f"outdoor air through {through}"] = low.warming(came, now.outdoors)
        entering += came
    gain += left
    return shares | {"air that goes out low": low.brings(np.zeros(low.of), left)}


def _plumes(now: Moment, low: Low, gain: Array) -> Shares:
    """What stove, source, sleepers and a flue that runs backwards give off low, and what rises from there."""
    room, below = now.p.room, slice(low.layers)
    heat, paths = now.nothing()
    stove, known, flue = (np.zeros(room.plumes.climb.shape) for _ in range(3))
    add_hot_faces(now.p.stove.hot, now.p.weather.density_ratio, now.temps, heat, paths, stove)
    add_feeds(room.feeds, now.p.net.tables, now.rows, now.t, known, paths)
    drawn = np.zeros(low.of)
    add_hearth(now.p.stove.flue.draws, now.drawn, now.spilt, now.outdoors, now.temps, flue, drawn)
    gain += drawn
    to_fire = "air that the fire draws" if now.drawn >= 0.0 else "gas from the reversed flue"
    shares = {
        "stove and pipe": stove[HEARTH, below].sum(),
        "heat source": known[HEARTH, below].sum(),
        "sleepers": known[SLEEPERS, below].sum(),
        to_fire: low.brings(flue[HEARTH], drawn),
    }
    fed = stove + known + flue
    for which, name in RISES.items():
        heat, more, flows = low.empty()
        add_plume(room.plumes, which, fed[which], now.p.weather.pressure, now.temps, heat, more, flows)
        shares[name] = low.brings(heat, more) - fed[which, below].sum()
        gain += more
    return shares


def _currents(now: Moment, low: Low, gain: Array, entering: Array) -> Shares:
    """What currents along the surfaces and a fan bring from above or take there."""
    (all_heat, paths), shed, below = now.nothing(), np.zeros((SHED_ROWS, low.of)), slice(low.layers)
    add_films(now.p.films, now.p.weather.density_ratio, now.temps, all_heat, paths, shed)
    heat, more, flows = low.empty()
    add_falling(shed[FALL_FLOW], shed[FALL_HEAT], entering, now.outdoors, now.temps, heat, more, flows)
    of_here = shed[FALL_HEAT, below].sum() + low.warming(entering, now.outdoors)
    shares = {"air that falls from above": low.brings(heat, more) - of_here}
    gain += more
    heat, more, flows = low.empty()
    add_rising(shed[RISE_FLOW], shed[RISE_HEAT], now.temps, heat, more, flows)
    shares["air that rises along warm surfaces"] = low.brings(heat, more) - shed[RISE_HEAT, below].sum()
    gain += more
    heat, more, flows = low.empty()
    add_fan(now.p.room.fan, now.temps, heat, more, flows)
    gain += more
    return shares | {"fan": low.brings(heat, more)}


def _evened(now: Moment, low: Low, gain: Array) -> Shares:
    """The room's own flow, which makes up for all others' gain [kg/s], and mixing beside it."""

    def carried(column: Column) -> float:
        heat, _, flows = low.empty()
        add_room_air(column, now.outdoors, now.temps, gain, heat, flows)
        return low.brings(heat, -gain)

    column = now.p.room.column
    alone = carried(column._replace(mixing=UNMIXED, stirring=0.0))
    return {
        UP if gain[: low.layers].sum() > 0.0 else DOWN: alone,
        "mixing with the air above": carried(column) - alone,
    }
