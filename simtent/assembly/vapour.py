"""Vapour in the air of a room: streams carry it, surfaces take and return it, sleepers and wet things give it off.

The vapour of every layer is a state [kg], and so are ice and water on every inner face, water in wet things and bags,
and what has come, gone and been given since the beginning. Each flow is taken from one of them and given to another.
"""

from typing import NamedTuple

import numpy as np

from simtent import compiled
from simtent.assembly.gas_path import forward_back
from simtent.assembly.parameters import Column, Damp, Films, Openings
from simtent.assembly.streams import ROOM, mixed
from simtent.network.arrays import Array
from simtent.physics.constants import CP_AIR
from simtent.physics.convection import inside_film
from simtent.physics.damp import (
    EVAPORATION,
    SUBLIMATION,
    deposition,
    drying,
    fogging,
    frozen_share,
    least_film,
    melting,
    passing,
    running_off,
    wetted,
)
from simtent.physics.ground import FUSION
from simtent.physics.moist import (
    WATER_TO_AIR,
    humidity_ratio,
    saturation_over_water,
    saturation_pressure,
    vapour_pressure,
)

BAG_FILM = 3.0  # W/(m2 K), convection from a bag in still air; from memory
NEAR_BOILING = 0.9  # of the air's pressure, at which air can hold more vapour than any room has
HUNG_FILM = 4.0  # W/(m2 K), convection from wet things that hang; from memory


class Carrying(NamedTuple):
    """Air that carries vapour [kg/s].

    up, down   [layers - 1] between neighbouring layers, both ways at once
    entering, leaving  [layers] from and to the outdoors, the fire's air included
    """

    up: Array
    down: Array
    entering: Array
    leaving: Array


class Face(NamedTuple):
    """What goes on at an inner face: vapour from the air, through to the outdoors, ice and water gained, water run off,
    all in kg/s; and heat to the face [W].
    """

    vapour: float
    through: float
    ice: float
    liquid: float
    off: float
    watts: float


def carrying(
    column: Column,
    openings: Openings,
    exchanged: Array,
    draws: Array,
    air: float,
    streams: Array,
    temps: Array,
) -> Carrying:
    """How the air carries vapour, from the flow of its streams, of openings and to the fire [kg/s]."""
    layers = column.distance.size + 1
    up, down = np.zeros(layers - 1), np.zeros(layers - 1)
    entering, leaving = np.zeros(layers), np.zeros(layers)
    for k in range(layers - 1):
        for stream in range(streams.shape[0]):
            up[k] += max(streams[stream, k], 0.0)
            down[k] += max(-streams[stream, k], 0.0)
        own = CP_AIR * streams[ROOM, k]
        # Beside the room's own flow `mixed` is what goes against it; with it goes as much more.
        against = mixed(column, k, temps[k] - temps[k + 1], abs(own)) / CP_AIR
        up[k] += against
        down[k] += against
    for k in range(exchanged.size):
        layer = openings.layer[k]
        entering[layer] += max(exchanged[k], 0.0)
        leaving[layer] += max(-exchanged[k], 0.0)
    if draws.size > 0:
        forward, backward = forward_back(air)
        for k in range(draws.size):
            leaving[k] += draws[k] * forward
            entering[k] += draws[k] * backward
    return Carrying(up, down, entering, leaving)


def outdoor_ratio(outdoors: float, humidity: float, pressure: float) -> float:
    """Humidity ratio of the outdoor air [kg/kg] at its temperature [K] and humidity over water [-]."""
    return humidity_ratio(humidity * saturation_over_water(outdoors), pressure)


def at_face(
    damp: Damp,
    films: Films,
    k: int,
    density_ratio: float,
    pressure: float,
    ratio: float,
    outside: float,
    air: float,
    face: float,
    ice: float,
    liquid: float,
) -> Face:
    """What goes on at an inner face of a temperature [K], under air of a humidity ratio [kg/kg] and temperature [K].

    What passes through follows from the pressure of vapour at the face: that of saturation where it is wet, between
    those of both sides where it is dry; `outside` is the ratio outdoors [kg/kg].
    """
    area, endless, passes = films.area[k], damp.endless[k], damp.passes[k]
    film, vapour = (
        least_film(inside_film(face - air, films.tilt[k], density_ratio)),
        vapour_pressure(ratio, pressure),
    )
    rate = area * deposition(film, air, face, vapour, pressure)
    outdoors = vapour_pressure(outside, pressure)
    if passes > 0.0:
        rate -= area * passes * (saturation_pressure(face) - outdoors)
    frozen = frozen_share(face)
    to_ice, to_liquid = rate * frozen, rate * (1.0 - frozen)
    if rate < 0.0 and endless == 0.0:
        to_ice *= wetted(ice / area)
        to_liquid *= wetted(liquid / area)
    taken, through = to_ice + to_liquid, 0.0
    if passes > 0.0:
        onto = film * WATER_TO_AIR / (CP_AIR * pressure)  # kg/(s m2 Pa), as `deposition` has it
        beside = (onto * vapour + passes * outdoors - taken / area) / (onto + passes)
        through = area * passes * (beside - outdoors)
    watts = SUBLIMATION * to_ice + EVAPORATION * to_liquid
    off = 0.0
    if endless == 0.0:
        melts = area * melting(face, ice / area, liquid / area)
        watts -= melts
        to_ice -= melts / FUSION
        to_liquid += melts / FUSION
        off = area * running_off(liquid / area, damp.holds[k])
    return Face(taken + through, through, to_ice, to_liquid - off, off, watts)


def at_bags(damp: Damp, k: int, pressure: float, ratio: float, air: float) -> tuple[float, float]:
    """Vapour that gets out of the bags in layer k, and that stays in them [kg/s]; the air's ratio and temperature."""
    shell = air + damp.bag_over
    room = damp.bag_area[k] * deposition(BAG_FILM, air, shell, vapour_pressure(ratio, pressure), pressure)
    out = passing(damp.skin[k], -room)
    return out, damp.skin[k] - out


def from_air(damp: Damp, k: int, pressure: float, ratio: float, air: float) -> float:
    """Fog that forms in layer k at a humidity ratio [kg/kg] and a temperature [K]; in kg/s."""
    saturated = saturation_over_water(air)
    if saturated > NEAR_BOILING * pressure:
        return 0.0
    fog: float = damp.mass[k] * fogging(ratio, humidity_ratio(saturated, pressure))
    return fog


def latent(temperature: float) -> float:
    """Heat that vapour takes where it leaves ice or water of a temperature [K]; in J/kg."""
    return EVAPORATION + FUSION * frozen_share(temperature)


def from_hung(damp: Damp, k: int, pressure: float, ratio: float, air: float, left: float) -> float:
    """Vapour that a wet thing gives off which has some water left [kg]; in kg/s."""
    area = damp.wet_area[k]
    rate = drying(HUNG_FILM, air, vapour_pressure(ratio, pressure), pressure, latent(air))
    dried: float = area * rate * wetted(left / area)
    return dried


def add_damp(
    state: Array,
    damp: Damp,
    films: Films,
    flows: Carrying,
    outside: float,
    density_ratio: float,
    pressure: float,
    temps: Array,
    heat: Array,
    paths: Array,
    carried: Array,
) -> None:
    """Move vapour and water, and book the heat of what condenses, freezes, melts and dries.

    `outside` is the humidity ratio of the outdoor air [kg/kg]; `carried` holds the rates of all amounts.
    """
    first, layers = state.size - carried.size, damp.mass.size
    ratio, rate = np.empty(layers), carried[damp.first - first :]
    for k in range(layers):
        ratio[k] = state[damp.first + k] / damp.mass[k]
        gone = flows.leaving[k] * ratio[k]
        rate[k] += flows.entering[k] * outside - gone + damp.breath[k]
        carried[damp.entered - first] += flows.entering[k] * outside
        carried[damp.left - first] += gone
        carried[damp.sleepers - first] += damp.breath[k]
    for k in range(layers - 1):
        over = flows.up[k] * ratio[k] - flows.down[k] * ratio[k + 1]
        rate[k] -= over
        rate[k + 1] += over
    for k in range(films.node.size):
        layer, node = films.air[k], films.node[k]
        found = at_face(
            damp, films, k, density_ratio, pressure, ratio[layer], outside, temps[layer], temps[node],
            state[damp.ice + k], state[damp.liquid + k],
        )  # fmt: skip
        book_face(damp, k, layer, node, found, first, heat, paths, carried)
    for k in range(layers):
        fog = from_air(damp, k, pressure, ratio[k], temps[k])
        if fog > 0.0:
            book_fog(damp, k, fog, first, heat, paths, carried)
        if damp.skin[k] > 0.0:
            out, kept = at_bags(damp, k, pressure, ratio[k], temps[k])
            rate[k] += out
            carried[damp.bag - first] += kept
            carried[damp.sleepers - first] += damp.skin[k]
            watts = kept * latent(temps[k] + damp.bag_over)
            heat[k] += watts
            paths[damp.path] += watts
    for k in range(damp.wet_layer.size):
        layer = damp.wet_layer[k]
        dried = from_hung(damp, k, pressure, ratio[layer], temps[layer], state[damp.wet + k])
        rate[layer] += dried
        carried[damp.wet + k - first] -= dried
        watts = dried * latent(temps[layer])
        heat[layer] -= watts
        paths[damp.path] -= watts


def book_fog(damp: Damp, k: int, fog: float, first: int, heat: Array, paths: Array, carried: Array) -> None:
    """Book fog that forms in layer k [kg/s]: it sinks to the floor."""
    carried[damp.first + k - first] -= fog
    for below in range(damp.below.size):
        carried[damp.liquid + below - first] += damp.below[below] * fog
    watts = fog * EVAPORATION
    heat[k] += watts
    paths[damp.path] += watts


def book_face(
    damp: Damp,
    k: int,
    layer: int,
    node: int,
    found: Face,
    first: int,
    heat: Array,
    paths: Array,
    carried: Array,
) -> None:
    """Book what goes on at face k."""
    carried[damp.first + layer - first] -= found.vapour
    carried[damp.left - first] += found.through
    carried[damp.ice + k - first] += found.ice
    carried[damp.liquid + k - first] += found.liquid
    if found.off != 0.0:
        carried[damp.dripped - first] += found.off
        for below in range(damp.below.size):
            carried[damp.liquid + below - first] += damp.below[below] * found.off
    heat[node] += found.watts
    paths[damp.path] += found.watts


compiled.compile_module(globals())
