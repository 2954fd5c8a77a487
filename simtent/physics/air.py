"""Properties of dry air."""

from math import pow

from simtent import compiled
from simtent.physics.constants import GAS_CONSTANT_AIR


def standard_pressure(altitude: float) -> float:
    """Air pressure of the standard atmosphere.

    Parameters
    ----------
    altitude : float
        Height above sea level [m].

    Returns
    -------
    float
        Pressure [Pa].

    Source
    ------
    ICAO standard atmosphere, lower layer, in the form of the ASHRAE Handbook Fundamentals 2017 ch. 1 eq. 3.

    Notes
    -----
    Range -5000 to 11000 m. Smooth.

    Examples
    --------
    >>> round(standard_pressure(1000.0))
    89875
    """
    return 101325.0 * pow(1.0 - 2.25577e-5 * altitude, 5.2559)


def air_density(temperature: float, pressure: float) -> float:
    """Density of dry air as an ideal gas.

    Parameters
    ----------
    temperature : float
        Air temperature [K].
    pressure : float
        Air pressure [Pa].

    Returns
    -------
    float
        Density [kg/m3].

    Source
    ------
    Ideal gas law, p / (R T) with R = 287.055 J/(kg K).

    Notes
    -----
    Within 0.4 % of real air at 1 atm from -90 to 700 degC. Smooth.
    """
    return pressure / (GAS_CONSTANT_AIR * temperature)


compiled.compile_module(globals())
