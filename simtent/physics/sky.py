"""Moisture in the air and long-wave radiation of the sky."""

from math import exp, log, pow

from simtent import compiled
from simtent.physics.constants import ICE_POINT

DRIEST = 0.01  # relative humidity, keeps the logarithm finite
COLDEST_FITTED_DEW_POINT = -100.0 * 0.56 / (2.0 * 0.73)
SEA_LEVEL_PRESSURE = 101325.0


def saturation_pressure_water(temperature: float) -> float:
    """Saturation vapour pressure over liquid water, supercooled below 0 degC.

    Parameters
    ----------
    temperature : float
        Temperature [K].

    Returns
    -------
    float
        Vapour pressure [Pa].

    Source
    ------
    Hyland and Wexler 1983, as printed in the ASHRAE Handbook Fundamentals ch. 1 (from memory; held to
    PsychroLib above 0 degC in the tests).

    Notes
    -----
    Fitted from 0 to 200 degC, continued below 0 degC. Smooth.
    """
    t = temperature
    return exp(
        -5800.2206 / t
        + 1.3914993
        - 4.8640239e-2 * t
        + 4.1764768e-5 * t * t
        - 1.4452093e-8 * t * t * t
        + 6.5459673 * log(t)
    )


def saturation_pressure_ice(temperature: float) -> float:
    """Saturation vapour pressure over ice.

    Parameters
    ----------
    temperature : float
        Temperature [K].

    Returns
    -------
    float
        Vapour pressure [Pa].

    Source
    ------
    Hyland and Wexler 1983, as printed in the ASHRAE Handbook Fundamentals ch. 1 (from memory; held to
    PsychroLib in the tests).

    Notes
    -----
    Range -100 to 0 degC. Smooth.
    """
    t = temperature
    return exp(
        -5674.5359 / t
        + 6.3925247
        - 9.677843e-3 * t
        + 6.2215701e-7 * t * t
        + 2.0747825e-9 * t * t * t
        - 9.484024e-13 * t * t * t * t
        + 4.1635019 * log(t)
    )


def dew_point(temperature: float, humidity: float) -> float:
    """Dew point over (supercooled) water.

    Parameters
    ----------
    temperature : float
        Air temperature [K].
    humidity : float
        Relative humidity over water, as hygrometers and weather services give it below 0 degC too, 0 to 1
        [-].

    Returns
    -------
    float
        Dew point [K].

    Source
    ------
    Magnus formula 611.2 exp(17.62 t / (243.12 + t)) Pa, t in degC (coefficients of the WMO guide, from
    memory; held to PsychroLib and to the measured record in the tests).

    Notes
    -----
    Within 0.1 K of Hyland and Wexler from -40 to 60 degC and 30 % humidity up. Humidity below 1 % is read as
    1 %. Otherwise smooth.
    """
    t = temperature - ICE_POINT
    gamma = log(max(humidity, DRIEST)) + 17.62 * t / (243.12 + t)
    return ICE_POINT + 243.12 * gamma / (17.62 - gamma)


def sky_emissivity_berdahl_martin(dew_point: float, pressure: float) -> float:
    """Emissivity of a clear night sky from dew point and air pressure; for the spread.

    Parameters
    ----------
    dew_point : float
        Dew point over water near the ground [K].
    pressure : float
        Air pressure [Pa].

    Returns
    -------
    float
        Sky radiation over that of a black body at air temperature [-].

    Source
    ------
    Berdahl and Martin 1984, Solar Energy 32(5) (second-hand): 0.711 + 0.56 (t/100) + 0.73 (t/100)^2
    + 0.00012 (P - P0), t in degC, P in hPa, P0 = 1013.25. The term for the hour of the day is left out.

    Notes
    -----
    The quadratic turns round at -38.4 degC; below that its lowest value is held, so that drier air is never
    given a warmer sky. Smooth to the first derivative. The original P0 may be 1000 hPa (from memory), 0.2 K.
    """
    tenth = max(dew_point - ICE_POINT, COLDEST_FITTED_DEW_POINT) / 100.0
    return 0.711 + 0.56 * tenth + 0.73 * tenth * tenth + 1.2e-6 * (pressure - SEA_LEVEL_PRESSURE)


def sky_emissivity_clark_allen(dew_point: float) -> float:
    """Emissivity of a clear night sky from the dew point.

    Parameters
    ----------
    dew_point : float
        Dew point over water near the ground [K].

    Returns
    -------
    float
        Sky radiation over that of a black body at air temperature [-].

    Source
    ------
    Clark and Allen 1978 (second-hand): 0.787 + 0.764 ln(T_d / 273.15).

    Notes
    -----
    Smooth. Stays between 0.4 and 1 for dew points from -100 to 70 degC.

    Examples
    --------
    >>> round(sky_emissivity_clark_allen(268.15), 4)
    0.7729
    """
    return 0.787 + 0.764 * log(dew_point / ICE_POINT)


def walton_cloud_factor(cloud: float) -> float:
    """Factor by which cloud raises the clear sky's emissivity, older rule; for the spread.

    Parameters
    ----------
    cloud : float
        Share of the sky covered by cloud, 0 to 1 [-].

    Returns
    -------
    float
        Factor [-].

    Source
    ------
    Walton 1983 (second-hand): 1 + 0.022 n - 0.0035 n^2 + 0.00028 n^3, n in tenths.

    Notes
    -----
    Smooth. At most 1.15: with dry air it cannot reach the emissivities measured under low cloud.
    """
    tenths = 10.0 * cloud
    return 1.0 + 0.022 * tenths - 0.0035 * tenths * tenths + 0.00028 * tenths * tenths * tenths


def swinbank_sky_temperature(air: float) -> float:
    """Temperature of a clear sky from air temperature alone; for the spread.

    Parameters
    ----------
    air : float
        Air temperature near the ground [K].

    Returns
    -------
    float
        Sky temperature [K].

    Source
    ------
    Swinbank 1963 (second-hand): 0.0552 T^1.5.

    Notes
    -----
    Smooth.
    """
    return 0.0552 * pow(air, 1.5)


def sky_temperature(air: float, dew_point: float, cloud: float) -> float:
    """Effective black-body temperature of the night sky: the default law.

    Parameters
    ----------
    air : float
        Air temperature near the ground [K].
    dew_point : float
        Dew point over water near the ground [K].
    cloud : float
        Share of the sky covered by cloud, 0 to 1 [-].

    Returns
    -------
    float
        Sky temperature [K].

    Source
    ------
    air x e^(1/4); clear sky by Clark and Allen 1978; cloud by e + (1 - e) C, the rule printed with Berdahl
    and Martin 1984 (all second-hand).

    Notes
    -----
    Chosen by a measured record: NOAA SURFRAD, 1 January 2016, 18:00 to 06:30 local time, -11 to -23 degC at
    2317 m, 751 minutes, cloud taken as 0. Mean (rms) miss of the sky temperature: Clark and Allen -0.3 K
    (3.5 K; 1.9 K without the two hours in which cloud passed), Berdahl and Martin -8.8 K without
    and -11.5 K with their pressure term, Swinbank -10.5 K. One night of one place with the air colder at the
    ground than above: the four formulas remain about 10 K apart, and that is the uncertainty of the law.
    The linear cloud rule treats cloud as low, black and as warm as the air: high thin cloud gives less. The
    record's highest emissivity, 0.91 in passing cloud, is above the most that Walton's factor can give there.
    Smooth.
    """
    clear = sky_emissivity_clark_allen(dew_point)
    return air * pow(clear + (1.0 - clear) * cloud, 0.25)


if compiled.NUMBA is not None:
    with compiled.cache():
        compiled.NUMBA.jit_module(**compiled.OPTIONS)
