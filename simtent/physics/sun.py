"""Where the sun stands, from date, latitude and the time since solar noon alone."""

from math import cos, pi, sin

DAY = 86400.0  # s
SOLAR_CONSTANT = 1366.1  # W/m2, ASTM E490-00a, from memory


def day_angle(day: float) -> float:
    """The earth's place on its way round the sun.

    Parameters
    ----------
    day : float
        Day of the year at solar noon, 1 on 1 January; between noons a number between [days].

    Returns
    -------
    float
        Angle since 1 January, 2 pi a year [rad].

    Source
    ------
    Spencer 1971, Search 2(5), 172 (second-hand): 2 pi (day - 1) / 365.
    """
    return 2.0 * pi * (day - 1.0) / 365.0


def declination(angle: float) -> float:
    """Angle of the sun above the plane of the equator.

    Parameters
    ----------
    angle : float
        Day angle [rad].

    Returns
    -------
    float
        Declination, positive in the northern summer [rad].

    Source
    ------
    Spencer 1971, Search 2(5), 172 (second-hand, by way of Iqbal 1983): a Fourier series in the day angle.

    Notes
    -----
    Against exact places at noon of 2026 to 2033 up to 0.56 degrees off at the equinoxes, by leap years and by what the
    calendar has moved since the series was made; 0.03 degrees at the solstices. Half a degree is 3 minutes of sunset
    at middle latitudes.

    Examples
    --------
    >>> round(declination(day_angle(172.0)) * 180.0 / pi, 1)
    23.5
    """
    return (
        0.006918
        - 0.399912 * cos(angle)
        + 0.070257 * sin(angle)
        - 0.006758 * cos(2.0 * angle)
        + 0.000907 * sin(2.0 * angle)
        - 0.002697 * cos(3.0 * angle)
        + 0.001480 * sin(3.0 * angle)
    )


def outside_the_air(angle: float) -> float:
    """Sunshine above the atmosphere on a plane that faces the sun.

    Parameters
    ----------
    angle : float
        Day angle [rad].

    Returns
    -------
    float
        Irradiance [W/m2].

    Source
    ------
    Spencer 1971, Search 2(5), 172 (second-hand, by way of Iqbal 1983): the square of mean over true distance; solar
    constant of ASTM E490-00a, 1366.1 W/m2 (from memory; satellites since say 1361).
    """
    nearer = (
        1.000110
        + 0.034221 * cos(angle)
        + 0.001280 * sin(angle)
        + 0.000719 * cos(2.0 * angle)
        + 0.000077 * sin(2.0 * angle)
    )
    return SOLAR_CONSTANT * nearer


def sine_of_height(latitude: float, declination: float, since_noon: float) -> float:
    """How high the sun stands, without the bending of its light by the air.

    Parameters
    ----------
    latitude : float
        Positive in the north [rad].
    declination : float
        Of the sun [rad].
    since_noon : float
        Time since solar noon, negative before it [s].

    Returns
    -------
    float
        Sine of the angle between horizon and the sun's middle, negative at night [-].

    Source
    ------
    Spherical trigonometry: sin lat sin decl + cos lat cos decl cos(hour angle), 15 degrees an hour.

    Notes
    -----
    The bent light and the sun's own width make a seen sunrise 4 minutes earlier at middle latitudes.

    Examples
    --------
    >>> round(sine_of_height(pi / 3.0, 0.0, 0.0), 6)
    0.5
    """
    turned = cos(2.0 * pi * since_noon / DAY)
    return sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * turned
