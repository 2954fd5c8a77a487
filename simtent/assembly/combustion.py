"""The fire: wood dries, gives off gas, leaves coals; gas and coals share the air that flows in.

Every kilogram leaves one stage for another, every joule is booked on its path as it is moved.
"""

import math

import numpy as np

from simtent import compiled
from simtent.assembly.parameters import Firebox, Places, Slots, Wood
from simtent.network.arrays import Array
from simtent.network.kernels import move
from simtent.physics.burn import (
    air_limited,
    burnt_share,
    catching,
    dried,
    drying_coefficient,
    flame_feedback,
    rest_rate,
)
from simtent.physics.coals import coal_rate
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.wood import AIR_HEAT, AIR_RATIO_LEAST, ASH_SHARE, CHAR_SHARE, WATER_HEAT

BOILING = 373.15  # K; at altitude a few kelvins lower, which matters little here
FIRE_EMISSIVITY = 0.45  # of flames, coals and burning wood together against the metal; from memory
FIRE_FILM = 8.0  # W/(m2 K), gas inside the firebox; from memory
BOIL_OFF = 400.0  # W/K above the boiling point: enough that water stays at it
WET_BURNS = (
    0.35  # share of its dry rate at which the face of wet wood burns, once caught; common practice, no source
)
LAST_WATER = 0.02  # share of a slot's water below which the drying dies away


def above(difference: float, width: float) -> float:
    """Difference where it is positive, else 0, rounded over a width."""
    return 0.5 * (difference + math.sqrt(difference * difference + width * width))


def rest_gone(
    since: float, share: float, wet: float, thickness: float, burn_time: float, hot: float, feedback: float
) -> float:
    """Share of the dry wood left in a slot that would turn into gas and char in plenty of air [1/s].

    `since` is the time since it caught [s], `share` the dry wood left and `wet` the water left, each over that at
    the start, `hot` the temperature of the fire [K].
    """
    if since <= 0.0:
        return 0.0
    ready = WET_BURNS + (1.0 - WET_BURNS) * dried(wet, share)
    taken = ready * catching(since, thickness)
    return rest_rate(1.0 - share) / burn_time * flame_feedback(hot, feedback) * taken


def drying_rate(wet: float, area: float, thickness: float, hot: float) -> float:
    """Water that the fire's heat drives out of pieces of an area [m2], the share `wet` of theirs still there [kg/s]."""
    watts = drying_coefficient(thickness, wet) * area * above(hot - BOILING, 1.0)
    return watts / WATER_HEAT * wet / (abs(wet) + LAST_WATER)


def burn(
    t: float, state: Array, slots: Slots, places: Places, wood: Wood, hot: float, air: float, carried: Array
) -> tuple[float, float, float, float]:
    """Dry and burn wood, burn coals, in the air there is [kg/s]; `hot` is the temperature of the fire [K].

    Returns the heat of gas and coals that burn or leave [W], the heat of the gas that leaves unburnt [W], the
    mass of gas and burnt coal [kg/s], and that of the vapour [kg/s]. Water leaves wood that burns along with it.
    """
    shares, wanted = np.zeros(slots.dry.size), 0.0
    for k in range(slots.dry.size):
        left, water = state[slots.first_dry + k], state[slots.first_water + k]
        if left == 0.0 and water == 0.0:  # nothing burns or dries in a slot without wood
            continue
        wet = water / slots.water[k] if slots.water[k] > 0.0 else 0.0
        since = t - state[slots.first_caught + k]
        thickness = slots.thickness[k]
        shares[k] = rest_gone(
            since, left / slots.dry[k], wet, thickness, slots.burn_time[k], hot, wood.feedback
        )
        wanted += shares[k] * left
    glow = coal_rate(state[places.coals], air, wood.coal_rate)
    demand = wanted * (1.0 - CHAR_SHARE) * wood.gas_heat + glow * wood.coal_heat
    supply = AIR_HEAT * air
    limited = air_limited(AIR_RATIO_LEAST * demand / (supply + 1.0))
    steam = 0.0
    for k in range(slots.dry.size):
        left, water = state[slots.first_dry + k], state[slots.first_water + k]
        if left == 0.0 and water == 0.0:
            continue
        carried[slots.first_dry + k - places.first] -= limited * shares[k] * left
        if slots.water[k] > 0.0:
            area = 4.0 * slots.dry[k] / (wood.density * slots.thickness[k])
            drying = drying_rate(water / slots.water[k], area, slots.thickness[k], hot)
            drying += limited * shares[k] * water
            carried[slots.first_water + k - places.first] -= drying
            steam += drying
    rate, glow = limited * wanted, limited * glow
    gone = rate * (1.0 - CHAR_SHARE) + glow * (1.0 - ASH_SHARE / CHAR_SHARE)
    carried[places.coals - places.first] += rate * CHAR_SHARE - glow
    carried[places.ash - places.first] += glow * ASH_SHARE / CHAR_SHARE
    carried[places.burnt - places.first] += gone + steam
    gas = rate * (1.0 - CHAR_SHARE) * wood.gas_heat
    ratio = supply / (limited * demand + 1.0)
    return gas + glow * wood.coal_heat, gas * (1.0 - burnt_share(hot, ratio)), gone, steam


def add_firebox(box: Firebox, temps: Array, heat: Array, paths: Array) -> None:
    """Heat from the fire to the metal around it, and what boils off from water on the stove."""
    fire, body = temps[box.node], temps[box.body]
    black = STEFAN_BOLTZMANN * (fire**4 - body**4)
    move(
        heat, paths, box.node, box.body, box.area * (FIRE_EMISSIVITY * black + FIRE_FILM * (fire - body)), -1
    )
    if box.cook >= 0:
        boiling = BOIL_OFF * above(temps[box.cook] - BOILING, 0.2)
        heat[box.cook] -= boiling
        paths[box.path_boiling] -= boiling


compiled.compile_module(globals())
