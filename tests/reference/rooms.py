"""The two-capacity room of VDI 6007-1 from plain parts of a network, and the hourly means the standard prints."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from simtent.network import Accuracy, Builder, tables
from tests.network.plain import run

HOUR, DAY, DAYS = 3600.0, 86400.0, 60
START = 295.15  # K, outdoors too
OUTER, INNER = 10.5, 75.5  # m2 of outer and inner surfaces
OUTSIDE, OUTER_FILM, INNER_FILM, RADIATION = 25.0, 2.7, 2.24, 5.0  # W/(m2 K)
HARDLY_ANY = 1.0  # J/K of air and faces, which the standard gives none: they follow within 0.01 s


class Room(NamedTuple):
    """Resistances [K/W] and capacities [J/K]: outer surface to mass, mass to outdoors, mass, inner surface, mass."""

    outer: float
    rest: float
    outer_mass: float
    inner: float
    inner_mass: float


HEAVY = Room(0.00436791293674, 0.03895919557, 1600848.94, 0.000595693407511, 14836354.6282)
LIGHT = Room(0.00404935160802, 0.039330865, 47900.0, 0.003237138, 7297100.0)
CASES = {1: (HEAVY, False), 2: (HEAVY, True), 3: (LIGHT, False)}  # room, whether the source is radiant


def means(text):
    """A printed row: 24 hourly means [degC]."""
    return tuple(float(word) for word in text.split())


PRINTED = {
    (1, 1): means(
        "22 22 22 22 22 22 27.7 27.9 28.1 28.4 28.6 28.8 29 29.2 29.4 29.6 29.8 30 24.5 24.5 24.5 24.5 24.5 24.5"
    ),
    (1, 10): means(
        "37.7 37.6 37.5 37.5 37.4 37.3 43 43.2 43.3 43.5 43.6 43.8 43.9 44.1 44.3 44.4 44.6 44.7 39.1 39.1 39 38.9 "
        "38.9 38.8"
    ),
    (1, 60): means(
        "49.9 49.8 49.7 49.6 49.4 49.3 54.9 55.1 55.2 55.3 55.4 55.5 55.6 55.7 55.8 55.9 56.1 56.2 50.6 50.4 50.3 "
        "50.2 50.1 50"
    ),
    (2, 1): means(
        "22 22 22 22 22 22 22.6 22.9 23.1 23.3 23.5 23.7 23.9 24.1 24.3 24.6 24.8 25 24.5 24.5 24.5 24.5 24.5 24.5"
    ),
    (2, 10): means(
        "37.7 37.7 37.6 37.5 37.5 37.4 38 38.2 38.3 38.5 38.6 38.8 38.9 39.1 39.2 39.4 39.5 39.7 39.2 39.1 39.1 39 "
        "38.9 38.9"
    ),
    (2, 60): means(
        "50 49.9 49.8 49.7 49.6 49.5 50 50.1 50.2 50.3 50.5 50.6 50.7 50.8 50.9 51 51.1 51.2 50.7 50.6 50.4 50.3 "
        "50.2 50.1"
    ),
    (3, 1): means(
        "22 22 22 22 22 22 30.2 30.8 31.2 31.6 32 32.4 32.8 33.2 33.6 34 34.3 34.7 26.9 26.7 26.7 26.6 26.6 26.6"
    ),
    (3, 10): means(
        "43.7 43.5 43.4 43.2 43 42.9 50.9 51.3 51.6 51.8 52.1 52.3 52.5 52.8 53 53.3 53.5 53.7 45.8 45.4 45.3 45.1 "
        "44.9 44.7"
    ),
    (3, 60): means(
        "48.7 48.5 48.3 48.1 47.9 47.7 55.7 56 56.3 56.5 56.7 56.9 57.1 57.3 57.5 57.7 57.9 58.1 50.1 49.8 49.5 "
        "49.3 49.1 48.9"
    ),
}


def built(room, radiant):
    """The network, its air, and a path for each way heat enters; 1 kW from 6 to 18 h every day."""
    net = Builder(end=DAYS * DAY)
    outdoors = net.boundary(tables.constant(START))
    loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    air, outer_face, inner_face = (net.node(HARDLY_ANY, start=START, group="air") for _ in range(3))
    outer_mass = net.node(room.outer_mass, start=START, group="mass")
    inner_mass = net.node(room.inner_mass, start=START, group="mass")
    net.link(outdoors, outer_mass, 1.0 / (1.0 / (OUTSIDE * OUTER) + room.rest), loss)
    net.link(outer_mass, outer_face, 1.0 / room.outer)
    net.link(inner_mass, inner_face, 1.0 / room.inner)
    net.link(outer_face, air, OUTER_FILM * OUTER)
    net.link(inner_face, air, INNER_FILM * INNER)
    net.link(outer_face, inner_face, RADIATION * OUTER)
    moments = [day * DAY + hour * HOUR for day in range(DAYS) for hour in (6, 18)]
    source = net.table(tables.steps(moments, [1000.0, 0.0] * DAYS))
    if radiant:
        net.source(outer_face, source, OUTER / (OUTER + INNER), gain)
        net.source(inner_face, source, INNER / (OUTER + INNER), gain)
    else:
        net.source(air, source, 1.0, gain)
    return net, air


@lru_cache
def hourly_means(number):
    """Mean temperature of the air in each hour of the 60 days of a case [degC], shape (days, 24).

    The rise of the air is integrated with the state, so that the means are exact.
    """
    net, air = built(*CASES[number])
    summed = net.place(net.amount("rise over time", scale=HOUR))

    def add(_t, state, slope):
        slope[summed] = state[air] - START

    hours = np.arange(DAYS * 24 + 1) * HOUR
    states = run(net, hours, Accuracy(rtol=1e-8, atol=1e-6), more=add).states
    return (np.diff(states[:, summed]) / HOUR + START - 273.15).reshape(DAYS, 24)
