"""The shelter's right-hand side: the only place where the engine's kernels and the laws of physics meet.

Every surface that convects or radiates is a node; every watt is booked on its path as it is moved.
"""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.parameters import Films, Gaps, Leaks, Mixing, OuterFaces, Shelter, Star, Weather
from simtent.network.arrays import Array, Indices
from simtent.network.kernels import (
    add_links,
    add_rays,
    add_sources,
    add_streams,
    derivative,
    move,
    table_value,
    temperatures,
)
from simtent.physics.air import air_density
from simtent.physics.airspace import gap_film
from simtent.physics.constants import CP_AIR, STEFAN_BOLTZMANN
from simtent.physics.convection import inside_film, outside_film
from simtent.physics.leakage import basic_leakage
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.radiation import black_exchange
from simtent.physics.sky import dew_point, sky_temperature

JACOBIAN_STEP = 1e-3  # K


def shelter_temperatures(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Temperatures of nodes, outdoor air and sky at t [K]."""
    temps = temperatures(p.net.boundary_table, p.net.tables, rows, t, state[: p.net.capacity.size])
    air = temps[p.weather.outdoors]
    humidity = table_value(p.net.tables, rows, p.weather.humidity, t)
    cloud = table_value(p.net.tables, rows, p.weather.cloud, t)
    temps[p.weather.sky] = sky_temperature(air, dew_point(air, humidity), cloud)
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


def mean_radiant(star: Star, temps: Array, radiant: float) -> float:
    """Temperature of the star's middle with radiant heat [W] fed in [K]."""
    weight, sum4 = 0.0, radiant / STEFAN_BOLTZMANN
    for k in range(star.node.size):
        weight += star.area[k]
        sum4 += star.area[k] * temps[star.node[k]] ** 4
    return math.sqrt(math.sqrt(sum4 / weight))


def add_star(star: Star, radiant: float, temps: Array, heat: Array, paths: Array) -> None:
    """Long waves between the inner surfaces, and the source's radiant heat [W] shared among them."""
    middle = mean_radiant(star, temps, radiant)
    for k in range(star.node.size):
        node = star.node[k]
        heat[node] += star.area[k] * black_exchange(middle, temps[node])
    paths[star.path] += radiant


def leakage_flow(leaks: Leaks, weather: Weather, wind: float, temps: Array) -> float:
    """Mass of outdoor air that enters, and of room air that leaves [kg/s], by the room's mean temperature."""
    inside = 0.0
    for k in range(leaks.volume.size):
        inside += leaks.volume[k] * temps[k]
    outdoors = temps[weather.outdoors]
    volume = basic_leakage(leaks.area, inside - outdoors, wind, leaks.height)
    return volume * air_density(outdoors, weather.pressure)


def add_leakage(leaks: Leaks, weather: Weather, wind: float, temps: Array, heat: Array, paths: Array) -> None:
    """Outdoor air that replaces room air, in each layer by its share of the skin."""
    flow = leakage_flow(leaks, weather, wind, temps) * CP_AIR
    for k in range(leaks.share.size):
        watts = flow * leaks.share[k] * (temps[weather.outdoors] - temps[k])
        move(heat, paths, weather.outdoors, k, watts, leaks.path)


def shelter_rhs(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the state [K/s, then W] at t [s]."""
    temps = shelter_temperatures(t, state, p, rows)
    heat = np.zeros(temps.size)
    paths = np.zeros(state.size - p.net.capacity.size)
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    radiant = p.star.share * table_value(p.net.tables, rows, p.star.table, t)
    add_links(p.net.links, temps, heat, paths)
    add_rays(p.net.rays, temps, heat, paths)
    add_streams(p.net.streams, temps, heat, paths)
    add_sources(p.net.sources, p.net.tables, rows, t, heat, paths)
    add_films(p.films, p.weather.density_ratio, temps, heat, paths)
    add_outer(p.outer, p.weather, wind, temps, heat, paths)
    add_gaps(p.gaps, temps, heat, paths)
    add_mixing(p.mixing, temps, heat, paths)
    add_star(p.star, radiant, temps, heat, paths)
    add_leakage(p.leaks, p.weather, wind, temps, heat, paths)
    return derivative(p.net.capacity, heat, paths)


def shelter_jacobian(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the right-hand side by the state, column by column, by differences.

    Nothing depends on what has gone along the paths, so their columns are 0. A step of 1e-3 K is large against
    round-off and small against the width of every passage in the laws.
    """
    base = shelter_rhs(t, state, p, rows)
    out = np.zeros((state.size, state.size))
    moved = state.copy()
    for k in range(p.net.capacity.size):
        moved[k] = state[k] + JACOBIAN_STEP
        out[:, k] = (shelter_rhs(t, moved, p, rows) - base) / JACOBIAN_STEP
        moved[k] = state[k]
    return out


def observe(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Readings at t: outdoor air [K], sky [K], wind [m/s], mean radiant [K], leakage [kg/s], released heat [W].

    The mean radiant temperature is that of the surfaces; the source's own radiation comes from one side and
    is left out.
    """
    temps = shelter_temperatures(t, state, p, rows)
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    out = np.empty(6)
    out[0] = temps[p.weather.outdoors]
    out[1] = temps[p.weather.sky]
    out[2] = wind
    out[3] = mean_radiant(p.star, temps, 0.0)
    out[4] = leakage_flow(p.leaks, p.weather, wind, temps)
    out[5] = table_value(p.net.tables, rows, p.star.table, t)
    return out


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
