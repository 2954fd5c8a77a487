"""A stove alone, as numbers: no shelter, no solver. Invented.

Its nodes are the fire, the body and five segments of pipe from the collar up; outdoor air stands behind them.
"""

from typing import NamedTuple

import numpy as np

from simtent.assembly.gas_path import add_fire
from simtent.assembly.parameters import (
    Firebox,
    Flue,
    HotFaces,
    HotOuter,
    Places,
    Slots,
    Stove,
    Weather,
    Wood,
    floats,
    indices,
)
from simtent.network.arrays import Array
from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat

PRESSURE = 95e3  # Pa
FIRE, BODY, COLLAR, TOP, OUTDOORS = 0, 1, 2, 6, 7
WATER, DRY, COALS, ASH, BURNT, AIR = range(6)
PATHS = ("fire", "unburnt", "drying", "boiling", "flue")
LENGTHS, LOSSES = (0.7, 0.7, 0.7, 0.4, 0.4), (0.9, 0.0, 0.0, 0.0, 2.5)
DIAMETER, HEIGHT, OPENING, LEAK = 0.1, 0.3, 20e-4, 1e-4
WEATHER = Weather(OUTDOORS, 8, 0, 0, 0, PRESSURE, 1.0)
NONE_I, NONE_F = indices(()), floats(())


class Fired(NamedTuple):
    """What a moment of the fire gives: heat to nodes [W], rates of paths [W], of amounts [1/s], and readings."""

    heat: Array
    paths: Array
    carried: Array
    readings: Array


def hearth(
    draws: Array = NONE_F, *, baffle: float = 0.0, prescribed: float = -1.0, opening: float = OPENING
) -> Stove:
    """The stove; `draws` is empty in the open."""
    return Stove(
        HotFaces(NONE_I, NONE_I, NONE_F, NONE_I),
        HotOuter(NONE_I, NONE_F, NONE_F, NONE_I),
        Slots(floats((0.06,)), floats((1800.0,)), floats((1.6,)), floats((0.4,)), WATER, DRY, 11),
        Places(0, COALS, ASH, BURNT, AIR, 6, 7, 8, 9, 10),
        Wood(480.0, gas_heat(18.6e6, CHAR_SHARE), COAL_HEAT, 3e-4, 0.3),
        Firebox(FIRE, BODY, 0.9, baffle, HEIGHT, -1, 0, 1, 2, 3),
        Flue(
            node=indices(range(COLLAR, TOP + 1)),
            length=floats(LENGTHS),
            rise=floats(LENGTHS),
            loss=floats(LOSSES),
            whole=sum(LENGTHS),
            diameter=DIAMETER,
            roughness=1e-3,
            gas_side=1.0,
            opening=opening,
            leak=LEAK,
            has_damper=1.0,
            prescribed=prescribed,
            draws=draws,
            foot=0.35,
            path=4,
            path_spill=0,
        ),
    )


def state(air: float, *, dry: float = 0.0, coals: float = 0.0, lighting: float = 0.0) -> Array:
    """Wood that caught ten minutes ago, air to the fire [kg/s]; inlet and damper wide open."""
    return np.array([0.2 * dry, dry, coals, 0.02, 1.0, air, 1.0, 1.0, 0.0, lighting, 1.6, -600.0])


def temperatures(fire: float, pipe: float, outdoors: float) -> Array:
    """Fire and body, all of the pipe, outdoor air and sky [K]."""
    return np.array([fire, 0.5 * (fire + pipe), *[pipe] * len(LENGTHS), outdoors, outdoors - 15.0])


def fired(stove: Stove, amounts: Array, temps: Array, inside: float, suction: float) -> Fired:
    """A moment of the fire."""
    heat, paths, carried = np.zeros(temps.size), np.zeros(len(PATHS)), np.zeros(AIR + 1)
    readings = add_fire(0.0, amounts, stove, inside, suction, WEATHER, temps, heat, paths, carried)
    return Fired(heat, paths, carried, readings)
