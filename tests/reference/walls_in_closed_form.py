"""Walls and soil without a network: a slab's series, ISO 13786's matrices, a ladder of cells, the half space."""

from math import erfc, pi, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.special import erfcx

TERMS = 40


def roots(biot):
    """The first roots of z tan z = Bi."""
    gap = 1e-12
    return np.array(
        [
            brentq(lambda z: z * np.sin(z) - biot * np.cos(z), n * np.pi + gap, (n + 0.5) * np.pi - gap)
            for n in range(TERMS)
        ]
    )


def slab(fourier, biot, x):
    """What is left of a slab's excess at x of its half thickness, 0 where nothing passes, 1 at the film's face."""
    z = roots(biot)
    return float(
        (4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z)) * np.exp(-(z**2) * fourier) * np.cos(z * x)).sum()
    )


def layer_matrix(layer, omega):
    """Temperature and flux on one side of a layer from those on the other, at omega [1/s]."""
    x = layer.thickness * np.sqrt(1j * omega * layer.capacity / layer.conductivity)
    return np.array(
        [
            [np.cosh(x), layer.resistance / x * np.sinh(x)],
            [x / layer.resistance * np.sinh(x), np.cosh(x)],
        ]
    )


def ladder_matrix(layer, omega, cells):
    """The same for equal cells, the capacity of each in the middle of its resistance."""
    half = np.array([[1.0, layer.resistance / cells / 2.0], [0.0, 1.0]])
    store = np.array([[1.0, 0.0], [1j * omega * layer.capacity * layer.thickness / cells, 1.0]])
    return np.linalg.matrix_power(half @ store @ half, cells)


def films_and(matrices, films):
    """Air to air."""
    inside, outside = (np.array([[1.0, resistance], [0.0, 1.0]]) for resistance in films)
    whole = inside
    for matrix in matrices:
        whole = whole @ matrix
    return whole @ outside


def admittances(matrix):
    """Inside admittance Y11 and periodic transmittance Y12 [W/(m2 K), complex]."""
    return matrix[1, 1] / matrix[0, 1], 1.0 / matrix[0, 1]


def diffused(ground, time):
    """Square root of diffusivity times time [m]."""
    return sqrt(ground.conductivity / ground.capacity * time)


def flow_into(ground, time, film=None):
    """Into a half space under a step of 1 K at its face, or behind a film [W/m2]."""
    if film is None:
        return ground.conductivity / (sqrt(pi) * diffused(ground, time))
    return film * float(erfcx(film * diffused(ground, time) / ground.conductivity))


def left_at(ground, time, depth):
    """Share of the step at a depth [m] of a half space."""
    return erfc(depth / (2.0 * diffused(ground, time)))


def heat_behind_film(ground, time, film):
    """Taken by a half space behind a film [J/m2]: the integral of its flow."""
    x = film * diffused(ground, time) / ground.conductivity
    grown = float(erfcx(x)) - 1.0 + 2.0 * x / sqrt(pi)
    return ground.conductivity * ground.capacity / film * grown
