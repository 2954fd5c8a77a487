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

CLOSE = 1e-8  # Pa, a last step of Newton's: what it leaves goes with its square over `opening.STILL`
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


def stack_in(column: Column, stack: Array, height: float) -> float:
    """Buoyancy of the air below a height [m], in whichever layer that lies [Pa]."""
    layer = 0
    while layer < column.distance.size and column.edges[layer + 1] < height:
        layer += 1
    return stack_at(column, stack, layer, height)


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


def mean_drive(strength: Array, drive: Array) -> float:
    """Inside pressure at which nothing would flow on the whole, did flows go with the pressure [Pa]."""
    total, weight = 0.0, 0.0
    for k in range(drive.size):
        total += strength[k] * drive[k]
        weight += strength[k]
    return total / weight


def bounds(strength: Array, drive: Array, drawn: float) -> tuple[float, float]:
    """Inside pressures between which as much comes in as goes out and is drawn [kg/s]; infinite where none is known.

    Below the least drive of all elements air only comes in, above the greatest it only goes out.
    """
    low, high = math.inf, -math.inf
    for k in range(drive.size):
        if strength[k] > 0.0:
            low, high = min(low, drive[k]), max(high, drive[k])
    return low if drawn <= 0.0 else -math.inf, high if drawn >= 0.0 else math.inf


def net_inflow(
    openings: Openings,
    strength: Array,
    drive: Array,
    root_out: float,
    roots: Array,
    inside: float,
    flows: Array,
    slopes: Array,
) -> tuple[float, float]:
    """Air that comes in less air that goes out [kg/s] at an inside pressure [Pa], and its slope by that pressure.

    Puts down what comes in through each element, and its slope by what drives it.
    """
    total, slope = 0.0, 0.0
    for k in range(drive.size):
        flows[k], slopes[k] = 0.0, 0.0
        if strength[k] > 0.0:
            flow, by_drive = opening_flow(
                drive[k] - inside, strength[k], openings.exponent[k], root_out, roots[openings.layer[k]]
            )
            flows[k], slopes[k] = flow, by_drive
            total += flow
            slope -= by_drive
    return total, slope


def inside_pressure(
    openings: Openings,
    strength: Array,
    drive: Array,
    root_out: float,
    roots: Array,
    drawn: float,
    begin: float,
    flows: Array,
) -> float:
    """Inside minus outside pressure at the floor at which as much air comes in as goes out and is drawn [Pa].

    `drawn` is what the fire takes, negative where its flue brings it [kg/s]. What comes in falls steadily with the
    pressure: Newton's steps from `begin` [Pa], halving where one would leave the bounds. Puts down the flow in through
    each element [kg/s]: over the last step, which is tiny, by its slope.
    """
    low, high = bounds(strength, drive, drawn)
    slopes, p = np.empty(drive.size), begin
    for _ in range(MOST_STEPS):
        total, slope = net_inflow(openings, strength, drive, root_out, roots, p, flows, slopes)
        if total > drawn:
            low = p
        else:
            high = p
        step = (drawn - total) / slope
        if abs(step) < CLOSE:
            break
        p += step
        if not low < p < high:
            p = 0.5 * (low + high)
    for k in range(drive.size):
        flows[k] -= slopes[k] * step
    return p + step


compiled.compile_module(globals())
