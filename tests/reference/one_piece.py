"""A single piece of wood in a firebox held at one temperature, by the fire's own laws and nothing else of the model."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from simtent.assembly.combustion import drying_rate, rest_gone
from simtent.physics.burn import air_limited, free_burn_time, rest_rate
from simtent.physics.coals import coal_rate
from simtent.physics.wood import AIR_HEAT, AIR_RATIO_LEAST, CHAR_SHARE, COAL_HEAT, gas_heat

DENSITY = 450.0  # kg dry wood per m3, a softwood
DRY_HEAT = 18.5e6  # J/kg, net
CHAR_RATE = 3e-4  # 1/s
PLENTY = 1.0  # kg/s of air, for a kilogram of wood
FLOOR = 0.6  # of the flame feedback


def two_humps(burnt):
    """Rate of burning over the mean rate, by the share already burnt [-]."""
    return rest_rate(burnt) * (1.0 - burnt)


class Burn(NamedTuple):
    """Moments [s], then at each, per kilogram of dry wood: dry wood and water left [kg], coals [kg], release [W]."""

    time: NDArray[np.float64]
    wood: NDArray[np.float64]
    water: NDArray[np.float64]
    coals: NDArray[np.float64]
    release: NDArray[np.float64]

    def until(self, left):
        """Time [s] until so much of the dry wood is left."""
        assert self.wood[-1] < left
        return float(np.interp(-left, -self.wood, self.time))


def rates(t, state, thickness, moisture, temperature, air):
    """Rate of gas and char [kg/s], of drying [kg/s] and of glowing [kg/s] of 1 kg of dry wood of moisture u [kg/kg]."""
    water, wood, coals = (max(float(value), 0.0) for value in state)
    wet = min(water / moisture, 1.0) if moisture > 0.0 else 0.0
    gone = rest_gone(t, min(wood, 1.0), wet, thickness, free_burn_time(thickness), temperature, FLOOR)
    glowing = coal_rate(coals, air, CHAR_RATE)
    wanted = gone * wood * (1.0 - CHAR_SHARE) * gas_heat(DRY_HEAT, CHAR_SHARE) + glowing * COAL_HEAT
    limit = air_limited(AIR_RATIO_LEAST * wanted / (AIR_HEAT * air))
    drying = 0.0
    if moisture > 0.0:
        area = 4.0 / (DENSITY * thickness)
        drying = drying_rate(wet, area, thickness, temperature) + limit * gone * water
    return limit * gone * wood, drying, limit * glowing


def burn(thickness, moisture, temperature=873.0, air=PLENTY, hours=6.0):
    """Burn one piece (thickness [m], moisture on the dry basis, firebox [K], air [kg/s]) for some hours."""

    def derivative(t, state):
        burning, drying, glowing = rates(t, state, thickness, moisture, temperature, air)
        return [-drying, -burning, CHAR_SHARE * burning - glowing]

    time = np.linspace(0.0, hours * 3600.0, int(hours * 360.0) + 1)
    found = solve_ivp(derivative, (0.0, time[-1]), [moisture, 1.0, 0.0], "LSODA", time, rtol=1e-7, atol=1e-9)
    assert found.success
    water, wood, coals = found.y
    release = []
    for t, state in zip(time, found.y.T, strict=True):
        burning, _, glowing = rates(t, state, thickness, moisture, temperature, air)
        release.append(burning * (1.0 - CHAR_SHARE) * gas_heat(DRY_HEAT, CHAR_SHARE) + glowing * COAL_HEAT)
    return Burn(time, wood, water, coals, np.array(release))
