"""A night at one moment as the right-hand side sees it, and heat that nodes get by links and tables, way by way."""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from simtent.assembly.gas_path import SPILT
from simtent.assembly.parameters import Shelter
from simtent.assembly.rhs import (
    at_fire,
    fire_readings,
    observed_air,
    shelter_rhs,
    shelter_temperatures,
)
from simtent.assembly.vapour import add_damp, carrying, outdoor_ratio
from simtent.network.arrays import Array, Indices
from simtent.network.kernels import add_links, add_sources, table_value
from simtent.run import Run

Mask: TypeAlias = np.ndarray[Any, np.dtype[np.bool_]]


class Share(NamedTuple):
    """One way by which heat comes [W], negative where it goes; the name is for people."""

    name: str
    watts: float


class Moment(NamedTuple):
    """A night at one moment.

    temps      of nodes, outdoor air and sky [K]
    exchanged  flow in through each element of an opening [kg/s]
    drawn      flow of air to the fire [kg/s], negative where the flue runs backwards
    spilt      heat that spills from it [W]
    latent     heat of what condenses, freezes, melts and dries, to every node [W]
    stored     by which every node warms [W]
    names      of the paths
    """

    p: Shelter
    t: float
    rows: Indices
    temps: Array
    exchanged: Array
    drawn: float
    spilt: float
    latent: Array
    stored: Array
    names: tuple[str, ...]

    @property
    def outdoors(self) -> float:
        """Temperature of the outdoor air [K]."""
        return float(self.temps[self.p.weather.outdoors])

    def nothing(self) -> tuple[Array, Array]:
        """Heat of every node and watts of every path, all 0."""
        return np.zeros(self.temps.size), np.zeros(self.p.net.paths)


def moment(night: Run, seconds: float) -> Moment:
    """A night at the reported time next to a moment [s]."""
    p, solution = night.model.shelter, night.solution
    k = int(np.abs(solution.times - seconds).argmin())
    t, state, rows = float(solution.times[k]), solution.states[k], solution.rows[k]
    temps = shelter_temperatures(t, state, p, rows)
    ties, exchanged = at_fire(t, state, temps, p, rows)
    told = fire_readings(t, state, temps, ties, p)
    drawn, spilt = (float(state[p.stove.places.air]), float(told[SPILT])) if told.size else (0.0, 0.0)
    stored = shelter_rhs(t, state, p, rows)[: p.net.capacity.size] * p.net.capacity
    latent = np.zeros(temps.size)
    if p.damp.mass.size:
        streams = observed_air(t, state, temps, ties[0], exchanged, told, p, rows).streams
        latent = _latent(t, state, temps, exchanged, drawn, streams, p, rows)
    names = tuple(night.model.net.path_names)
    return Moment(p, t, rows, temps, exchanged, drawn, spilt, latent, stored, names)


def _latent(
    t: float,
    state: Array,
    temps: Array,
    exchanged: Array,
    drawn: float,
    streams: Array,
    p: Shelter,
    rows: Indices,
) -> Array:
    """Heat of what condenses, freezes, melts and dries, to every node [W]."""
    heat, paths, carried = np.zeros(temps.size), np.zeros(p.net.paths), np.zeros(p.net.scale.size)
    flows = carrying(p.room.column, p.room.openings, exchanged, p.stove.flue.draws, drawn, streams, temps)
    humidity = table_value(p.net.tables, rows, p.weather.humidity, t)
    outside = outdoor_ratio(temps[p.weather.outdoors], humidity, p.weather.pressure)
    add_damp(
        state, p.damp, p.films, flows, outside, p.weather.density_ratio, p.weather.pressure, temps, heat, paths,
        carried,
    )  # fmt: skip
    return heat


def ranked(shares: Mapping[str, float]) -> tuple[Share, ...]:
    """Shares by size, without those that are nothing."""
    rows = [Share(name, float(watts)) for name, watts in shares.items() if watts != 0.0]
    return tuple(sorted(rows, key=lambda share: -abs(share.watts)))


def joined(now: Moment, inside: Mask) -> Iterator[tuple[str, float]]:
    """Heat into some nodes by links from all others [W], by the name of the path, "" without one."""
    links = now.p.net.links
    crossing = inside[links.i] != inside[links.j]
    for path, name in enumerate(("", *now.names), start=-1):
        of = crossing & (links.path == path)
        if of.any():
            heat, paths = now.nothing()
            add_links(some(links, of), now.temps, heat, paths)
            yield name, float(heat[inside].sum())


def given(now: Moment, inside: Mask) -> Iterator[tuple[str, float]]:
    """Heat into some nodes from tables [W], by the name of the path."""
    net = now.p.net
    for path, name in enumerate(now.names):
        of = inside[net.sources.node] & (net.sources.path == path)
        if of.any():
            heat, paths = now.nothing()
            add_sources(some(net.sources, of), net.tables, now.rows, now.t, heat, paths)
            yield name, float(heat[inside].sum())


def some(rows: Any, of: Mask) -> Any:
    """Some of the rows of arrays that stand side by side."""
    return rows._replace(**{name: getattr(rows, name)[of] for name in rows._fields})
