"""Length of an elliptic arc, by Carlson's symmetric integrals in plain Python."""

from math import cos, sin, sqrt

CLOSE = 1e-3  # spread of the arguments at which the series below are exact to the last digits


def arc(across: float, up: float, angle: float) -> float:
    """Length of an ellipse's arc from the end of its level half axis up to an angle.

    Parameters
    ----------
    across, up : float
        Level and upright half axis, above 0 [m].
    angle : float
        By which the ellipse is drawn as (across cos, up sin), 0 to pi/2 [rad].

    Returns
    -------
    float
        Length [m].

    Source
    ------
    up E(angle, 1 - across^2/up^2); E by Carlson's integrals: NIST Digital Library of Mathematical Functions
    (dlmf.nist.gov), eq. 19.25.9; from memory, held to scipy.special in the tests.
    """
    s, m = sin(angle), 1.0 - (across / up) ** 2
    if s == 0.0:
        return 0.0
    first, second = carlson(cos(angle) ** 2, 1.0 - m * s * s)
    return up * s * (first - m * s * s / 3.0 * second)


def carlson(x: float, y: float) -> tuple[float, float]:
    """Carlson's symmetric elliptic integrals RF and RD of x, y and 1, by his duplication.

    Parameters
    ----------
    x, y : float
        0 or more, not both 0 [-].

    Returns
    -------
    tuple of float
        RF(x, y, 1) and RD(x, y, 1) [-].

    Source
    ------
    B. C. Carlson 1995, Numerical computation of real or complex elliptic integrals, Numerical Algorithms 10
    (from memory, series to fifth order as in NIST Digital Library of Mathematical Functions eq. 19.36.1 and 2).
    """
    z, share, summed = 1.0, 1.0, 0.0
    while max(abs(x - z), abs(y - z), abs(x - y)) > CLOSE * (x + y + z) / 3.0:
        shift = sqrt(x * y) + sqrt(y * z) + sqrt(z * x)
        summed += share / (sqrt(z) * (z + shift))
        x, y, z, share = (x + shift) / 4.0, (y + shift) / 4.0, (z + shift) / 4.0, share / 4.0
    return _first(x, y, z), 3.0 * summed + share * _second(x, y, z)


def _first(x: float, y: float, z: float) -> float:
    """RF of arguments that lie close together."""
    mean = (x + y + z) / 3.0
    a, b = 1.0 - x / mean, 1.0 - y / mean
    c = -a - b
    e2, e3 = a * b - c * c, a * b * c
    return (1.0 - e2 / 10.0 + e3 / 14.0 + e2 * e2 / 24.0 - 3.0 * e2 * e3 / 44.0) / sqrt(mean)


def _second(x: float, y: float, z: float) -> float:
    """RD of arguments that lie close together."""
    mean = (x + y + 3.0 * z) / 5.0
    a, b = 1.0 - x / mean, 1.0 - y / mean
    c = -(a + b) / 3.0
    ab, cc = a * b, c * c
    e2, e3, e4, e5 = ab - 6.0 * cc, (3.0 * ab - 8.0 * cc) * c, 3.0 * (ab - cc) * cc, ab * cc * c
    series = (
        1.0 - 3.0 * e2 / 14.0 + e3 / 6.0 + 9.0 * e2 * e2 / 88.0 - 3.0 * e4 / 22.0
        - 9.0 * e2 * e3 / 52.0 + 3.0 * e5 / 26.0
    )  # fmt: skip
    return series / (mean * sqrt(mean))
