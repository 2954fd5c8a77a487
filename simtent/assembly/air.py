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
    opened,
    stack_at,
    stack_pressures,
)
from simtent.assembly.streams import (
    FALL_FLOW,
    FALL_HEAT,
    RISE_FLOW,
    RISE_HEAT,
    SHED_ROWS,
    add_streams,
    no_flows,
)
from simtent.network.arrays import Array, Indices, Tables
from simtent.network.kernels import table_value
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.convection import inside_film
from simtent.physics.current import current_flow
from simtent.physics.opening import opening_flow

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


def at_openings(
    room: Room, weather: Weather, tables: Tables, rows: Indices, t: float, wind: float, temps: Array
) -> tuple[Array, Array, float, Array]:
    """What drives air through each element, but for the inside pressure at the floor.

    Returns its strength as it is open, its drive [Pa], and the roots of the densities outside and in each layer.
    """
    outdoors, pressure = temps[weather.outdoors], weather.pressure
    stack = stack_pressures(room.column, outdoors, pressure, temps)
    drive = drives(room.openings, room.column, stack, outdoors, pressure, wind)
    strength = opened(room.openings, tables, rows, t)
    root_out = math.sqrt(air_density(outdoors, pressure))
    return strength, drive, root_out, density_roots(room.column, pressure, temps)


def floor_pressure(
    room: Room,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    t: float,
    wind: float,
    drawn: float,
    temps: Array,
) -> float:
    """Inside minus outside pressure at the floor [Pa], while a fire draws air [kg/s]."""
    strength, drive, root_out, roots = at_openings(room, weather, tables, rows, t, wind, temps)
    return inside_pressure(room.openings, strength, drive, root_out, roots, drawn)


def pressure_at(column: Column, weather: Weather, inside: float, height: float, temps: Array) -> float:
    """Inside minus outside pressure at a height [Pa], from that at the floor."""
    stack = stack_pressures(column, temps[weather.outdoors], weather.pressure, temps)
    layer = 0
    while layer < column.distance.size and column.edges[layer + 1] < height:
        layer += 1
    return inside + stack_at(column, stack, layer, height)


def exchange(
    room: Room,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    t: float,
    wind: float,
    inside: float,
    temps: Array,
) -> tuple[Array, Array]:
    """Air that enters and air that leaves through each element at an inside pressure [Pa], both 0 or more [kg/s]."""
    strength, drive, root_out, roots = at_openings(room, weather, tables, rows, t, wind, temps)
    exponent, layer = room.openings.exponent, room.openings.layer
    entering, leaving = np.zeros(drive.size), np.zeros(drive.size)
    for k in range(drive.size):
        flow, _ = opening_flow(drive[k] - inside, strength[k], exponent[k], root_out, roots[layer[k]])
        entering[k], leaving[k] = max(flow, 0.0), max(-flow, 0.0)
    return entering, leaving


def by_layer(openings: Openings, flows: Array, layers: int) -> Array:
    """Sum over the elements of each layer."""
    out = np.zeros(layers)
    for k in range(flows.size):
        out[openings.layer[k]] += flows[k]
    return out


def add_films(
    films: Films, density_ratio: float, temps: Array, heat: Array, paths: Array, shed: Array
) -> None:
    """Natural convection of every inner surface, and the air that it sets moving in its layer."""
    for k in range(films.node.size):
        node, layer = films.node[k], films.air[k]
        difference = temps[node] - temps[layer]
        film = inside_film(difference, films.tilt[k], density_ratio)
        watts = film * films.area[k] * difference
        heat[node] -= watts
        paths[films.path[k]] += watts
        square = difference * difference
        flow = current_flow(film, films.area[k]) * square / (square + TURN * TURN)
        rising = 0.5 * (1.0 + difference / math.sqrt(square + TURN * TURN))
        shed[FALL_FLOW, layer] += (1.0 - rising) * flow
        shed[FALL_HEAT, layer] += (1.0 - rising) * watts
        shed[RISE_FLOW, layer] += rising * flow
        shed[RISE_HEAT, layer] += rising * watts


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


def add_air(
    t: float,
    room: Room,
    films: Films,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    wind: float,
    inside: float,
    draws: Array,
    air: float,
    spilt: float,
    fed: Array,
    temps: Array,
    heat: Array,
    paths: Array,
) -> tuple[Array, Array, Array]:
    """Move the air: book what leaves, and deliver all heat that surfaces and sources give to it.

    `fed` holds what stove and pipe give to their plume already [plume, layer] W; `inside` is the pressure at the
    floor [Pa]; `air` what flows to the fire [kg/s]. Returns flows between layers by stream, and what enters and
    leaves by element, all in kg/s.
    """
    outdoors, layers = temps[weather.outdoors], room.column.distance.size + 1
    gain, flows, shed = np.zeros(layers), no_flows(layers), np.zeros((SHED_ROWS, layers))
    entering, leaving = exchange(room, weather, tables, rows, t, wind, inside, temps)
    out_of = by_layer(room.openings, leaving, layers)
    for k in range(layers):
        gain[k] -= out_of[k]
        paths[room.openings.path] -= CP_AIR * out_of[k] * (temps[k] - outdoors)
    add_films(films, weather.density_ratio, temps, heat, paths, shed)
    add_feeds(room.feeds, tables, rows, t, fed, paths)
    add_hearth(draws, air, spilt, outdoors, temps, fed, gain)
    add_streams(
        room.plumes,
        room.fan,
        room.column,
        weather.pressure,
        fed,
        shed,
        by_layer(room.openings, entering, layers),
        outdoors,
        temps,
        heat,
        gain,
        flows,
    )
    return flows, entering, leaving


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
