"""A wall of two layers over a day: by the layers' own matrices, and by a network of its cells."""

from math import pi

import numpy as np

from simtent.network import Builder, tables

from .chains import Layer, between_airs, swing
from .walls_in_closed_form import admittances, films_and, ladder_matrix, layer_matrix

MASSIVE, SOFT = Layer(0.2, 1.8, 2.4e6), Layer(0.1, 0.04, 30.0 * 1400.0)
WALL, FILMS, DAILY = (MASSIVE, SOFT), (0.13, 0.04), 2.0 * pi / 86400.0
LAYERED = "0.2 m (1.8 W/(m K), 2.4e6 J/(m3 K)) inside, 0.1 m (0.04, 42e3) outside, films 0.13 and 0.04 m2 K/W"


def exact():
    """Admittance and periodic transmittance by the layers' own matrices."""
    return admittances(films_and([layer_matrix(layer, DAILY) for layer in WALL], FILMS))


def of_cells(cells):
    """The same of a network: what it lets in and out while the air inside swings by 1 K, that outside stays."""
    net = Builder(end=86400.0)
    one, nothing = tables.constant(1.0), tables.constant(0.0)
    between_airs(net, WALL, cells, FILMS, (one, nothing), 0.0)
    inside, outside = swing(net, DAILY)
    return inside, -outside


def told(y11, y12):
    """Y12, its shift, decrement over U, Y11, its lead, areal capacity."""
    u = 1.0 / (FILMS[0] + FILMS[1] + sum(layer.resistance for layer in WALL))
    hours = 24.0 / (2.0 * pi)
    return {
        "thermal transmittance, W/(m2 K)": u,
        "periodic transmittance, W/(m2 K)": abs(y12),
        "its time shift, h": float(np.angle(y12)) * hours,
        "decrement factor": abs(y12) / u,
        "inside admittance, W/(m2 K)": abs(y11),
        "its lead, h": float(np.angle(y11)) * hours,
        "inside areal heat capacity, kJ/(m2 K)": abs(y11 - y12) / DAILY / 1e3,
    }


def ladder(cells):
    """What a ladder of such cells must give, by its own matrices."""
    return admittances(films_and([ladder_matrix(layer, DAILY, cells) for layer in WALL], FILMS))
