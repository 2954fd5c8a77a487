"""Exact exchange of long waves in boxes, ridge tents and domes: view factors in closed form, and the radiosity method.

Faces of a box: floor, ceiling, two long walls, two short ones.
"""

from math import atan, log, pi, sqrt

import numpy as np
from scipy.constants import Stefan_Boltzmann as SIGMA

from simtent.physics.radiation import black_exchange


def parallel(a, b, c):
    """View factor between aligned equal rectangles a x b at the distance c (second-hand, checked by closure)."""
    x, y = a / c, b / c
    return (2.0 / (pi * x * y)) * (
        log(sqrt((1 + x * x) * (1 + y * y) / (1 + x * x + y * y)))
        + x * sqrt(1 + y * y) * atan(x / sqrt(1 + y * y))
        + y * sqrt(1 + x * x) * atan(y / sqrt(1 + x * x))
        - x * atan(x)
        - y * atan(y)
    )


def perpendicular(width, height, edge):
    """View factor from a rectangle width x edge to one of height x edge, at right angles along the edge (memory)."""
    w, h = (width / edge) ** 2, (height / edge) ** 2
    both = w + h
    logs = (
        log((1 + w) * (1 + h) / (1 + both))
        + w * log(w * (1 + both) / ((1 + w) * both))
        + h * log(h * (1 + both) / ((1 + h) * both))
    )
    angles = sum(sign * sqrt(it) * atan(1 / sqrt(it)) for sign, it in ((1, w), (1, h), (-1, both)))
    return (angles + logs / 4.0) / (pi * sqrt(w))


def box_areas(long, short, tall):
    """Areas of a box's faces [m2]."""
    level, along, across = long * short, long * tall, short * tall
    return np.array([level, level, along, along, across, across])


def box_views(long, short, tall):
    """View factors of a box, row by row from each face."""
    views = np.zeros((6, 6))
    for first, facing in ((0, (long, short, tall)), (2, (long, tall, short)), (4, (short, tall, long))):
        views[first, first + 1] = views[first + 1, first] = parallel(*facing)
    views[:2, 2:4], views[:2, 4:] = perpendicular(short, tall, long), perpendicular(long, tall, short)
    views[2:4, :2], views[2:4, 4:] = perpendicular(tall, short, long), perpendicular(long, short, tall)
    views[4:, :2], views[4:, 2:4] = perpendicular(tall, long, short), perpendicular(short, long, tall)
    return views


def ridge_views(floor, side):
    """View factors of a long ridge tent, floor and two sides, by crossed strings."""
    widths = np.array([floor, side, side])
    views = np.zeros((3, 3))
    for i in range(3):
        for j in range(3):
            if i != j:
                views[i, j] = (widths[i] + widths[j] - widths[3 - i - j]) / (2.0 * widths[i])
    return views


def exact_fluxes(views, emissivity, kelvin):
    """Net flux that leaves each face of a grey enclosure [W/m2]: the radiosity method, closed form."""
    emitted = emissivity * SIGMA * kelvin**4
    radiosity = np.linalg.solve(np.eye(len(kelvin)) - (1 - emissivity) * views, emitted)
    return radiosity - views @ radiosity


def star_fluxes(weights, areas, kelvin):
    """Net flux that leaves each face through a star's middle [W/m2]."""
    middle = (weights @ kelvin**4 / weights.sum()) ** 0.25
    return np.array(
        [g * black_exchange(t, middle) / a for g, t, a in zip(weights, kelvin, areas, strict=True)]
    )
