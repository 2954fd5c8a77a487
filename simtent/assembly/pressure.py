"""The shelter's inside pressure, and what flows through its openings."""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.parameters import Column, Openings
from simtent.network.arrays import Array, Indices, Tables
from simtent.network.kernels import table_value
from simtent.physics.air import air_density
from simtent.physics.constants import GRAVITY
from simtent.physics.opening import opening_flow, wind_pressure

CLOSE = 1e-11  # Pa, to which the root is found
MOST_STEPS = 200


def stack_pressures(column: Column, outdoors: float, pressure: float, temps: Array) -> Array:
    """Buoyancy of the air below each edge of the layers [Pa], which adds to the inside pressure there."""
    out = np.zeros(column.edges.size)
    outside = air_density(outdoors, pressure)
    for k in range(column.edges.size - 1):
        lighter = outside - air_density(temps[k], pressure)
        out[k + 1] = out[k] + GRAVITY * lighter * (column.edges[k + 1] - column.edges[k])
    return out


def stack_at(column: Column, stack: Array, layer: int, height: float) -> float:
    """Buoyancy of the air below a height [m] in a layer [Pa]."""
    low, high = column.edges[layer], column.edges[layer + 1]
    there: float = stack[layer] + (stack[layer + 1] - stack[layer]) * (height - low) / (high - low)
    return there


def opened(openings: Openings, tables: Tables, rows: Indices, t: float) -> Array:
    """Strength of every element as it is open at t [s]."""
    out = openings.strength.copy()
    for k in range(out.size):
        if openings.table[k] >= 0:
            out[k] *= table_value(tables, rows, openings.table[k], t)
    return out


def drives(
    openings: Openings, column: Column, stack: Array, outdoors: float, pressure: float, wind: float
) -> Array:
    """Pressure that drives air inward through each element, were the inside pressure at the floor 0 [Pa]."""
    out = np.empty(openings.layer.size)
    blown = wind_pressure(1.0, air_density(outdoors, pressure), wind)
    for k in range(out.size):
        lifted = stack_at(column, stack, openings.layer[k], openings.height[k])
        out[k] = openings.wind[k] * blown - lifted
    return out


def density_roots(column: Column, pressure: float, temps: Array) -> Array:
    """Root of the density of each layer's air."""
    out = np.empty(column.distance.size + 1)
    for k in range(out.size):
        out[k] = math.sqrt(air_density(temps[k], pressure))
    return out


def net_inflow(
    openings: Openings, strength: Array, drive: Array, root_out: float, roots: Array, inside: float
) -> tuple[float, float]:
    """Air that comes in less air that goes out [kg/s] at an inside pressure [Pa], and its slope by that pressure."""
    total, slope = 0.0, 0.0
    for k in range(drive.size):
        if strength[k] > 0.0:
            flow, by_drive = opening_flow(
                drive[k] - inside, strength[k], openings.exponent[k], root_out, roots[openings.layer[k]]
            )
            total += flow
            slope -= by_drive
    return total, slope


def inside_pressure(
    openings: Openings, strength: Array, drive: Array, root_out: float, roots: Array, drawn: float
) -> float:
    """Inside minus outside pressure at the floor at which as much air comes in as goes out and is drawn [Pa].

    `drawn` is what the fire takes, negative where its flue brings it [kg/s]. What comes in falls steadily with the
    pressure: Newton's steps, halving where one would leave the bracket. It begins from the bracket alone.
    """
    low, high = math.inf, -math.inf
    for k in range(drive.size):
        if strength[k] > 0.0:
            low, high = min(low, drive[k]), max(high, drive[k])
    width = 1.0
    while net_inflow(openings, strength, drive, root_out, roots, low)[0] < drawn:
        low -= width
        width *= 2.0
    width = 1.0
    while net_inflow(openings, strength, drive, root_out, roots, high)[0] > drawn:
        high += width
        width *= 2.0
    p = 0.5 * (low + high)
    for _ in range(MOST_STEPS):
        total, slope = net_inflow(openings, strength, drive, root_out, roots, p)
        if total > drawn:
            low = p
        else:
            high = p
        step = (drawn - total) / slope
        if abs(step) < CLOSE * (1.0 + abs(p)):
            return p + step
        p += step
        if not low < p < high:
            p = 0.5 * (low + high)
    return p


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
