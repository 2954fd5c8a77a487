"""A stove pipe of 76 mm, 2.5 m long: its gas, and how it cools as a whole by the chimney standard's equations."""

from math import exp, pi

from simtent.physics.flue_gas import flue_gas_constant, flue_gas_heat_capacity, flue_gas_viscosity
from simtent.physics.pipe_heat import pipe_film

PRESSURE = 101325.0  # Pa
DIAMETER, LENGTH, ROUGHNESS = 0.076, 2.5, 0.001  # m
DIOXIDE = 8.0  # %, dry
BENDS = {
    10.0: 0.1,
    30.0: 0.3,
    45.0: 0.4,
    60.0: 0.7,
    90.0: 1.6,
}  # degrees, loss; EN 13384-1 table B.8, second-hand


def gas_density(kelvin):
    """Density of the gas [kg/m3]."""
    return PRESSURE / (flue_gas_constant(DIOXIDE) * kelvin)


def flow_at(number, kelvin):
    """Mass flow at a Reynolds number [kg/s]."""
    return number * pi * DIAMETER * flue_gas_viscosity(kelvin) / 4.0


def along_the_pipe(flow, entry, ambient, outside=8.0):
    """Film, coefficient, K, mean and exit temperature of the whole pipe; the mean by iteration as in EN 13384-1."""
    mean = 0.5 * (entry + ambient)
    for _ in range(50):
        film = pipe_film(flow, mean, DIAMETER, LENGTH, ROUGHNESS)
        through = 1.0 / (1.0 / film + 1.0 / outside)
        cooling = pi * DIAMETER * LENGTH * through / (flow * flue_gas_heat_capacity(mean, DIOXIDE))
        mean = ambient + (entry - ambient) * (1.0 - exp(-cooling)) / cooling
    return film, through, cooling, mean, ambient + (entry - ambient) * exp(-cooling)
