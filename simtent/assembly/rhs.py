"""The shelter's right-hand side: the only place where the engine's kernels and the laws of physics meet.

Every surface that convects or radiates is a node; every watt is booked on its path as it is moved.
"""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.air import (
    NOWHERE,
    AirReadings,
    Moving,
    add_air,
    pressure_at,
    through_openings,
)
from simtent.assembly.gas_path import SPILT, add_fire
from simtent.assembly.parameters import (
    Films,
    Flue,
    Gaps,
    HotFaces,
    HotOuter,
    OuterFaces,
    Room,
    Shelter,
    Star,
    Weather,
)
from simtent.assembly.streams import STREAMS
from simtent.assembly.vapour import add_damp, carrying, outdoor_ratio
from simtent.network.arrays import Array, Curves, Indices, Melts, Tables
from simtent.network.kernels import (
    add_links,
    add_sources,
    all_temperatures,
    derivative,
    move,
    table_value,
)
from simtent.physics.air import air_density
from simtent.physics.airspace import gap_film
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.convection import outside_film
from simtent.physics.hot_surface import hot_film
from simtent.physics.opening import wind_pressure
from simtent.physics.radiation import black_exchange
from simtent.physics.sky import dew_point, sky_temperature

PIPE_END = -0.5  # pressure coefficient of wind across an open pipe end above a roof; AIM-2, from memory


def all_places(
    t: float,
    nodes: Array,
    weather: Weather,
    curves: Curves,
    melts: Melts,
    boundary_table: Indices,
    tables: Tables,
    rows: Indices,
) -> Array:
    """Temperatures of nodes, outdoor air and sky at t [K], from the nodes' part of the state."""
    temps = all_temperatures(curves, melts, boundary_table, tables, rows, t, nodes)
    air = temps[weather.outdoors]
    humidity = table_value(tables, rows, weather.humidity, t)
    cloud = table_value(tables, rows, weather.cloud, t)
    temps[weather.sky] = sky_temperature(air, dew_point(air, humidity), cloud)
    return temps


def add_outer(
    outer: OuterFaces, weather: Weather, wind: float, temps: Array, heat: Array, paths: Array
) -> None:
    """Convection to the outdoor air; long waves to the sky, and to the surroundings at air temperature."""
    film = outside_film(wind)
    air, sky = temps[weather.outdoors], temps[weather.sky]
    for k in range(outer.node.size):
        node = outer.node[k]
        radiant, convected = outer_watts(outer, k, film, air, sky, temps[node])
        move(heat, paths, weather.sky, node, radiant, outer.path_sky)
        move(heat, paths, weather.outdoors, node, convected, outer.path_air)


def outer_watts(
    outer: OuterFaces, k: int, film: float, air: float, sky: float, face: float
) -> tuple[float, float]:
    """Long waves, and convection by a film [W/(m2 K)], onto an outer face at a temperature [K]; both in W."""
    from_sky = outer.sky_share[k] * black_exchange(sky, face)
    around = (1.0 - outer.sky_share[k]) * black_exchange(air, face)
    radiant = outer.emissivity[k] * outer.area[k] * (from_sky + around)
    return radiant, film * outer.area[k] * (air - face)


def add_gaps(gaps: Gaps, temps: Array, heat: Array, paths: Array) -> None:
    """Convection and radiation across the air gaps between two skins."""
    for k in range(gaps.inner.size):
        inner, outer = gaps.inner[k], gaps.outer[k]
        move(heat, paths, inner, outer, gap_watts(gaps, k, temps[inner], temps[outer]), -1)


def gap_watts(gaps: Gaps, k: int, inner: float, outer: float) -> float:
    """Heat across a gap from its inner to its outer face [W], at their temperatures [K]."""
    film = gap_film(inner - outer, gaps.thickness[k], gaps.tilt[k])
    radiant = gaps.emissivity[k] * black_exchange(inner, outer)
    watts: float = gaps.area[k] * (film * (inner - outer) + radiant)
    return watts


def mean_radiant(star: Star, temps: Array, radiant: float, faces: int) -> float:
    """Temperature of the middle of the first faces of the star, with radiant heat [W] fed in [K]."""
    weight, sum4 = 0.0, radiant / STEFAN_BOLTZMANN
    for k in range(faces):
        weight += star.area[k]
        sum4 += star.area[k] * temps[star.node[k]] ** 4
    return math.sqrt(math.sqrt(sum4 / weight))


def add_star(star: Star, radiant: float, temps: Array, heat: Array, paths: Array) -> None:
    """Long waves between the inner surfaces, stove and pipe, and a source's radiant heat [W] shared among them."""
    middle = mean_radiant(star, temps, radiant, star.node.size)
    for k in range(star.node.size):
        node = star.node[k]
        watts = star.area[k] * black_exchange(middle, temps[node])
        heat[node] += watts
        if k >= star.room:
            paths[star.path] -= watts
    paths[star.path] += radiant


def known_radiant(star: Star, tables: Tables, rows: Indices, t: float) -> float:
    """Radiant heat of a known source [W], 0 if there is none."""
    return star.share * table_value(tables, rows, star.table, t) if star.table >= 0 else 0.0


def add_hot_faces(
    hot: HotFaces, density_ratio: float, temps: Array, heat: Array, paths: Array, fed: Array
) -> None:
    """Convection of stove and pipe, which feeds the plume that rises from them."""
    for k in range(hot.node.size):
        difference = temps[hot.node[k]] - temps[hot.air[k]]
        watts = hot_film(difference, 0.0, density_ratio) * hot.area[k] * difference
        heat[hot.node[k]] -= watts
        paths[hot.path[k]] += watts
        fed[0, hot.air[k]] += watts


def add_hot_outer(
    outer: HotOuter, weather: Weather, wind: float, temps: Array, heat: Array, paths: Array
) -> None:
    """Stove and pipe out of doors: convection, and long waves half to the sky, half to the surroundings."""
    air, sky = temps[weather.outdoors], temps[weather.sky]
    for k in range(outer.node.size):
        node = outer.node[k]
        difference = air - temps[node]
        watts = hot_film(-difference, wind, weather.density_ratio) * outer.area[k] * difference
        watts += 0.5 * outer.radiant[k] * black_exchange(sky, temps[node])
        watts += 0.5 * outer.radiant[k] * black_exchange(air, temps[node])
        move(heat, paths, weather.outdoors, node, watts, outer.path[k])


def drawn_air(draws: Array, outdoors: float, temps: Array) -> float:
    """Temperature of the air that the fire draws [K]: of the layers by their share, of the outdoors in the open."""
    if draws.size == 0:
        return outdoors
    mean = 0.0
    for k in range(draws.size):
        mean += draws[k] * temps[k]
    return mean


def at_fire(
    t: float, state: Array, temps: Array, p: Shelter, rows: Indices, begin: float = NOWHERE
) -> tuple[tuple[float, float, float], Array]:
    """What ties room, wind and fire, one number each; and the flow in through each element of an opening [kg/s].

    Inside pressure at the floor [Pa]; pressure at the firebox over that at the pipe's open end, both beside the still
    outdoor air of their heights [Pa]; temperature of the air that the fire draws [K]. The search for the inside
    pressure may be told where to begin [Pa].
    """
    flue, inside, suction = p.stove.flue, 0.0, 0.0
    burning, outdoors = p.stove.firebox.node >= 0, temps[p.weather.outdoors]
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    flows = np.empty(p.room.openings.layer.size)
    if burning:
        suction -= wind_pressure(PIPE_END, air_density(outdoors, p.weather.pressure), wind)
    if flows.size > 0:
        drawn = state[p.stove.places.air] if burning else 0.0
        inside, below = through_openings(
            p.room, p.weather, p.net.tables, rows, t, wind, drawn, begin, flue.foot, temps, flows
        )
        suction += below
    return (inside, suction, drawn_air(flue.draws, outdoors, temps)), flows


def add_moving(
    t: float,
    room: Room,
    films: Films,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    exchanged: Array,
    hot: HotFaces,
    flue: Flue,
    air: float,
    spilt: float,
    temps: Array,
    heat: Array,
    paths: Array,
) -> Moving:
    """Stove, pipe and what spills [W] feed their plume; the moving air, of which `air` flows to the fire [kg/s]."""
    fed = np.zeros(room.plumes.climb.shape)
    add_hot_faces(hot, weather.density_ratio, temps, heat, paths, fed)
    if flue.draws.size > 0:
        paths[flue.path_spill] += spilt
    return add_air(
        t, room, films, weather, tables, rows, exchanged, flue.draws, air, spilt, fed, temps, heat, paths
    )


def add_still(
    t: float,
    outer: OuterFaces,
    gaps: Gaps,
    star: Star,
    weather: Weather,
    tables: Tables,
    rows: Indices,
    wind: float,
    temps: Array,
    heat: Array,
    paths: Array,
) -> None:
    """The outdoors, gaps, and radiation inside: all that no air and no fire moves, but for links and sources."""
    add_outer(outer, weather, wind, temps, heat, paths)
    add_gaps(gaps, temps, heat, paths)
    if star.node.size > 0:
        add_star(star, known_radiant(star, tables, rows, t), temps, heat, paths)


def rates(
    t: float,
    state: Array,
    temps: Array,
    ties: tuple[float, float, float],
    exchanged: Array,
    spilt: float,
    p: Shelter,
    rows: Indices,
    still: bool,
    moving: bool,
    fire: bool,
) -> Array:
    """Derivative of the state at t [s], given temperatures and what `at_fire` returns.

    What stands still (skin, ground, radiation), the moving air, and the fire can each be left out; without the fire,
    `spilt` stands for the heat that spills from it [W]. Parts are handed on, never the whole: a tuple
    handed to a function costs a count of references for each of its arrays.
    """
    heat = np.zeros(temps.size)
    paths = np.zeros(p.net.paths)
    carried = np.zeros(p.net.scale.size)
    _, suction, drawn = ties
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    burning = p.stove.firebox.node >= 0
    if fire and burning:
        add_hot_outer(p.stove.outer, p.weather, wind, temps, heat, paths)
        told = add_fire(t, state, p.stove, drawn, suction, p.weather, temps, heat, paths, carried)
        spilt = told[SPILT]
    if moving and exchanged.size > 0:
        air = state[p.stove.places.air] if burning else 0.0
        moved = add_moving(
            t, p.room, p.films, p.weather, p.net.tables, rows, exchanged, p.stove.hot, p.stove.flue, air, spilt,
            temps, heat, paths,
        )  # fmt: skip
        if p.damp.mass.size > 0:
            flows = carrying(
                p.room.column, p.room.openings, exchanged, p.stove.flue.draws, air, moved.streams, temps
            )
            humidity = table_value(p.net.tables, rows, p.weather.humidity, t)
            outside = outdoor_ratio(temps[p.weather.outdoors], humidity, p.weather.pressure)
            add_damp(
                state, p.damp, p.films, flows, outside, p.weather.density_ratio, p.weather.pressure, temps, heat,
                paths, carried,
            )  # fmt: skip
    if still:
        add_links(p.net.links, temps, heat, paths)
        add_sources(p.net.sources, p.net.tables, rows, t, heat, paths)
        add_still(t, p.outer, p.gaps, p.star, p.weather, p.net.tables, rows, wind, temps, heat, paths)
    return derivative(p.net.capacity, heat, paths, carried)


def on_off(state: Array) -> tuple[bool, bool]:
    """True and False, as no constants: of those the compiler would make a copy of `rates` for every combination."""
    return state.size > 0, state.size == 0


def shelter_temperatures(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Temperatures of nodes, outdoor air and sky at t [K]."""
    nodes = state[: p.net.capacity.size]
    net = p.net
    return all_places(t, nodes, p.weather, net.curves, net.melts, net.boundary_table, net.tables, rows)


def shelter_rhs(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the state [K/s, then W, then of amounts 1/s] at t [s]."""
    temps = shelter_temperatures(t, state, p, rows)
    ties, exchanged = at_fire(t, state, temps, p, rows, NOWHERE)
    on, _ = on_off(state)
    return rates(t, state, temps, ties, exchanged, 0.0, p, rows, on, on, on)


def fire_readings(
    t: float, state: Array, temps: Array, ties: tuple[float, float, float], p: Shelter
) -> Array:
    """Readings of the fire as `gas_path.add_fire` returns them, of length 0 without one."""
    if p.stove.firebox.node < 0:
        return np.zeros(0)
    heat, paths, carried = np.zeros(temps.size), np.zeros(p.net.paths), np.zeros(p.net.scale.size)
    _, suction, drawn = ties
    return add_fire(t, state, p.stove, drawn, suction, p.weather, temps, heat, paths, carried)


def observe(t: float, state: Array, p: Shelter, rows: Indices) -> tuple[Array, Array, AirReadings]:
    """Readings at t, of the night, of the fire and of the moving air.

    The night: outdoor air [K], sky [K], wind [m/s], mean radiant temperature [K], air that comes in [kg/s],
    heat of a known source [W]. The fire: as `gas_path.add_fire` returns them, of length 0 without one. The mean
    radiant temperature is that of the room's surfaces; stove and source radiate from one side and are left out.
    """
    temps = shelter_temperatures(t, state, p, rows)
    ties, exchanged = at_fire(t, state, temps, p, rows, NOWHERE)
    told = fire_readings(t, state, temps, ties, p)
    air = observed_air(t, state, temps, ties[0], exchanged, told, p, rows)
    out = np.zeros(6)
    out[0] = temps[p.weather.outdoors]
    out[1] = temps[p.weather.sky]
    out[2] = table_value(p.net.tables, rows, p.weather.wind, t)
    if p.star.room > 0:
        out[3] = mean_radiant(p.star, temps, 0.0, p.star.room)
    out[4] = air.entering.sum()
    if p.star.table >= 0:
        out[5] = table_value(p.net.tables, rows, p.star.table, t)
    return out, told, air


def observed_air(
    t: float,
    state: Array,
    temps: Array,
    inside: float,
    exchanged: Array,
    told: Array,
    p: Shelter,
    rows: Indices,
) -> AirReadings:
    """How the air moves at an inside pressure at the floor [Pa]; nothing in the open."""
    layers = p.room.column.distance.size + 1
    if exchanged.size == 0:
        return AirReadings(np.zeros((STREAMS, 0)), np.zeros(0), np.zeros(0), np.zeros(0))
    heat, paths = np.zeros(temps.size), np.zeros(p.net.paths)
    air, spilt = (state[p.stove.places.air], told[SPILT]) if told.size > 0 else (0.0, 0.0)
    moving = add_moving(
        t, p.room, p.films, p.weather, p.net.tables, rows, exchanged, p.stove.hot, p.stove.flue, air, spilt, temps,
        heat, paths,
    )  # fmt: skip
    pressure, edges = np.zeros(layers), p.room.column.edges
    for k in range(layers):
        middle = 0.5 * (edges[k] + edges[k + 1])
        pressure[k] = pressure_at(p.room.column, p.weather, inside, middle, temps)
    return AirReadings(moving.streams, np.maximum(exchanged, 0.0), np.maximum(-exchanged, 0.0), pressure)


compiled.compile_module(globals())
