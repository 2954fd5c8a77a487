"""Derivative of the shelter's right-hand side by the state, by differences of the laws it is made of.

What a column cannot move is left out. Links, faces, gaps and the radiant star touch few numbers, and are booked one
by one; a surface moves nothing else but the currents; a layer of air moves all of the air, and the fire by two numbers
alone, the temperature of what it draws and the pressure there; wood and coals move nothing but the fire, unless it
spills. `base` are temperatures [K], `after` those that nodes have where their states are `JACOBIAN_STEP` higher: by
less where they melt or their heat capacity is greater.
"""

import numpy as np

from simtent import compiled
from simtent.assembly.air import NOWHERE, Moving, add_shed, film_watts
from simtent.assembly.gas_path import DOWN, SPILT
from simtent.assembly.parameters import (
    LAYER,
    OWN,
    SURFACE,
    Column,
    Fan,
    Films,
    Gaps,
    OuterFaces,
    Shelter,
    Star,
    Weather,
)
from simtent.assembly.rhs import (
    add_moving,
    at_fire,
    fire_readings,
    gap_watts,
    known_radiant,
    mean_radiant,
    on_off,
    outer_watts,
    rates,
    shelter_temperatures,
)
from simtent.assembly.streams import SHED_ROWS, add_currents
from simtent.assembly.vapour import carrying, outdoor_ratio
from simtent.assembly.vapour_slopes import add_damp_slopes
from simtent.network.arrays import Array, Indices, Links
from simtent.network.kernels import table_value
from simtent.physics.convection import outside_film
from simtent.physics.radiation import black_exchange

JACOBIAN_STEP = 1e-4  # K


def shelter_jacobian(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the right-hand side by the state, column by column.

    Nothing depends on what has gone along the paths, so their columns are 0; settings do not move between two
    jumps. A step of 1e-4 K is large against round-off; one of 1e-3 K, not small where a current just turns, doubled
    the steps of a bell with 48 layers.
    """
    out = np.zeros((state.size, state.size))
    capacity, base = p.net.capacity, shelter_temperatures(t, state, p, rows)
    after = shelter_temperatures(t, state + JACOBIAN_STEP, p, rows)
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    ties, exchanged = at_fire(t, state, base, p, rows, NOWHERE)
    told = fire_readings(t, state, base, ties, p)
    spilt = told[SPILT] if told.size > 0 else 0.0
    add_link_slopes(out, capacity, p.net.links, base, after)
    add_outer_slopes(out, capacity, p.outer, p.weather, wind, base, after)
    add_gap_slopes(out, capacity, p.gaps, base, after)
    if p.star.node.size > 0:
        radiant = known_radiant(p.star, p.net.tables, rows, t)
        add_star_slopes(out, capacity, p.star, radiant, base, after)
    if exchanged.size > 0:
        air = state[p.stove.places.air] if told.size > 0 else 0.0
        moving = add_moving(
            t, p.room, p.films, p.weather, p.net.tables, rows, exchanged, p.stove.hot, p.stove.flue, air, spilt,
            base, np.zeros(base.size), np.zeros(p.net.paths),
        )  # fmt: skip
        add_film_slopes(
            out, p.felt, capacity, p.room.column, p.room.fan, p.films, p.weather, moving, base, after
        )
        add_layer_columns(out, t, state, base, after, ties, exchanged, spilt, p, rows)
        if p.damp.mass.size > 0:
            flows = carrying(
                p.room.column, p.room.openings, exchanged, p.stove.flue.draws, air, moving.streams, base
            )
            humidity = table_value(p.net.tables, rows, p.weather.humidity, t)
            outside = outdoor_ratio(base[p.weather.outdoors], humidity, p.weather.pressure)
            add_damp_slopes(
                out, state, p.damp, p.films, flows, p.weather.density_ratio, p.weather.pressure, outside, base,
                after, JACOBIAN_STEP, capacity,
            )  # fmt: skip
    if told.size > 0:
        add_fire_columns(out, t, state, base, after, ties, exchanged, told, p, rows)
    return out


def add_layer_columns(
    out: Array,
    t: float,
    state: Array,
    base: Array,
    after: Array,
    ties: tuple[float, float, float],
    exchanged: Array,
    spilt: float,
    p: Shelter,
    rows: Indices,
) -> None:
    """What the layers of air move: all that moves, and the fire by its two numbers."""
    step, temps = JACOBIAN_STEP, base.copy()
    on, off = on_off(state)
    room = rates(t, state, base, ties, exchanged, spilt, p, rows, off, on, off)
    fire = rates(t, state, base, ties, exchanged, spilt, p, rows, off, off, on)
    more, hotter = (ties[0], ties[1] + step, ties[2]), (ties[0], ties[1], ties[2] + step)
    sucked = rates(t, state, base, more, exchanged, spilt, p, rows, off, off, on)
    warmer = rates(t, state, base, hotter, exchanged, spilt, p, rows, off, off, on)
    for k in range(p.net.capacity.size):
        if p.felt[k] == LAYER:
            temps[k] = after[k]
            there, flows = at_fire(t, state, temps, p, rows, ties[0])
            add_difference(
                out, k, rates(t, state, temps, there, flows, spilt, p, rows, off, on, off), room, step
            )
            drawn, pressed = (there[2] - ties[2]) / step, (there[1] - ties[1]) / step
            for i in range(room.size):
                out[i, k] += (drawn * (warmer[i] - fire[i]) + pressed * (sucked[i] - fire[i])) / step
            temps[k] = base[k]


def add_fire_columns(
    out: Array,
    t: float,
    state: Array,
    base: Array,
    after: Array,
    ties: tuple[float, float, float],
    exchanged: Array,
    told: Array,
    p: Shelter,
    rows: Indices,
) -> None:
    """What the stove's nodes and all amounts move: the fire, and the air where they warm it or the fire spills."""
    step, temps, moved = JACOBIAN_STEP, base.copy(), state.copy()
    on, off = on_off(state)
    spilt, spills = told[SPILT], told[DOWN] > 0.0
    nodes, first = p.net.capacity.size, p.net.capacity.size + p.net.paths
    fire = rates(t, state, base, ties, exchanged, spilt, p, rows, off, off, on)
    both = rates(t, state, base, ties, exchanged, spilt, p, rows, off, on, on)
    warms = np.full(nodes, spills)
    for node in p.stove.hot.node:
        warms[node] = True
    for k in range(nodes):
        if p.felt[k] == OWN:
            temps[k] = after[k]
            there = rates(t, state, temps, ties, exchanged, spilt, p, rows, off, warms[k], on)
            add_difference(out, k, there, both if warms[k] else fire, step)
            temps[k] = base[k]
    last = p.damp.first if p.damp.mass.size > 0 else first + p.net.amounts
    for k in range(first, last):
        if state[k] == 0.0 and fire[k] == 0.0:  # a slot without wood stays without
            continue
        by = step * p.net.scale[k - first]
        moved[k] = state[k] + by
        if k == p.stove.places.air:
            other, flows = at_fire(t, moved, base, p, rows, ties[0])
            there = rates(t, moved, base, other, flows, spilt, p, rows, off, on, on)
            add_difference(out, k, there, both, by)
        else:
            there = rates(t, moved, base, ties, exchanged, spilt, p, rows, off, spills, on)
            add_difference(out, k, there, both if spills else fire, by)
        moved[k] = state[k]


def add_difference(out: Array, column: int, there: Array, here: Array, step: float) -> None:
    """Add to a column how the rates differ over a step."""
    for i in range(here.size):
        out[i, column] += (there[i] - here[i]) / step


def add_slope(out: Array, capacity: Array, column: int, i: int, j: int, slope: float, path: int) -> None:
    """Book in a column how the watts from i to j grow by its temperature [W/K]; none where it is no node's."""
    if column >= capacity.size:
        return
    if i < capacity.size:
        out[i, column] -= slope / capacity[i]
    if j < capacity.size:
        out[j, column] += slope / capacity[j]
    if path >= 0:
        out[capacity.size + path, column] += slope


def add_link_slopes(out: Array, capacity: Array, links: Links, base: Array, after: Array) -> None:
    """What the ends of links move."""
    for k in range(links.i.size):
        i, j, strength = links.i[k], links.j[k], links.strength[k] / JACOBIAN_STEP
        add_slope(out, capacity, i, i, j, strength * (after[i] - base[i]), links.path[k])
        add_slope(out, capacity, j, i, j, -strength * (after[j] - base[j]), links.path[k])


def add_outer_slopes(
    out: Array, capacity: Array, outer: OuterFaces, weather: Weather, wind: float, base: Array, after: Array
) -> None:
    """What outer faces move out of doors."""
    step, film = JACOBIAN_STEP, outside_film(wind)
    air, sky = base[weather.outdoors], base[weather.sky]
    for k in range(outer.node.size):
        node = outer.node[k]
        radiant, convected = outer_watts(outer, k, film, air, sky, base[node])
        more, also = outer_watts(outer, k, film, air, sky, after[node])
        add_slope(out, capacity, node, weather.sky, node, (more - radiant) / step, outer.path_sky)
        add_slope(out, capacity, node, weather.outdoors, node, (also - convected) / step, outer.path_air)


def add_gap_slopes(out: Array, capacity: Array, gaps: Gaps, base: Array, after: Array) -> None:
    """What both faces of gaps move."""
    for k in range(gaps.inner.size):
        inner, outer = gaps.inner[k], gaps.outer[k]
        watts = gap_watts(gaps, k, base[inner], base[outer])
        by_inner = (gap_watts(gaps, k, after[inner], base[outer]) - watts) / JACOBIAN_STEP
        by_outer = (gap_watts(gaps, k, base[inner], after[outer]) - watts) / JACOBIAN_STEP
        add_slope(out, capacity, inner, inner, outer, by_inner, -1)
        add_slope(out, capacity, outer, inner, outer, by_outer, -1)


def add_star_slopes(
    out: Array, capacity: Array, star: Star, radiant: float, base: Array, after: Array
) -> None:
    """What each surface of the star moves: the middle, and by it all others; and its own exchange with it."""
    faces, temps = star.node.size, base.copy()
    middle = mean_radiant(star, base, radiant, faces)
    for k in range(faces):
        column = star.node[k]
        temps[column] = after[column]
        by_middle = black_exchange(mean_radiant(star, temps, radiant, faces), middle) / JACOBIAN_STEP
        own = black_exchange(after[column], base[column]) / JACOBIAN_STEP
        temps[column] = base[column]
        for i in range(faces):
            node = star.node[i]
            slope = star.area[i] * (by_middle - (own if i == k else 0.0))
            out[node, column] += slope / capacity[node]
            if i >= star.room:
                out[capacity.size + star.path, column] -= slope


def add_film_slopes(
    out: Array,
    felt: Indices,
    capacity: Array,
    column: Column,
    fan: Fan,
    films: Films,
    weather: Weather,
    moving: Moving,
    base: Array,
    after: Array,
) -> None:
    """What surfaces move in the air: they shed more or less into the currents of their layer."""
    step, outdoors, before = JACOBIAN_STEP, base[weather.outdoors], np.zeros(moving.gain.size)
    shed, heat = moving.shed.copy(), np.empty(before.size)
    gain, streams = moving.gain.copy(), np.zeros(moving.streams.shape)
    add_currents(fan, column, shed, moving.entering, outdoors, base, before, gain, streams)
    for k in range(films.node.size):
        node, layer = films.node[k], films.air[k]
        if felt[node] != SURFACE:
            continue
        watts, flow, rising = film_watts(films, k, weather.density_ratio, base[node] - base[layer])
        more, faster, higher = film_watts(films, k, weather.density_ratio, after[node] - base[layer])
        for i in range(heat.size):
            heat[i], gain[i] = 0.0, moving.gain[i]
            for row in range(SHED_ROWS):
                shed[row, i] = moving.shed[row, i]
        add_shed(shed, layer, -watts, -flow, rising)
        add_shed(shed, layer, more, faster, higher)
        add_currents(fan, column, shed, moving.entering, outdoors, base, heat, gain, streams)
        for i in range(heat.size):
            out[i, node] += (heat[i] - before[i]) / step / capacity[i]
        slope = (more - watts) / step
        out[node, node] -= slope / capacity[node]
        out[capacity.size + films.path[k], node] += slope


compiled.compile_module(globals())
