"""Moist air: what air holds of vapour over ice and over water, and the points at which it gives it off."""

from math import exp, log

from simtent import compiled

TRIPLE_POINT = 273.16  # K, where both curves of saturation meet
WATER_TO_AIR = 0.621945  # molar mass of water over that of dry air; ASHRAE Handbook Fundamentals 2017, ch. 1
GAS_CONSTANT_VAPOUR = 461.5  # J/(kg K)
NEWTON_STEPS = 12
CLOSE = 1e-7  # K
LEAST_PRESSURE = 1e-4  # Pa, of vapour; saturation at about -112 degC, where the curve over ice still holds


def saturation_over_ice(temperature: float) -> float:
    """Pressure of vapour at saturation over ice.

    Parameters
    ----------
    temperature : float
        Temperature [K], -100 to 0 degC.

    Returns
    -------
    float
        Pressure [Pa].

    Source
    ------
    Hyland and Wexler 1983, as printed in the ASHRAE Handbook Fundamentals 2017 ch. 1 eq. 5 (held to the handbook's
    table and to PsychroLib in the tests).

    Examples
    --------
    >>> round(saturation_over_ice(263.15), 2)
    259.9
    """
    t = temperature
    powers = -9.6778430e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.4840240e-13))
    return exp(-5.6745359e3 / t + 6.3925247 + t * powers + 4.1635019 * log(t))


def saturation_over_water(temperature: float) -> float:
    """Pressure of vapour at saturation over water, supercooled below 0 degC.

    Parameters
    ----------
    temperature : float
        Temperature [K], -50 to 200 degC.

    Returns
    -------
    float
        Pressure [Pa].

    Source
    ------
    Hyland and Wexler 1983, as printed in the ASHRAE Handbook Fundamentals 2017 ch. 1 eq. 6.

    Examples
    --------
    >>> round(saturation_over_water(293.15), 1), round(saturation_over_water(263.15), 1)
    (2338.8, 286.6)
    """
    t = temperature
    powers = -4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8)
    return exp(-5.8002206e3 / t + 1.3914993 + t * powers + 6.5459673 * log(t))


def saturation_pressure(temperature: float) -> float:
    """Pressure of vapour at saturation: over ice up to the triple point, over water above.

    Parameters
    ----------
    temperature : float
        Temperature [K], -100 to 200 degC.

    Returns
    -------
    float
        Pressure [Pa].

    Source
    ------
    `saturation_over_ice` and `saturation_over_water`, which meet at 0.01 degC within 3e-6 of each other.
    """
    if temperature < TRIPLE_POINT:
        return saturation_over_ice(temperature)
    return saturation_over_water(temperature)


def humidity_ratio(vapour: float, pressure: float) -> float:
    """Vapour carried by each kilogram of dry air.

    Parameters
    ----------
    vapour : float
        Pressure of the vapour [Pa].
    pressure : float
        Pressure of the moist air [Pa].

    Returns
    -------
    float
        Humidity ratio [kg/kg].

    Source
    ------
    Ideal gases: ASHRAE Handbook Fundamentals 2017 ch. 1 eq. 20.

    Examples
    --------
    >>> round(humidity_ratio(982.4, 101325.0), 6)
    0.006089
    """
    return WATER_TO_AIR * vapour / (pressure - vapour)


def vapour_pressure(ratio: float, pressure: float) -> float:
    """Pressure of the vapour of air with a humidity ratio.

    Parameters
    ----------
    ratio : float
        Humidity ratio [kg/kg].
    pressure : float
        Pressure of the moist air [Pa].

    Returns
    -------
    float
        Pressure of the vapour [Pa].

    Source
    ------
    The inverse of `humidity_ratio`.
    """
    return pressure * ratio / (WATER_TO_AIR + ratio)


def dew_or_frost_point(vapour: float) -> float:
    """Temperature at which air with this vapour is saturated: over ice below 0 degC (frost point), over water above.

    Parameters
    ----------
    vapour : float
        Pressure of the vapour [Pa]; below 0.1 mPa it is taken for that.

    Returns
    -------
    float
        Dew point or frost point [K].

    Source
    ------
    The inverse of `saturation_pressure`, by Newton on its logarithm from a Magnus form (WMO guide, from memory).

    Examples
    --------
    >>> round(dew_or_frost_point(982.40) - 273.15, 2), round(dew_or_frost_point(259.903) - 273.15, 2)
    (6.71, -10.0)
    """
    wanted = log(max(vapour, LEAST_PRESSURE))
    gamma = wanted - log(611.2)
    found = 273.15 + (272.62 * gamma / (22.46 - gamma) if gamma < 0.0 else 243.12 * gamma / (17.62 - gamma))
    for _ in range(NEWTON_STEPS):
        slope = (log(saturation_pressure(found + 1e-3)) - log(saturation_pressure(found - 1e-3))) / 2e-3
        step = (log(saturation_pressure(found)) - wanted) / slope
        found -= step
        if abs(step) < CLOSE:
            break
    return found


compiled.compile_module(globals())
