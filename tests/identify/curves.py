"""Densities whose shares and moments are known by closed forms."""

import numpy as np

COVARIANCE = np.array([[1.0, 0.8, 0.0], [0.8, 4.0, -0.5], [0.0, -0.5, 0.25]])
BEND, THIN = 1.5, 0.5


def wide(p, far=50.0):
    return np.full(p, -far), np.full(p, far)


def bell(points):
    """Normal, mean 0."""
    return -0.5 * np.einsum("np,pq,nq->n", points, np.linalg.inv(COVARIANCE), points)


def banana(points):
    """x is standard normal, y - BEND x^2 normal of deviation THIN: y has mean BEND, variance 2 BEND^2 + THIN^2."""
    x, y = points.T
    return -0.5 * (x**2 + ((y - BEND * x**2) / THIN) ** 2)


def cauchy(points):
    """A target without a mean, each coordinate by itself."""
    return -np.log1p(points**2).sum(axis=1)


def two_hills(points):
    """Two normal hills of deviation 1, 16 apart."""
    return np.logaddexp(*(-0.5 * ((points - middle) ** 2).sum(axis=1) for middle in (-8.0, 8.0)))
