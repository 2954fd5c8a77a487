"""Plumes, currents, openings and streams calculated a second time, their sources named beside them.

A width over which something passes smoothly is the package's own choice, repeated here: there is nothing else to
hold it to.
"""

import math

R_AIR = 287.055  # J/(kg K)
CP = 1006.0  # J/(kg K), air
G = 9.80665  # m/s2
DRAWN_IN = 0.127  # entrainment of a plume evenly spread over its width (EnergyPlus Engineering Reference)
# A whole circle, half of one and a quarter of one take in air: mirror images (CFAST Technical Reference Guide).
BESIDE = {"free": 1.0, "at a wall": 2.0 ** (-2.0 / 3.0), "in a corner": 4.0 ** (-2.0 / 3.0)}


def density(temperature, pressure):
    """Ideal gas [kg/m3]."""
    return pressure / (R_AIR * temperature)


def positive(x, width):
    """The positive part, rounded over a width."""
    return (x + math.hypot(x, width)) / 2.0


def buoyancy(watts, pressure):
    """g Q / (rho cp T), with rho T = p / R [m4/s3]."""
    return G * watts * R_AIR / (CP * pressure)


def plume_width(watts, pressure, beside):
    """Morton, Taylor and Turner: V = C B^(1/3) z^(5/3); what V^(3/5) gains on a metre, beside walls less of V."""
    flux = buoyancy(watts, pressure)
    if flux <= 0.0:
        return 0.0
    factor = 6.0 * DRAWN_IN / 5.0 * (9.0 * DRAWN_IN / 10.0) ** (1.0 / 3.0) * math.pi ** (2.0 / 3.0)
    setting_in = (flux**2 / (flux**2 + 1e-10)) ** 0.9  # a third of a watt
    return (beside * factor) ** 0.6 * flux**0.2 * setting_in


def below_the_source(watts, across, pressure):
    """Heskestad (CFAST Technical Reference Guide): the plume seems to come from D (1.02 - 1.4 Q*^0.4) below [m]."""
    share = 0.0
    if watts > 0.0:
        heat = buoyancy(watts, pressure) / (
            G * math.sqrt(G * across) * across**2
        )  # Q / (rho cp T sqrt(g D) D2)
        share = heat**0.4 * (heat**2 / (heat**2 + 9e-8)) ** 1.3
    return across * (0.1 + positive(1.02 - 1.4 * share - 0.1, 0.02))


def further(drive, flow, ahead):
    """Share of a stream that goes on to air that is `ahead` [K] further in the stream's own sense.

    `drive` is its heat beyond the air it is in [W], `flow` in kg/s. Between both airs it is shared by a cubic over what
    lies between them, at least 0.1 K.
    """
    x = drive / (CP * flow * math.hypot(positive(ahead, 0.2), 0.1) + 1e-9)
    x = min(max(x, 0.0), 1.0)
    return x**2 * (3.0 - 2.0 * x)


def current(watts, apart):
    """Togari et al. 1993 (memory): air that goes a quarter of the way to the surface's temperature takes the heat.

    Within 0.05 K of the surface's temperature, where it turns, it comes to stand.
    """
    return 4.0 * watts * apart / (CP * (apart**2 + 0.05**2))


def rising_share(apart):
    """Share of a surface's air that rises; it turns to falling within 0.05 K."""
    return (1.0 + apart / math.hypot(apart, 0.05)) / 2.0


def through(drive, area, kind, out, inside):
    """Mass that a pressure [Pa] drives in through an area [m2], rounded over 0.01 Pa [kg/s]; densities in kg/m3.

    "sharp": C_d A sqrt(2 rho d), C_d .6; "leak": a leakage area at 4 Pa, L sqrt(2 4/rho) (d/4)^.65 (Modelica
    Buildings Library, LBNL; exponent by ASHRAE 1997, second-hand). The air is as dense as where it comes from.
    """
    size = math.hypot(drive, 0.01)
    root = (math.sqrt(out) + math.sqrt(inside)) / 2.0
    root += (math.sqrt(out) - math.sqrt(inside)) / 2.0 * drive / size
    if kind == "sharp":
        return 0.6 * area * math.sqrt(2.0 / size) * root * drive
    return area * math.sqrt(8.0) * (size / 4.0) ** 0.65 * root * drive / size


def carried(flow, conductance, here, there):
    """Heat from here to there by a stream [kg/s] and mixing [W/K] together, exact between two points [W].

    Temperatures above any zero. Half the sum is carried, and what mixes grows to half of what is carried.
    """
    stream = CP * flow
    half = stream / (2.0 * conductance)
    mixes = conductance * (half / math.tanh(half) if abs(half) > 1e-4 else 1.0 + half**2 / 3.0)
    return stream * (here + there) / 2.0 + mixes * (here - there)
