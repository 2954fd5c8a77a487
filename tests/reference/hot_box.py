"""Burn-out and ignition of round wood in hot surroundings: published laws that ours are held against.

Albini and Reinhardt 1995, second-hand, read in the open source of a fire-effects program.
"""

import numpy as np

CHARRING, IGNITION = 650.0, 600.0  # K
DRYING = 353.0  # K
HEAT_CAPACITY = 2750.0  # J/(kg K)
STEFAN = 5.670374419e-8


def film(temperature, thickness, speed=1.0):
    """Convection coefficient of a log [W/(m2 K)], without radiation, in gas [K] that moves [m/s]."""
    conductivity = 8.75e-3 + 5.75e-5 * temperature
    forced = 0.344 * (speed * thickness / 7.5e-5) ** 0.56 * conductivity / thickness
    return max(forced, 0.382 * (abs(temperature - CHARRING) / thickness) ** 0.25)


def loss_per_flux(density, moisture):
    """Diameter lost per heat that reaches the face [m3/J]: dry density [kg/m3], moisture on the dry basis."""
    return 1.0 / (255.0 * 2.01e6 * (density / 446.0) * (1.0 + 1.67 * moisture))


def ignition_delay(temperature, thickness, moisture, start=283.0, density=513.0, speed=1.0):
    """Time until a log ignites [s] in gas and walls of a temperature [K] above 600 K."""
    squares = temperature**2 + CHARRING**2
    coefficient = film(temperature, thickness, speed) + 0.5 * STEFAN * (temperature + CHARRING) * squares
    ratio = (temperature - IGNITION) / (temperature - start)
    roots = np.roots([1.0, -0.12821, 0.46536, -1.33716 * ratio])
    x = float(roots[np.abs(roots.imag) < 1e-9].real[0])
    beta = 2.1255 * (1.0 - x) / x
    wet = (2.177e6 + 4186.0 * (DRYING - start)) / (HEAT_CAPACITY * (IGNITION - start))
    conductivity = 0.133 + 4.27e-4 * density * moisture
    return (beta / coefficient) ** 2 * conductivity * density * HEAT_CAPACITY * (1.0 + moisture * wet)
