"""The way of air and flue gas: inlet, fire, collar, pipe; what it gives to the pipe, and what draws it.

The flow may run backwards: then outdoor air comes down the pipe into the fire, and its gas spills from the inlet.
"""

import math
from typing import NamedTuple

import numpy as np

from simtent import compiled
from simtent.assembly.combustion import add_firebox, burn
from simtent.assembly.parameters import Firebox, Flue, Stove, Weather
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
STILL_FLOW = 1e-5  # kg/s, within which some flows either way
LEAST_AREA = 1e-6  # m2; nothing shuts tighter, and nothing is divided by 0
LEAST_FLOW = 1e-5  # kg/s, bounds how much more the gas is than its air where there is next to none
DOWN, SPILT = 8, 9  # readings: air that comes down the pipe [kg/s], heat that spills [W]
READINGS = 10
FRICTION_FACTOR = 1.0  # on all losses; chimney standards design with 1.2 to 1.5 to be on the long side


class Way(NamedTuple):
    """What one direction of flow does on its way through firebox and pipe."""

    collar: float  # K, of what passes the collar
    top: float  # K, of what passes the top
    lift: float  # Pa, by the column in firebox and pipe, upward
    resistance: float  # Pa/(kg/s)2 of the pipe, by the square of what flows in it
    given: float  # W, to body and pipe


NO_WAY = Way(0.0, 0.0, 0.0, 0.0, 0.0)


def forward_back(air: float) -> tuple[float, float]:
    """Air that flows in to the fire, and air that comes down the flue [kg/s]: their difference is `air`.

    One of them is 0 but within `STILL_FLOW` of none, where each ends as a parabola; never are both.
    """
    if air >= STILL_FLOW:
        return air, 0.0
    if air <= -STILL_FLOW:
        return 0.0, -air
    quarter = 0.25 / STILL_FLOW
    return quarter * (air + STILL_FLOW) ** 2, quarter * (air - STILL_FLOW) ** 2


def pass_segment(
    flue: Flue,
    k: int,
    flow: float,
    gas: float,
    film: float,
    capacity_flow: float,
    dioxide: float,
    plate: float,
    pressure: float,
    temps: Array,
    heat: Array,
) -> tuple[float, float, float, float]:
    """Follow a flow of gas [kg/s] through one segment, either way; heat its wall by a film [W/(m2 K)].

    Returns the gas' temperature at the end [K], its mean [K], the heat it gave [W], and the resistance
    [Pa/(kg/s)2]. `plate` is the loss of the damper, which stands in the lowest segment. The mean is the one by which
    the wall is heated, exact for a wall of one temperature: gas that hardly moves is as cold as the pipe.
    """
    wall = temps[flue.node[k]]
    conductance = flue.gas_side * film * math.pi * flue.diameter * flue.length[k]
    end = segment_end(gas, wall, conductance, capacity_flow)
    watts = capacity_flow * (gas - end)
    heat[flue.node[k]] += watts
    mean = wall + watts / conductance
    resistance = flue_resistance(
        flow,
        mean,
        flue.diameter,
        flue.length[k],
        flue.loss[k] + (plate if k == 0 else 0.0),
        flue.roughness,
        dioxide,
        pressure,
        FRICTION_FACTOR,
    )
    return end, mean, watts, resistance


def rise(
    box: Firebox,
    flue: Flue,
    pressure: float,
    beside: float,
    flow: float,
    dioxide: float,
    plate: float,
    temps: Array,
    heat: Array,
) -> Way:
    """Follow the gas of the fire past the baffle and up the pipe, beside outdoor air of a density [kg/m3]."""
    hot, constant = temps[box.node], flue_gas_constant(dioxide)
    capacity_flow = flow * flue_gas_heat_capacity(hot, dioxide)
    collar = segment_end(hot, temps[box.body], box.baffle, capacity_flow)
    given = capacity_flow * (hot - collar)
    heat[box.body] += given
    lift = draught(box.height, beside, pressure / (constant * collar))
    gas, resistance = collar, 0.0
    for k in range(flue.node.size):
        film = pipe_film(flow, gas, flue.diameter, flue.whole, flue.roughness)
        film += gas_radiation(gas, temps[flue.node[k]], dioxide)
        capacity_flow = flow * flue_gas_heat_capacity(gas, dioxide)
        end, mean, watts, more = pass_segment(
            flue, k, flow, gas, film, capacity_flow, dioxide, plate, pressure, temps, heat
        )
        given += watts
        lift += draught(flue.rise[k], beside, pressure / (constant * mean))
        resistance += more
        gas = end
    return Way(collar, gas, lift, resistance, given)


def sink(
    box: Firebox,
    flue: Flue,
    pressure: float,
    beside: float,
    flow: float,
    dioxide: float,
    plate: float,
    outdoors: float,
    temps: Array,
    heat: Array,
) -> Way:
    """Follow outdoor air down the pipe and past the baffle into the fire, whose gas fills the firebox.

    Single losses stay as on the way up: those of entry and exit change ends, and their sum is the same. The air has one
    specific heat, so that what it gave on its way is what it lacks when it enters the fire.
    """
    lift = draught(box.height, beside, pressure / (flue_gas_constant(dioxide) * temps[box.node]))
    air, resistance, given, capacity_flow = outdoors, 0.0, 0.0, flow * CP_AIR
    for k in range(flue.node.size - 1, -1, -1):
        film = pipe_film(flow, air, flue.diameter, flue.whole, flue.roughness)
        end, mean, watts, more = pass_segment(
            flue, k, flow, air, film, capacity_flow, 0.0, plate, pressure, temps, heat
        )
        given += watts
        lift += draught(flue.rise[k], beside, pressure / (flue_gas_constant(0.0) * mean))
        resistance += more
        air = end
    swept = capacity_flow * (air - segment_end(air, temps[box.body], box.baffle, capacity_flow))
    heat[box.body] += swept
    return Way(air, outdoors, lift, resistance, given + swept)


def release(
    t: float,
    state: Array,
    stove: Stove,
    air: float,
    temps: Array,
    heat: Array,
    paths: Array,
    carried: Array,
) -> tuple[float, float, float]:
    """Burn and dry in the air there is [kg/s], heat the metal around the fire.

    Returns the heat of gas and coals that burn or leave [W], that of the gas unburnt [W], and the mass of wood gas,
    burnt coal and vapour [kg/s].
    """
    box, places = stove.firebox, stove.places
    lighting = state[places.lighting]
    full, unburnt, gone, steam = burn(
        t, state, stove.slots, places, stove.wood, temps[box.node], air, carried
    )
    heat[box.node] += full - unburnt + lighting - steam * WATER_HEAT
    paths[box.path_fire] += full + lighting
    paths[box.path_unburnt] -= unburnt
    paths[box.path_drying] -= steam * WATER_HEAT
    add_firebox(box, temps, heat, paths)
    return full, unburnt, gone + steam


def resisting(entering: float, back: float, above: Way, below: Way, up: float, swelling: float) -> float:
    """Resistance of inlet and pipe by the square of the air flow [Pa/(kg/s)2].

    `entering` and `back` are those of the inlet to air and to gas of the fire, `up` the share that goes up the pipe,
    `swelling` how much more the gas is than its air: it passes the pipe on its way up, the inlet reversed.
    """
    more = swelling * swelling
    return up * (entering + more * above.resistance) + (1.0 - up) * (more * back + below.resistance)


def add_fire(
    t: float,
    state: Array,
    stove: Stove,
    inside: float,
    suction: float,
    weather: Weather,
    temps: Array,
    heat: Array,
    paths: Array,
    carried: Array,
) -> Array:
    """Burn, dry, heat the stove, and let the gas go; book everything but the gas that spills into a shelter.

    `inside` is the temperature of the air it draws [K], `suction` the pressure inside minus outside at the firebox'
    foot [Pa]. Outdoor air takes the place of air drawn, and spilt gas enters the layers, by the caller.

    Returns readings: collar [K], top [K], draught with the suction [Pa], flow in the pipe, positive upward [kg/s],
    air, positive to the fire [kg/s], heat set free [W], heat unburnt [W], heat of the wood in full [W], air that comes
    down the pipe [kg/s], heat that spills with it, above that of outdoor air [W].
    """
    box, flue, places = stove.firebox, stove.flue, stove.places
    hot, outdoors, pressure = temps[box.node], temps[weather.outdoors], weather.pressure
    forward, backward = forward_back(state[places.air])
    air = forward + backward
    up, lighting = forward / air, state[places.lighting]
    full, unburnt, made = release(t, state, stove, air, temps, heat, paths, carried)
    dioxide = flue_carbon_dioxide(max(full - unburnt, 0.0), air)  # wood a little below 0 makes no gas
    each, gas_flow = flue_gas_enthalpy(hot, dioxide), forward + up * made
    plate = flue.has_damper * damper_loss(state[places.damper])

    beside = pressure / (flue_gas_constant(0.0) * outdoors)  # as the gas' own law has it: none without warmth
    above, below, spill = NO_WAY, NO_WAY, 0.0
    if forward > 0.0:
        above = rise(box, flue, pressure, beside, gas_flow, dioxide, plate, temps, heat)
        heat[box.node] += forward * CP_AIR * (inside - REFERENCE) - gas_flow * each
        paths[flue.path] += forward * CP_AIR * (outdoors - REFERENCE) - gas_flow * each + above.given
    if backward > 0.0:
        below = sink(box, flue, pressure, beside, backward, dioxide, plate, outdoors, temps, heat)
        spill = (backward + (1.0 - up) * made) * each - backward * CP_AIR * (outdoors - REFERENCE)
        heat[box.node] -= spill + below.given
        if flue.draws.size == 0:
            paths[flue.path] -= spill

    area = state[places.inlet] * flue.opening + flue.leak + state[places.door] + LEAST_AREA
    entering = inlet_resistance(area, air_density(inside, pressure), INLET)
    drive, resistance = flue.prescribed, entering
    if flue.prescribed < 0.0:
        drive = up * above.lift + (1.0 - up) * below.lift + suction
        back = inlet_resistance(area, pressure / (flue_gas_constant(dioxide) * hot), INLET)
        resistance = resisting(entering, back, above, below, up, 1.0 + made / (air + LEAST_FLOW))
    steady = signed_root(drive / resistance, STILL / entering)
    carried[places.air - places.first] = (steady - state[places.air]) / LAG
    collar, top = up * above.collar + (1.0 - up) * below.collar, up * above.top + (1.0 - up) * below.top
    set_free = full - unburnt + lighting
    flow = gas_flow - backward
    told = np.empty(READINGS)
    told[0], told[1], told[2], told[3], told[4] = collar, top, drive, flow, state[places.air]
    told[5], told[6], told[7], told[DOWN], told[SPILT] = set_free, unburnt, full, backward, spill
    return told


compiled.compile_module(globals())
