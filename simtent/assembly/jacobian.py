"""Derivative of the shelter's right-hand side by the state, by differences of the laws it is made of."""

import numpy as np

from simtent import compiled
from simtent.assembly.gas_path import DOWN, SPILT
from simtent.assembly.parameters import BURIED, LAYER, SURFACE, Gaps, OuterFaces, Shelter, Weather
from simtent.assembly.rhs import (
    at_fire,
    fire_readings,
    gap_watts,
    on_off,
    outer_watts,
    rates,
    shelter_temperatures,
)
from simtent.network.arrays import Array, Indices, Links
from simtent.network.kernels import melting_step, table_value
from simtent.physics.convection import outside_film

JACOBIAN_STEP = 1e-4  # K


def shelter_jacobian(t: float, state: Array, p: Shelter, rows: Indices) -> Array:
    """Derivative of the right-hand side by the state, column by column, by differences.

    Nothing depends on what has gone along the paths, so their columns are 0; settings do not move between two
    jumps. What a column cannot move is left out: the fire feels the layers of air by two numbers alone, the
    temperature of what it draws and the pressure there, and neither walls nor ground; what is buried moves no air
    and has few neighbours; wood and coals move nothing but the fire, unless it spills. A step of 1e-4 K is large
    against round-off; one of 1e-3 K, not small where a current just turns, doubled the steps of a bell with 48 layers.
    """
    out = np.zeros((state.size, state.size))
    on, off = on_off(state)
    base, step = shelter_temperatures(t, state, p, rows), JACOBIAN_STEP
    ties = at_fire(t, state, base, p, rows)
    told = fire_readings(t, state, base, ties, p)
    spilt = told[SPILT] if told.size > 0 else 0.0
    spills = told.size > 0 and told[DOWN] > 0.0
    whole = rates(t, state, base, ties, 0.0, p, rows, on, on, on)
    room = rates(t, state, base, ties, spilt, p, rows, on, on, off)
    fire = rates(t, state, base, ties, spilt, p, rows, off, off, on)
    warmer = (ties[0], ties[1], ties[2] + step)
    by_drawn = (rates(t, state, base, warmer, spilt, p, rows, off, off, on) - fire) / step
    pressed = (ties[0], ties[1] + step, ties[2])
    by_suction = (rates(t, state, base, pressed, spilt, p, rows, off, off, on) - fire) / step
    wind = table_value(p.net.tables, rows, p.weather.wind, t)
    add_buried(out, p.felt, p.net.capacity, p.net.links, p.outer, p.gaps, p.weather, wind, base)
    for m in range(p.net.melts.node.size):  # what is buried was told by its temperature, not by its state
        k = p.net.melts.node[m]
        if p.felt[k] == BURIED:
            out[:, k] *= melting_step(p.net.melts, k, state[k], step) / step
    temps, moved = base.copy(), state.copy()
    nodes, first = p.net.capacity.size, p.net.capacity.size + p.net.paths
    for k in range(nodes):
        if p.felt[k] == BURIED:
            continue
        moved[k] = state[k] + step
        temps[k] = base[k] + step
        if p.felt[k] == SURFACE:
            temps[k] = base[k] + melting_step(p.net.melts, k, state[k], step)
            out[:, k] = (rates(t, moved, temps, ties, spilt, p, rows, on, on, off) - room) / step
        elif p.felt[k] == LAYER:
            there = at_fire(t, moved, temps, p, rows)
            out[:, k] = (rates(t, moved, temps, there, spilt, p, rows, on, on, off) - room) / step
            out[:, k] += ((there[2] - ties[2]) * by_drawn + (there[1] - ties[1]) * by_suction) / step
        else:  # its state may be another than its temperature
            temps[k] = shelter_temperatures(t, moved, p, rows)[k]
            out[:, k] = (rates(t, moved, temps, ties, 0.0, p, rows, on, on, on) - whole) / step
        moved[k], temps[k] = state[k], base[k]
    for k in range(first, first + p.net.amounts):
        if state[k] == 0.0 and fire[k] == 0.0:  # a slot without wood stays without
            continue
        by = step * p.net.scale[k - first]
        moved[k] = state[k] + by
        if k == p.stove.places.air or spills:
            there = at_fire(t, moved, base, p, rows)
            out[:, k] = (rates(t, moved, base, there, 0.0, p, rows, on, on, on) - whole) / by
        else:
            out[:, k] = (rates(t, moved, base, ties, spilt, p, rows, off, off, on) - fire) / by
        moved[k] = state[k]
    return out


def add_buried(
    out: Array,
    felt: Indices,
    capacity: Array,
    links: Links,
    outer: OuterFaces,
    gaps: Gaps,
    weather: Weather,
    wind: float,
    temps: Array,
) -> None:
    """Columns of the nodes that touch only links, gaps and the outdoors, piece by piece instead of node by node."""
    step, film = JACOBIAN_STEP, outside_film(wind)
    air, sky = temps[weather.outdoors], temps[weather.sky]
    for k in range(links.i.size):
        i, j = links.i[k], links.j[k]
        if i < capacity.size and felt[i] == BURIED:
            add_slope(out, capacity, i, i, j, links.strength[k], links.path[k])
        if j < capacity.size and felt[j] == BURIED:
            add_slope(out, capacity, j, i, j, -links.strength[k], links.path[k])
    for k in range(outer.node.size):
        node = outer.node[k]
        if felt[node] == BURIED:
            radiant, convected = outer_watts(outer, k, film, air, sky, temps[node])
            more, also = outer_watts(outer, k, film, air, sky, temps[node] + step)
            add_slope(out, capacity, node, weather.sky, node, (more - radiant) / step, outer.path_sky)
            add_slope(out, capacity, node, weather.outdoors, node, (also - convected) / step, outer.path_air)
    for k in range(gaps.inner.size):
        inner, beyond = gaps.inner[k], gaps.outer[k]
        watts = gap_watts(gaps, k, temps[inner], temps[beyond])
        if felt[inner] == BURIED:
            more = gap_watts(gaps, k, temps[inner] + step, temps[beyond])
            add_slope(out, capacity, inner, inner, beyond, (more - watts) / step, -1)
        if felt[beyond] == BURIED:
            more = gap_watts(gaps, k, temps[inner], temps[beyond] + step)
            add_slope(out, capacity, beyond, inner, beyond, (more - watts) / step, -1)


def add_slope(out: Array, capacity: Array, column: int, i: int, j: int, slope: float, path: int) -> None:
    """Book in a column how the watts from i to j grow by its temperature [W/K]."""
    if i < capacity.size:
        out[i, column] -= slope / capacity[i]
    if j < capacity.size:
        out[j, column] += slope / capacity[j]
    if path >= 0:
        out[capacity.size + path, column] += slope


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
