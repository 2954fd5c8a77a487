"""Snow, films, airspaces, sky and mixing calculated a second time, their sources named beside them."""

import math

SIGMA = 5.670374419e-8  # W/(m2 K4), CODATA 2018
ICE = 273.15  # K


def snow_conductivity(density):
    """Sturm et al. 1997 (second-hand), density in g/cm3 in the quadratic and in the line below 0.156."""
    r = density / 1000.0
    return 3.233 * r**2 - 1.01 * r + 0.138 if r >= 0.156 else 0.234 * r + 0.023


def walton(surface, air, up, thin):
    """Walton 1983 (US DOE Engineering Reference): W/m2 from surface to air; (p/p0)^(2/3) since Nu goes as Ra^(1/3)."""
    d = surface - air
    rising = (d > 0.0 and up > 0.0) or (d < 0.0 and up < 0.0)
    h = 9.482 / (7.238 - abs(up)) if rising else 1.810 / (1.382 + abs(up))
    return h * abs(d) ** (1.0 / 3.0) * thin ** (2.0 / 3.0) * d


def airspace(inner, outer, thickness, up):
    """ISO 6946 (from memory): W/m2 through an airspace without radiation, `up`: the inner face's normal to straight up.

    Within 30 degrees of horizontal flow the horizontal value; from there linear in |cos| to a level gap's.
    """
    d = inner - outer
    size = abs(d)
    conducted = 0.025 / thickness
    horizontal = max(conducted, 1.25, 0.73 * size ** (1.0 / 3.0))
    upward = (up < 0.0 and d > 0.0) or (up > 0.0 and d < 0.0)
    if upward:
        level = max(conducted, 1.95, 1.14 * size ** (1.0 / 3.0))
    else:
        level = max(conducted, 0.12 * thickness**-0.44, 0.09 * size**0.187 * thickness**-0.44)
    lean = max(0.0, (abs(up) - 0.5) / 0.5)
    return (horizontal + lean * (level - horizontal)) * d


def sky_temperature(air, humidity, cloud):
    """Magnus over water (WMO), Clark and Allen 1978, cloud by e + (1 - e) C (all second-hand or from memory)."""
    vapour = max(humidity, 0.01) * 611.2 * math.exp(17.62 * (air - ICE) / (243.12 + air - ICE))
    x = math.log(vapour / 611.2)
    dew = ICE + 243.12 * x / (17.62 - x)
    clear = 0.787 + 0.764 * math.log(dew / ICE)
    return air * (clear + (1.0 - clear) * cloud) ** 0.25


def mixing_conductivity(gradient):
    """0.6 W/(m K) where it is warmer above, 30 where colder by 1 K/m, a smooth cubic between (from memory)."""
    s = min(max(-gradient, 0.0), 1.0)
    return 0.6 + 29.4 * (3.0 * s**2 - 2.0 * s**3)
