"""Moisture in the air and long-wave radiation of the sky."""

from math import log, pow

from simtent import compiled
from simtent.physics.constants import ICE_POINT

DRIEST = 0.01  # relative humidity, keeps the logarithm finite


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


compiled.compile_module(globals())
