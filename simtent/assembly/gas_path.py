"""The way of air and flue gas: inlet, fire, collar, pipe; what it gives to the pipe, and what draws it."""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.combustion import add_firebox, burn
from simtent.assembly.parameters import Flue, Stove, Weather
from simtent.network.arrays import Array
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.flue import (
    damper_loss,
    draught,
    flue_resistance,
    inlet_resistance,
    signed_root,
)
from simtent.physics.flue_gas import (
    flue_carbon_dioxide,
    flue_gas_constant,
    flue_gas_enthalpy,
    flue_gas_heat_capacity,
)
from simtent.physics.pipe_heat import gas_radiation, pipe_film, segment_end
from simtent.physics.wood import WATER_HEAT

REFERENCE = 298.15  # K, at which heating values hold
INLET = 0.62  # discharge of a sharp-edged opening; .60 to .65 by the handbooks
LAG = 10.0  # s, in which the flow follows the draught
STILL = 0.02  # Pa, over which the flow passes through 0
LEAST_AREA = 1e-6  # m2; nothing shuts tighter, and nothing is divided by 0
LEAST_FLOW = 1e-5  # kg/s, against division by nothing
FRICTION_FACTOR = 1.0  # on all losses; chimney standards design with 1.2 to 1.5 to be on the long side


def fire_air(share: Array, outdoors: float, temps: Array) -> float:
    """Temperature of the air that the fire takes in [K]: from all layers by their share; outdoors without layers."""
    if share.size == 0:
        return outdoors
    mean = 0.0
    for k in range(share.size):
        mean += share[k] * temps[k]
    return mean


def flowing(air: float) -> float:
    """Air that flows in to the fire [kg/s], never quite 0."""
    return 0.5 * (air + math.sqrt(air * air + LEAST_FLOW * LEAST_FLOW))


def pull(
    flue: Flue,
    pressure: float,
    lift: float,
    outdoors: float,
    gas_flow: float,
    collar: float,
    dioxide: float,
    damper: float,
    temps: Array,
    heat: Array,
) -> tuple[float, float, float, float]:
    """Follow the gas from the collar up, beside outdoor air of a density [kg/m3]; heat every segment.

    Returns the draught with the lift it began with [Pa], the resistance [Pa/(kg/s)2], the gas' temperature at
    the top [K], and the heat it gave to the pipe [W].
    """
    gas, constant = collar, flue_gas_constant(dioxide)
    resistance, given = 0.0, 0.0
    for k in range(flue.node.size):
        wall = temps[flue.node[k]]
        film = pipe_film(gas_flow, gas, flue.diameter, flue.whole, flue.roughness)
        film += gas_radiation(gas, wall, dioxide)
        conductance = flue.gas_side * film * math.pi * flue.diameter * flue.length[k]
        capacity_flow = gas_flow * flue_gas_heat_capacity(gas, dioxide)
        end = segment_end(gas, wall, conductance, capacity_flow)
        watts = capacity_flow * (gas - end)
        heat[flue.node[k]] += watts
        given += watts
        mean = 0.5 * (gas + end)
        lift += draught(flue.rise[k], outdoors, pressure / (constant * mean))
        loss = flue.loss[k]
        if k == 0:
            loss += flue.has_damper * damper_loss(damper)
        resistance += flue_resistance(
            gas_flow,
            mean,
            flue.diameter,
            flue.length[k],
            loss,
            flue.roughness,
            dioxide,
            pressure,
            FRICTION_FACTOR,
        )
        gas = end
    return lift, resistance, gas, given


def add_fire(
    t: float,
    state: Array,
    stove: Stove,
    inside: float,
    weather: Weather,
    temps: Array,
    heat: Array,
    paths: Array,
    carried: Array,
) -> Array:
    """Burn, dry, heat the stove, and let the gas go; book everything.

    `inside` is the temperature of the air it draws [K]; outdoor air takes that air's place in the layers, which
    `rhs.add_leakage` sees to. Returns readings: collar [K], top [K], draught [Pa], flue flow [kg/s], air flow
    [kg/s], heat set free [W], heat unburnt [W], heat of the wood in full [W].
    """
    box, flue, places = stove.firebox, stove.flue, stove.places
    hot, air, outdoors = temps[box.node], flowing(state[places.air]), temps[weather.outdoors]
    lighting = state[places.lighting]
    full, unburnt, gone, steam = burn(t, state, stove.slots, places, stove.wood, hot, air, carried)
    heat[box.node] += full - unburnt + lighting - steam * WATER_HEAT
    paths[box.path_fire] += full + lighting
    paths[box.path_unburnt] -= unburnt
    paths[box.path_drying] -= steam * WATER_HEAT
    add_firebox(box, temps, heat, paths)

    gas_flow = air + gone + steam
    dioxide = flue_carbon_dioxide(max(full - unburnt, 0.0), air)  # wood a little below 0 makes no gas
    enthalpy = gas_flow * flue_gas_enthalpy(hot, dioxide)
    capacity_flow = gas_flow * flue_gas_heat_capacity(hot, dioxide)
    collar = segment_end(hot, temps[box.body], box.baffle, capacity_flow)
    swept = capacity_flow * (hot - collar)
    heat[box.body] += swept
    beside = air_density(outdoors, weather.pressure)
    lift = draught(box.height, beside, weather.pressure / (flue_gas_constant(dioxide) * collar))
    lift, resistance, top, given = pull(
        flue, weather.pressure, lift, beside, gas_flow, collar, dioxide, state[places.damper], temps, heat
    )
    heat[box.node] += air * CP_AIR * (inside - REFERENCE) - enthalpy
    paths[flue.path] += air * CP_AIR * (outdoors - REFERENCE) - enthalpy + swept + given

    area = state[places.inlet] * flue.opening + flue.leak + state[places.door] + LEAST_AREA
    entering = inlet_resistance(area, air_density(inside, weather.pressure), INLET)
    swelling = (gas_flow + LEAST_FLOW) / (air + LEAST_FLOW)
    if flue.prescribed >= 0.0:
        lift, resistance = flue.prescribed, 0.0
    steady = signed_root(lift / (entering + resistance * swelling * swelling), STILL / entering)
    carried[places.air - places.first] = (steady - state[places.air]) / LAG
    return np.array([collar, top, lift, gas_flow, air, full - unburnt + lighting, unburnt, full])


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
