"""Laws that the model does not use, for comparing its own with: properties, clear skies, snow, slabs."""

from math import exp, log, pi, pow

from simtent.physics.constants import ICE_POINT

SUTHERLAND = 110.4  # K
COLDEST_FITTED_DEW_POINT = -100.0 * 0.56 / (2.0 * 0.73)
SEA_LEVEL_PRESSURE = 101325.0


def air_conductivity(temperature: float) -> float:
    """Thermal conductivity of dry air.

    Parameters
    ----------
    temperature : float
        Air temperature [K].

    Returns
    -------
    float
        Conductivity [W/(m K)].

    Source
    ------
    Power law through 0.0241 W/(m K) at 0 degC, exponent 0.81 (textbook fit, from memory; held to CoolProp in
    the tests).

    Notes
    -----
    Within 2.2 % from -90 to 700 degC. Smooth.
    """
    return 0.0241 * pow(temperature / ICE_POINT, 0.81)


def air_viscosity(temperature: float) -> float:
    """Dynamic viscosity of dry air.

    Parameters
    ----------
    temperature : float
        Air temperature [K].

    Returns
    -------
    float
        Dynamic viscosity [Pa s].

    Source
    ------
    Sutherland's law, 1.716e-5 Pa s at 0 degC, constant 110.4 K (textbook fit, from memory; held to CoolProp
    in the tests).

    Notes
    -----
    Within 1 % from -90 to 130 degC, 4 % up to 700 degC. Smooth.
    """
    warmth = temperature / ICE_POINT
    return 1.716e-5 * pow(warmth, 1.5) * (ICE_POINT + SUTHERLAND) / (temperature + SUTHERLAND)


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


def snow_conductivity_exponential(density: float) -> float:
    """Thermal conductivity of seasonal snow: exponential law, for the spread.

    Parameters
    ----------
    density : float
        Snow density [kg/m3].

    Returns
    -------
    float
        Effective conductivity [W/(m K)].

    Source
    ------
    Sturm et al. 1997, J. Glaciology 43(143), 10^(2.650 r - 1.652), r in g/cm3 (second-hand).

    Notes
    -----
    Range up to 600 kg/m3. Smooth.
    """
    return pow(10.0, 2.650 * density / 1000.0 - 1.652)


def snow_conductivity_power(density: float) -> float:
    """Thermal conductivity of seasonal snow: power law, for the spread.

    Parameters
    ----------
    density : float
        Snow density [kg/m3].

    Returns
    -------
    float
        Effective conductivity [W/(m K)].

    Source
    ------
    2.29 (r / 0.920)^1.88, r in g/cm3, as used by a weather forecasting model's land surface scheme
    (second-hand).

    Notes
    -----
    Smooth.
    """
    return 2.29 * pow(density / 920.0, 1.88)


def slab_transmittance(
    area: float, perimeter: float, wall: float, conductivity: float, resistance: float
) -> float:
    """Steady thermal transmittance of a floor slab on the ground.

    Parameters
    ----------
    area : float
        Floor area [m2].
    perimeter : float
        Exposed perimeter [m].
    wall : float
        Thickness of the surrounding wall [m].
    conductivity : float
        Conductivity of the ground [W/(m K)].
    resistance : float
        Thermal resistance of the floor's own layers, without films [m2 K/W].

    Returns
    -------
    float
        Transmittance per floor area between inside and outdoor air [W/(m2 K)].

    Source
    ------
    ISO 13370, slab on ground, with film resistances 0.17 inside and 0.04 outside (second-hand).

    Notes
    -----
    A floor heated for one night loses more than this. The two branches differ by 0.02 % where they meet.
    """
    width = area / (0.5 * perimeter)
    equivalent = wall + conductivity * (0.17 + resistance + 0.04)
    if equivalent < width:
        reach = pi * width
        return 2.0 * conductivity / (reach + equivalent) * log(reach / equivalent + 1.0)
    return conductivity / (0.457 * width + equivalent)
