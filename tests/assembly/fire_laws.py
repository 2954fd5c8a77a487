"""Wood, fire, flue gas and hot metal calculated a second time: every law written anew, its source named beside it.

A constant without a better source is the package's own choice, repeated here: there is nothing else to hold it to.
"""

import itertools
import math

SIGMA = 5.670374419e-8  # W/(m2 K4), CODATA 2018
ICE = 273.15  # K
STEAM = 2.443e6  # J/kg, water evaporated at 25 degC
GLOW = 30e6  # J/kg of char, cone calorimeter (MaCFP wood set)
CHAR = 0.176  # of dry wood, mean of 57 cone runs (MaCFP wood set)
ASH = 0.005  # of dry wood, from memory
PER_AIR = 3.03e6  # J per kg of air: .2314 x 13.1 MJ, rounded


def least_of(a, b, power):
    """The lesser of two rates, rounded: the root of a sum of negative powers, written so that 0 is allowed."""
    return a * b / (a**power + b**power) ** (1.0 / power) if a and b else 0.0


def passage(x):
    """From 0 to 1, level at both ends."""
    x = 0.0 if x < 0.0 else 1.0 if x > 1.0 else x
    return 3.0 * x**2 - 2.0 * x**3


def positive(x, width):
    """The positive part, rounded over a width."""
    return (x + math.hypot(x, width)) / 2.0


def free_time(thickness):
    """Babrauskas (SFPE Handbook, second-hand): D / (2 v), v = 2.2e-6 D^-0.6 m/s."""
    return thickness / (2.0 * 2.2e-6 * thickness**-0.6)


def rate_of_rest(burnt):
    """Two humps over the burnt share (MaCFP wood set; the form is the package's), by what is left [-]."""
    humps = 1.0
    for at, width, height in ((0.05, 0.07, 1.4), (0.81, 0.14, 0.70)):
        humps += height * math.exp(-(((burnt - at) / width) ** 2))
    return 0.92405 * humps / math.hypot(1.0 - burnt, 0.08)


def feedback(hot, floor):
    """Albini and Reinhardt 1995 (second-hand): film and radiation to a face at 650 K, over that at 873 K."""

    def flux(temperature):
        film = 12.0 + SIGMA / 2.0 * (temperature + 650.0) * (temperature**2 + 650.0**2)
        return film * positive(temperature - 650.0, 30.0)

    ratio = flux(hot) / flux(873.0)
    return floor + (1.0 - floor) * least_of(ratio, 3.0, 4)


def caught(elapsed, thickness):
    """A minute for kindling, five for splits of 90 mm (common practice)."""
    return passage(elapsed / (20.0 + 3000.0 * thickness))


def dry_ahead(wet, left):
    """Share of the rest that is dry, rounded over a thousandth; the form is the package's."""
    free = positive(left - wet, 1e-3)
    return 1.001 * free / (free + wet + 1e-3)


def to_the_wet_core(thickness, wet):
    """A cylinder's dry shell, R ln(R/r)/k, the core's share of the volume (r/R)^2; 50 W/(m2 K) outside [W/(m2 K)]."""
    core = 1e-6 if wet < 1e-6 else 1.0 if wet > 1.0 else wet
    radius = thickness / 2.0
    return 1.0 / (1.0 / 50.0 + radius * math.log(1.0 / math.sqrt(core)) / 0.12)


def coals_burnt(coals, air, rate):
    """Plenty of air: a share of the bed; short of it: 11 kg of air at an air ratio of 2 per kg (memory) [kg/s]."""
    return least_of(rate * coals, air / 22.0, 4)


def set_free(hot, air_ratio):
    """Share of the gas's heat: .53 smouldering, .957 flaming; the passages are the package's."""
    return 0.53 + 0.427 * passage((hot - 480.0) / 270.0) * passage(air_ratio - 1.0)


def dioxide_of(heat, air):
    """EN 13384-1 Annex B (second-hand): s = 20.5 / air ratio, bounded by eighth powers; none without air [%]."""
    possible = PER_AIR * max(air, 0.0)
    whole = (heat**8 + possible**8 + 1.0) ** 0.125
    return 20.5 * possible**2 / (possible**2 + 100.0) * heat / whole


def gas_heat_capacity(temperature, s):
    """EN 13384-1 Annex B (second-hand) to 500 degC, then a line of 0.20 J/(kg K2) (fitted) [J/(kg K)]."""
    t = temperature - ICE
    low = min(t, 500.0)
    top = 1011.0 + 0.05 * low + 0.0003 * low**2 + (15.4 + 0.016 * low - 1.1e-5 * low**2) * s
    return top / (1.0 + 0.0111 * s) + 0.2 * (t - low)


def gas_enthalpy(temperature, s):
    """Integral of the heat capacity from 25 degC by Simpson's rule, exact for its parabola and its line [J/kg]."""

    def over(a, b):
        ends = gas_heat_capacity(a, s) + gas_heat_capacity(b, s)
        return (b - a) / 6.0 * (ends + 4.0 * gas_heat_capacity((a + b) / 2.0, s))

    kink = 773.15
    return over(298.15, min(temperature, kink)) + (over(kink, temperature) if temperature > kink else 0.0)


def gas_constant(s):
    """EN 13384-1 Annex B (second-hand) [J/(kg K)]."""
    return 288.0 - 0.0288 * s


def viscosity(temperature):
    """EN 13384-1 Annex B (second-hand) [Pa s]."""
    t = temperature - ICE
    return 1e-6 * (15.0 + 0.047 * t - 2e-5 * t**2)


def reynolds_of(flow, temperature, diameter):
    """Never below 20 (the package's rounding)."""
    return math.hypot(4.0 * flow / (math.pi * diameter * viscosity(temperature)), 20.0)


def friction(reynolds, rough):
    """64/Re and Colebrook 1939 above Re 2300 (Haaland's start, two substitutions), by eighth powers."""
    over = (reynolds + 2300.0 + math.hypot(reynolds - 2300.0, 200.0)) / 2.0
    x = -1.8 * math.log10(6.9 / over + (rough / 3.7) ** 1.11)
    for _ in range(2):
        x = -2.0 * math.log10(rough / 3.7 + 2.51 * x / over)
    return ((64.0 / reynolds) ** 8 + (1.0 / x**2) ** 8) ** 0.125


def pipe_film(flow, temperature, diameter, length, roughness):
    """EN 13384-1's Nusselt number (second-hand) and Hausen's laminar one (memory), by eighth powers [W/(m2 K)]."""
    conductivity = 0.0223 + 6.5e-5 * (temperature - ICE)
    prandtl = viscosity(temperature) * gas_heat_capacity(temperature, 8.0) / conductivity
    re = reynolds_of(flow, temperature, diameter)
    rougher = (friction(re, roughness / diameter) / friction(re, 0.0)) ** 0.67
    turbulent = 0.0214 * rougher * max(re**0.8 - 100.0, 0.0) * prandtl**0.4
    turbulent *= 1.0 + (diameter / length) ** 0.67
    graetz = re * prandtl * diameter / length
    laminar = 3.66 + 0.0668 * graetz / (1.0 + 0.04 * graetz ** (2.0 / 3.0))
    return (turbulent**8 + laminar**8) ** 0.125 * conductivity / diameter


def gas_glow(gas, wall, s):
    """Grey gas of emissivity .12 s/(s + 4) (fitted to grey gases from memory) [W/(m2 K)]."""
    return 0.12 * s / (s + 4.0) * SIGMA * (gas**4 - wall**4) / (gas - wall)


def bend(angle):
    """EN 13384-1 table B.8 (second-hand): .1 .3 .4 .7 1.6 at 10 30 45 60 90 degrees."""
    table = ((0.0, 0.0), (10.0, 0.1), (30.0, 0.3), (45.0, 0.4), (60.0, 0.7), (90.0, 1.6))
    degrees = math.degrees(angle)
    for (low, one), (high, other) in itertools.pairwise(table):
        if degrees <= high:
            return one + (other - one) * (degrees - low) / (high - low)
    return 1.6 + (degrees - 90.0) * 0.03


def plate(share):
    """Idelchik's butterfly valve (memory): a jet contracted to C times the opening; 2 % stay open around it."""
    free = math.hypot(share, 0.02)
    contraction = 0.41859 + 0.67960 * math.sqrt(free) - 0.45218 * free
    return (1.0 / (contraction * free) - 1.0) ** 2


def pipe_resistance(flow, temperature, diameter, length, losses, roughness, s, pressure):
    """EN 13384-1 (memory): (psi L/D + sum zeta) rho w^2 / 2, over the square of the mass flow [Pa/(kg/s)2]."""
    section = math.pi * (diameter / 2.0) ** 2
    density = pressure / (gas_constant(s) * temperature)
    psi = friction(reynolds_of(flow, temperature, diameter), roughness / diameter)
    return (psi * length / diameter + losses) / (2.0 * density * section**2)


def hot_face(surface, air, wind, thin):
    """1.31 |d|^(1/3), thinner air by p^(2/3), and the wind's 4 v, by cubes [W/m2 from surface to air]."""
    d = surface - air
    still = 1.31 * WALL * abs(d) ** (1.0 / 3.0) * thin ** (2.0 / 3.0)
    return (still**3 + (4.0 * wind) ** 3) ** (1.0 / 3.0) * d


WALL = 1.810 / 1.382 / 1.31  # Walton's factor on a wall is printed as 1.31


STEEL = (7850.0, (425.0, 0.773, -1.69e-3, 2.22e-6))  # EN 1993-1-2 (from memory): kg/m3, J/(kg K) over degC
TITANIUM = (4500.0, (560.0, 0.0, 0.0, 0.0))  # from memory


def heat_in(metal, temperature):
    """Heat in a metal above 0 degC, its heat capacity constant above 600 degC [J/kg]."""
    _, c = metal
    t = temperature - ICE
    low = min(t, 600.0)
    inside = sum(a * low ** (k + 1) / (k + 1) for k, a in enumerate(c))
    return inside + (t - low) * sum(a * low**k for k, a in enumerate(c))
