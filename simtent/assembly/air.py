"""The moving air of a room: what comes in and goes out, what surfaces and sources set moving, where it is delivered."""

import math
from typing import NamedTuple

import numpy as np

from simtent import compiled
from simtent.assembly.gas_path import forward_back
from simtent.assembly.parameters import Column, Feeds, Films, Openings, Room, Weather
from simtent.assembly.pressure import (
    density_roots,
    drives,
    inside_pressure,
    mean_drive,
    opened,
    stack_in,
    stack_pressures,
)
from simtent.assembly.streams import (
    FALL_FLOW,
    FALL_HEAT,
    PLUME,
    RISE_FLOW,
    RISE_HEAT,
    SHED_ROWS,
    add_currents,
    add_plumes,
    no_flows,
)
from simtent.network.arrays import Array, Indices, Tables
from simtent.network.kernels import table_value
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.convection import inside_film
from simtent.physics.current import current_flow

NOWHERE = math.nan  # Pa, where a search begins that is told no place
TURN = 0.05  # K, over which a surface's current turns from falling to rising, and stands while it does


class AirReadings(NamedTuple):
    """How the air moves at one moment.

    streams   [stream, layers - 1] kg/s upward
    entering  [elements] kg/s of outdoor air
    leaving   [elements] kg/s
    pressure  [layers] Pa inside minus outside, at the layers' centres
    """

    streams: Array
    entering: Array
    leaving: Array
    pressure: Array


class Moving(NamedTuple):
    """What the currents are made of.

    streams   [stream, layers - 1] kg/s upward
    entering  [layers] kg/s of outdoor air
    shed      [row, layers] what surfaces shed, kg/s and W
    gain      [layers] kg/s, before currents, fan and the room's own flow
    """

    streams: Array
    entering: Array
    shed: Array
    gain: Array


def through_openings(
    room: Room,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    t: float,
    wind: float,
    drawn: float,
    begin: float,
    foot: float,
    temps: Array,
    flows: Array,
) -> tuple[float, float]:
    """Inside minus outside pressure at the floor and at a height `foot` [m], while a fire draws air [kg/s]; both in Pa.

    The search for it begins at `begin` [Pa], from the openings alone where that is `NOWHERE`. Puts down the flow in
    through each element [kg/s].
    """
    outdoors, pressure = temps[weather.outdoors], weather.pressure
    stack = stack_pressures(room.column, outdoors, pressure, temps)
    drive = drives(room.openings, room.column, stack, outdoors, pressure, wind)
    strength = opened(room.openings, tables, rows, t)
    root_out, roots = math.sqrt(air_density(outdoors, pressure)), density_roots(room.column, pressure, temps)
    first = mean_drive(strength, drive) if math.isnan(begin) else begin
    inside = inside_pressure(room.openings, strength, drive, root_out, roots, drawn, first, flows)
    return inside, inside + stack_in(room.column, stack, foot)


def pressure_at(column: Column, weather: Weather, inside: float, height: float, temps: Array) -> float:
    """Inside minus outside pressure at a height [Pa], from that at the floor."""
    stack = stack_pressures(column, temps[weather.outdoors], weather.pressure, temps)
    return inside + stack_in(column, stack, height)


def film_watts(films: Films, k: int, density_ratio: float, difference: float) -> tuple[float, float, float]:
    """Natural convection of an inner surface warmer than its air by a difference [K], and the air that it sets moving.

    Returns the heat to the air [W], the flow [kg/s], and the share of both that rises.
    """
    film = inside_film(difference, films.tilt[k], density_ratio)
    turned = difference * difference + TURN * TURN
    flow = current_flow(film, films.area[k]) * difference * difference / turned
    return film * films.area[k] * difference, flow, 0.5 * (1.0 + difference / math.sqrt(turned))


def add_shed(shed: Array, layer: int, watts: float, flow: float, rising: float) -> None:
    """Give a surface's heat [W] and flow [kg/s] to what falls and to what rises from its layer."""
    shed[FALL_FLOW, layer] += (1.0 - rising) * flow
    shed[FALL_HEAT, layer] += (1.0 - rising) * watts
    shed[RISE_FLOW, layer] += rising * flow
    shed[RISE_HEAT, layer] += rising * watts


def add_films(
    films: Films, density_ratio: float, temps: Array, heat: Array, paths: Array, shed: Array
) -> None:
    """Natural convection of every inner surface, and the air that it sets moving in its layer."""
    for k in range(films.node.size):
        node, layer = films.node[k], films.air[k]
        watts, flow, rising = film_watts(films, k, density_ratio, temps[node] - temps[layer])
        heat[node] -= watts
        paths[films.path[k]] += watts
        add_shed(shed, layer, watts, flow, rising)


def add_feeds(feeds: Feeds, tables: Tables, rows: Indices, t: float, fed: Array, paths: Array) -> None:
    """Heat given to plumes from tables."""
    for k in range(feeds.plume.size):
        watts = feeds.share[k] * table_value(tables, rows, feeds.table[k], t)
        fed[feeds.plume[k], feeds.layer[k]] += watts
        paths[feeds.path[k]] += watts


def add_hearth(
    draws: Array, air: float, spilt: float, outdoors: float, temps: Array, fed: Array, gain: Array
) -> None:
    """Air that the fire draws, or that comes down its flue and spills with a heat above outdoors [W]."""
    forward, backward = forward_back(air)
    for k in range(draws.size):
        gain[k] += draws[k] * (backward - forward)
        fed[0, k] += draws[k] * (spilt - CP_AIR * backward * (temps[k] - outdoors))


def add_exchange(
    openings: Openings,
    flows: Array,
    outdoors: float,
    temps: Array,
    paths: Array,
    entering: Array,
    gain: Array,
) -> None:
    """Book what openings bring in and let out, by layer, from the flow in through each element [kg/s]."""
    for k in range(flows.size):
        layer = openings.layer[k]
        if flows[k] > 0.0:
            entering[layer] += flows[k]
        else:
            gain[layer] += flows[k]
            paths[openings.path] += CP_AIR * flows[k] * (temps[layer] - outdoors)


def add_air(
    t: float,
    room: Room,
    films: Films,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    exchanged: Array,
    draws: Array,
    air: float,
    spilt: float,
    fed: Array,
    temps: Array,
    heat: Array,
    paths: Array,
) -> Moving:
    """Move the air: book what leaves, and deliver all heat that surfaces and sources give to it.

    `fed` holds what stove and pipe give to their plume already [plume, layer] W; `exchanged` is the flow in through
    each element, `air` what flows to the fire [kg/s].
    """
    outdoors, layers = temps[weather.outdoors], room.column.distance.size + 1
    gain, entering, shed = np.zeros(layers), np.zeros(layers), np.zeros((SHED_ROWS, layers))
    flows = no_flows(layers)
    add_exchange(room.openings, exchanged, outdoors, temps, paths, entering, gain)
    add_films(films, weather.density_ratio, temps, heat, paths, shed)
    add_feeds(room.feeds, tables, rows, t, fed, paths)
    add_hearth(draws, air, spilt, outdoors, temps, fed, gain)
    add_plumes(room.plumes, weather.pressure, fed, temps, heat, gain, flows[PLUME])
    moving = Moving(flows, entering, shed, gain.copy())
    add_currents(room.fan, room.column, shed, entering, outdoors, temps, heat, gain, flows)
    return moving


compiled.compile_module(globals())
