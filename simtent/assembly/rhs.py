"""The shelter's right-hand side: the only place where the engine's kernels and the laws of physics meet.

Every surface that convects or radiates is a node; every watt is booked on its path as it is moved.
"""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.gas_path import add_fire, fire_air, flowing
from simtent.assembly.parameters import (
    LAYER,
    UNFELT,
    Films,
    Gaps,
    HotFaces,
    HotOuter,
    Leaks,
    Mixing,
    OuterFaces,
    Shelter,
    Star,
    Weather,
)
from simtent.network.arrays import Array, Curves, Indices, Tables
from simtent.network.kernels import (
    add_links,
    add_rays,
    add_sources,
    add_streams,
    all_temperatures,
    derivative,
    move,
    table_value,
)
from simtent.physics.air import air_density
from simtent.physics.airspace import gap_film
from simtent.physics.constants import CP_AIR, STEFAN_BOLTZMANN
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.hot_surface import hot_film
from simtent.physics.leakage import basic_leakage
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.radiation import black_exchange
from simtent.physics.sky import dew_point, sky_temperature

JACOBIAN_STEP = 1e-3  # K


def all_places(
    t: float,
    nodes: Array,
    weather: Weather,
    curves: Curves,
    boundary_table: Indices,
    tables: Tables,
    rows: Indices,
) -> Array:
    """Temperatures of nodes, outdoor air and sky at t [K], from the nodes' part of the state."""
    temps = all_temperatures(curves, boundary_table, tables, rows, t, nodes)
    air = temps[weather.outdoors]
    humidity = table_value(tables, rows, weather.humidity, t)
    cloud = table_value(tables, rows, weather.cloud, t)
    temps[weather.sky] = sky_temperature(air, dew_point(air, humidity), cloud)
    return temps


def add_films(films: Films, density_ratio: float, temps: Array, heat: Array, paths: Array) -> None:
    """Natural convection from every inner surface to the air of its layer."""
    for k in range(films.node.size):
        node, air = films.node[k], films.air[k]
        difference = temps[node] - temps[air]
        watts = inside_film(difference, films.tilt[k], density_ratio) * films.area[k] * difference
        move(heat, paths, node, air, watts, films.path[k])


def add_outer(
    outer: OuterFaces, weather: Weather, wind: float, temps: Array, heat: Array, paths: Array
) -> None:
    """Convection to the outdoor air; long waves to the sky, and to the surroundings at air temperature."""
    film = outside_film(wind)
    air, sky = temps[weather.outdoors], temps[weather.sky]
    for k in range(outer.node.size):
        node = outer.node[k]
        from_sky = outer.sky_share[k] * black_exchange(sky, temps[node])
        around = (1.0 - outer.sky_share[k]) * black_exchange(air, temps[node])
        radiant = outer.emissivity[k] * outer.area[k] * (from_sky + around)
        convected = film * outer.area[k] * (air - temps[node])
        move(heat, paths, weather.sky, node, radiant, outer.path_sky)
        move(heat, paths, weather.outdoors, node, convected, outer.path_air)


def add_gaps(gaps: Gaps, temps: Array, heat: Array, paths: Array) -> None:
    """Convection and radiation across the air gaps between two skins."""
    for k in range(gaps.inner.size):
        inner, outer = gaps.inner[k], gaps.outer[k]
        difference = temps[inner] - temps[outer]
        film = gap_film(difference, gaps.thickness[k], gaps.tilt[k])
        radiant = gaps.emissivity[k] * black_exchange(temps[inner], temps[outer])
        move(heat, paths, inner, outer, gaps.area[k] * (film * difference + radiant), -1)


def add_mixing(mixing: Mixing, temps: Array, heat: Array, paths: Array) -> None:
    """Exchange between neighbouring layers of air, as a conductivity over their distance."""
    for k in range(mixing.area.size):
        gradient = (temps[k + 1] - temps[k]) / mixing.distance[k]
        watts = -mixing_conductivity(gradient) * mixing.factor * mixing.area[k] * gradient
        move(heat, paths, k, k + 1, watts, -1)


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


def leakage_flow(leaks: Leaks, weather: Weather, wind: float, temps: Array) -> float:
    """Mass of outdoor air that enters by wind and buoyancy alone [kg/s], by the room's mean temperature."""
    inside = 0.0
    for k in range(leaks.volume.size):
        inside += leaks.volume[k] * temps[k]
    outdoors = temps[weather.outdoors]
    volume = basic_leakage(leaks.area, inside - outdoors, wind, leaks.height)
    return volume * air_density(outdoors, weather.pressure)


def entering(leaks: Leaks, weather: Weather, drawn: float, wind: float, temps: Array) -> float:
    """All outdoor air that enters while a fire draws some of it [kg/s].

    What wind and buoyancy bring and what the fire draws enter together as the root of their squares:
    superposition of natural and unbalanced flow as in the ASHRAE handbook, from memory.
    """
    if leaks.share.size == 0:
        return 0.0
    natural = leakage_flow(leaks, weather, wind, temps)
    return math.sqrt(natural * natural + drawn * drawn)


def add_leakage(
    leaks: Leaks, weather: Weather, drawn: float, wind: float, temps: Array, heat: Array, paths: Array
) -> None:
    """Outdoor air that replaces room air, in each layer by its share of the skin.

    What a fire draws is booked with its flue gas, which carries it off again, and here warms the layers no more.
    """
    flow = entering(leaks, weather, drawn, wind, temps)
    for k in range(leaks.share.size):
        watts = CP_AIR * leaks.share[k] * (temps[weather.outdoors] - temps[k])
        heat[k] += flow * watts
        paths[leaks.path] += (flow - drawn) * watts


def add_hot_faces(hot: HotFaces, density_ratio: float, temps: Array, heat: Array, paths: Array) -> None:
    """Convection of stove and pipe to the air of the layers."""
    for k in range(hot.node.size):
        difference = temps[hot.node[k]] - temps[hot.air[k]]
        watts = hot_film(difference, 0.0, density_ratio) * hot.area[k] * difference
        move(heat, paths, hot.node[k], hot.air[k], watts, hot.path[k])


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


def rates(
    t: float,
    state: Array,
    temps: Array,
    inside: float,
    p: Shelter,
    rows: Indices,
    room: bool,
    metal: bool,
    fire: bool,
) -> Array:
    """Derivative of the state at t [s], given temperatures and that of the air to the fire [K].

    What flows in the room, from the stove's metal to it, and in the fire can be left out. Parts are handed on,
    never the whole: a tuple handed to a function costs a count of references for each of its arrays.
    """
    heat = np.zeros(temps.size)
    paths = np.zeros(p.net.paths)
    carried = np.zeros(p.net.scale.size)
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    burning, drawn = p.stove.firebox.node >= 0, 0.0
    if burning:
        drawn = flowing(state[p.stove.places.air])
    if metal and burning:
        add_hot_faces(p.stove.hot, p.weather.density_ratio, temps, heat, paths)
        add_hot_outer(p.stove.outer, p.weather, wind, temps, heat, paths)
    if fire and burning:
        add_fire(t, state, p.stove, inside, p.weather, temps, heat, paths, carried)
    if room:
        add_links(p.net.links, temps, heat, paths)
        add_rays(p.net.rays, temps, heat, paths)
        add_streams(p.net.streams, temps, heat, paths)
        add_sources(p.net.sources, p.net.tables, rows, t, heat, paths)
        add_films(p.films, p.weather.density_ratio, temps, heat, paths)
        add_outer(p.outer, p.weather, wind, temps, heat, paths)
        add_gaps(p.gaps, temps, heat, paths)
        add_mixing(p.mixing, temps, heat, paths)
        add_leakage(p.leaks, p.weather, drawn, wind, temps, heat, paths)
        if p.star.node.size > 0:
            add_star(p.star, known_radiant(p.star, p.net.tables, rows, t), temps, heat, paths)
    return derivative(p.net.capacity, heat, paths, carried)


def shelter_temperatures(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Temperatures of nodes, outdoor air and sky at t [K]."""
    nodes = state[: p.net.capacity.size]
    return all_places(t, nodes, p.weather, p.net.curves, p.net.boundary_table, p.net.tables, rows)


def shelter_rhs(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the state [K/s, then W, then of amounts 1/s] at t [s]."""
    temps = shelter_temperatures(t, state, p, rows)
    inside = fire_air(p.leaks.share, temps[p.weather.outdoors], temps)
    return rates(t, state, temps, inside, p, rows, True, True, True)


def shelter_jacobian(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the right-hand side by the state, column by column, by differences.

    Nothing depends on what has gone along the paths, so their columns are 0; settings do not move between two
    jumps. What a column cannot move is left out: the fire feels the layers of air by their mean alone, and neither
    walls nor ground; wood and coals move nothing but the fire. A step of 1e-3 K is large against round-off and
    small against the width of every passage in the laws.
    """
    out = np.zeros((state.size, state.size))
    base, step = shelter_temperatures(t, state, p, rows), JACOBIAN_STEP
    air = fire_air(p.leaks.share, base[p.weather.outdoors], base)
    whole = rates(t, state, base, air, p, rows, True, True, True)
    room = rates(t, state, base, air, p, rows, True, False, False)
    layer = rates(t, state, base, air, p, rows, True, True, False)
    fire = rates(t, state, base, air, p, rows, False, False, True)
    drawn = (rates(t, state, base, air + step, p, rows, False, False, True) - fire) / step
    temps, moved = base.copy(), state.copy()
    nodes, first = p.net.capacity.size, p.net.capacity.size + p.net.paths
    for k in range(nodes):
        moved[k] = state[k] + step
        temps[k] = base[k] + step
        if p.stove.felt[k] == UNFELT:
            out[:, k] = (rates(t, moved, temps, air, p, rows, True, False, False) - room) / step
        elif p.stove.felt[k] == LAYER:
            out[:, k] = (rates(t, moved, temps, air, p, rows, True, True, False) - layer) / step
            out[:, k] += p.leaks.share[k] * drawn
        else:  # its state may be another than its temperature
            temps[k] = shelter_temperatures(t, moved, p, rows)[k]
            out[:, k] = (rates(t, moved, temps, air, p, rows, True, True, True) - whole) / step
        moved[k], temps[k] = state[k], base[k]
    for k in range(first, first + p.net.amounts):
        if state[k] == 0.0 and fire[k] == 0.0:  # a slot without wood stays without
            continue
        by = step * p.net.scale[k - first]
        moved[k] = state[k] + by
        if k == p.stove.places.air:
            out[:, k] = (rates(t, moved, base, air, p, rows, True, True, True) - whole) / by
        else:
            out[:, k] = (rates(t, moved, base, air, p, rows, False, False, True) - fire) / by
        moved[k] = state[k]
    return out


def observe(t: float, state: Array, p: Shelter, rows: Indices) -> tuple[Array, Array]:
    """Readings at t, of the night and of the fire.

    The night: outdoor air [K], sky [K], wind [m/s], mean radiant temperature [K], air that leaks in [kg/s],
    heat of a known source [W]. The fire: as `gas_path.add_fire` returns them, of length 0 without one. The mean
    radiant temperature is that of the room's surfaces; stove and source radiate from one side and are left out.
    """
    temps = shelter_temperatures(t, state, p, rows)
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    readings, drawn = np.zeros(0), 0.0
    if p.stove.firebox.node >= 0:
        drawn = flowing(state[p.stove.places.air])
        heat, paths, carried = np.zeros(temps.size), np.zeros(p.net.paths), np.zeros(p.net.scale.size)
        inside = fire_air(p.leaks.share, temps[p.weather.outdoors], temps)
        readings = add_fire(t, state, p.stove, inside, p.weather, temps, heat, paths, carried)
    out = np.zeros(6)
    out[0] = temps[p.weather.outdoors]
    out[1] = temps[p.weather.sky]
    out[2] = wind
    if p.star.room > 0:
        out[3] = mean_radiant(p.star, temps, 0.0, p.star.room)
    out[4] = entering(p.leaks, p.weather, drawn, wind, temps)
    if p.star.table >= 0:
        out[5] = table_value(p.net.tables, rows, p.star.table, t)
    return out, readings


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
