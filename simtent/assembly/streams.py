"""Streams of air from layer to layer: plumes, currents along the surfaces, a fan, and the room's own flow.

A stream takes air of a layer as it is, carries it with a heat above the layer it is in (its excess), and
delivers it where it no longer goes on. `gain` is what every layer gets and gives of mass [kg/s]; the room's own flow
evens it out. Heat is counted above the outdoor temperature, so that air that comes in brings none.
"""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.parameters import Column, Fan, Plumes
from simtent.network.arrays import Array
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.current import going_on
from simtent.physics.mixing import mixing_conductivity
from simtent.physics.plume import buoyancy_flux, plume_growth, virtual_distance
from simtent.physics.transport import mixing_left

PLUME, FALLING, RISING, FAN, ROOM = 0, 1, 2, 3, 4  # rows of the flows between layers
STREAMS = 5
FALL_FLOW, FALL_HEAT, RISE_FLOW, RISE_HEAT = 0, 1, 2, 3  # rows of what the surfaces shed
SHED_ROWS = 4


def add_plume(
    plumes: Plumes,
    which: int,
    fed: Array,
    pressure: float,
    temps: Array,
    heat: Array,
    gain: Array,
    flows: Array,
) -> None:
    """Let a plume rise, fed with heat in each layer [W], as so many equal ones."""
    layers, count = fed.size, plumes.equal[which]
    total = 0.0
    for k in range(layers):
        total += fed[k]
    origin = virtual_distance(total / count, plumes.diameter[which], pressure)
    mass, excess = 0.0, 0.0  # of one plume, kg/s and W above the layer it is in
    for k in range(layers):
        excess += fed[k] / count
        way = plumes.climb[which, k] + plumes.base[which, k] * origin
        if excess > 0.0 and way > 0.0:
            density = air_density(temps[k], pressure)
            size = math.pow(mass / density, 0.6) if mass > 0.0 else 0.0
            size += plumes.entrainment[which] * plume_growth(buoyancy_flux(excess, pressure)) * way
            grown = density * math.pow(size, 5.0 / 3.0)
            gain[k] -= count * (grown - mass)
            mass = grown
        if k == layers - 1:
            gain[k] += count * mass
            heat[k] += count * excess
            return
        step = temps[k + 1] - temps[k]
        on = going_on(excess, mass, step)
        above = excess - CP_AIR * mass * step
        gain[k] += count * (1.0 - on) * mass
        heat[k] += count * (1.0 - on) * excess
        mass, excess = on * mass, on * above
        flows[k] += count * mass


def add_falling(
    shed_flow: Array, shed_heat: Array, entering: Array, outdoors: float, temps: Array, heat: Array, gain: Array,
    flows: Array,
) -> None:  # fmt: skip
    """Let air that was cooled at the surfaces, and what comes in from outdoors, fall to where it fits."""
    mass, excess = 0.0, 0.0
    for k in range(shed_flow.size - 1, -1, -1):
        gain[k] -= shed_flow[k]
        mass += shed_flow[k] + entering[k]
        excess += shed_heat[k] + CP_AIR * entering[k] * (outdoors - temps[k])
        if k == 0:
            gain[k] += mass
            heat[k] += excess
            return
        step = temps[k] - temps[k - 1]
        on = going_on(-excess, mass, step)
        below = excess + CP_AIR * mass * step
        gain[k] += (1.0 - on) * mass
        heat[k] += (1.0 - on) * excess
        mass, excess = on * mass, on * below
        flows[k - 1] -= mass


def add_rising(
    shed_flow: Array, shed_heat: Array, temps: Array, heat: Array, gain: Array, flows: Array
) -> None:
    """Let air that was warmed at the surfaces rise to where it fits."""
    mass, excess, last = 0.0, 0.0, shed_flow.size - 1
    for k in range(last + 1):
        gain[k] -= shed_flow[k]
        mass += shed_flow[k]
        excess += shed_heat[k]
        if k == last:
            gain[k] += mass
            heat[k] += excess
            return
        step = temps[k + 1] - temps[k]
        on = going_on(excess, mass, step)
        above = excess - CP_AIR * mass * step
        gain[k] += (1.0 - on) * mass
        heat[k] += (1.0 - on) * excess
        mass, excess = on * mass, on * above
        flows[k] += mass


def add_fan(fan: Fan, temps: Array, heat: Array, gain: Array, flows: Array) -> None:
    """Carry air from one layer to another."""
    if fan.flow == 0.0:
        return
    gain[fan.source] -= fan.flow
    gain[fan.target] += fan.flow
    heat[fan.target] += CP_AIR * fan.flow * (temps[fan.source] - temps[fan.target])
    way = 1.0 if fan.target > fan.source else -1.0
    for k in range(min(fan.source, fan.target), max(fan.source, fan.target)):
        flows[k] += way * fan.flow


def mixed(column: Column, k: int, difference: float, carried: float) -> float:
    """Conductance of the mixing between layer k and the one above [W/K], beside a flow between them [W/K].

    `difference` is by how much layer k is the warmer [K].
    """
    conductivity = mixing_conductivity(-difference / column.distance[k]) * column.mixing
    conductance = (conductivity * column.area[k] + column.stirring) / column.distance[k]
    left: float = conductance * mixing_left(carried / conductance)
    return left


def add_room_air(
    column: Column, outdoors: float, temps: Array, gain: Array, heat: Array, flows: Array
) -> None:
    """Even out every layer's mass by a flow up or down the room, and mix neighbouring layers."""
    up = 0.0
    for k in range(gain.size):
        heat[k] += CP_AIR * gain[k] * (temps[k] - outdoors)
        if k == gain.size - 1:
            return
        up += gain[k]
        flows[k] += up
        difference = temps[k] - temps[k + 1]
        carried = CP_AIR * up
        watts = carried * (temps[k] - outdoors)
        watts += mixed(column, k, difference, carried) * difference
        heat[k] -= watts
        heat[k + 1] += watts


def add_plumes(
    plumes: Plumes, pressure: float, fed: Array, temps: Array, heat: Array, gain: Array, flows: Array
) -> None:
    """All plumes, each by what feeds it [plume, layer] W."""
    for which in range(plumes.equal.size):
        add_plume(plumes, which, fed[which], pressure, temps, heat, gain, flows)


def add_currents(
    fan: Fan,
    column: Column,
    shed: Array,
    entering: Array,
    outdoors: float,
    temps: Array,
    heat: Array,
    gain: Array,
    flows: Array,
) -> None:
    """Currents along the surfaces, a fan, and the room's own flow, which evens out what all have done."""
    add_falling(shed[FALL_FLOW], shed[FALL_HEAT], entering, outdoors, temps, heat, gain, flows[FALLING])
    add_rising(shed[RISE_FLOW], shed[RISE_HEAT], temps, heat, gain, flows[RISING])
    add_fan(fan, temps, heat, gain, flows[FAN])
    add_room_air(column, outdoors, temps, gain, heat, flows[ROOM])


def add_streams(
    plumes: Plumes,
    fan: Fan,
    column: Column,
    pressure: float,
    fed: Array,
    shed: Array,
    entering: Array,
    outdoors: float,
    temps: Array,
    heat: Array,
    gain: Array,
    flows: Array,
) -> None:
    """All streams; `gain` holds already what leaves through openings and what the fire draws or spills."""
    add_plumes(plumes, pressure, fed, temps, heat, gain, flows[PLUME])
    add_currents(fan, column, shed, entering, outdoors, temps, heat, gain, flows)


def no_flows(layers: int) -> Array:
    """Room for the flows between layers, by stream."""
    return np.zeros((STREAMS, max(layers - 1, 0)))


compiled.compile_module(globals())
