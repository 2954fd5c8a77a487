"""Colours that are evenly apart to the eye, by CIE 1976 L*a*b* over sRGB (IEC 61966-2-1), white point D65."""

from collections.abc import Sequence

import matplotlib as mpl
import numpy as np

from simtent.assess.curves import Floats

WHITE = np.array([0.95047, 1.0, 1.08883])  # D65, CIE 1931 observer
TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
KNEE = 6.0 / 29.0  # of the cube root's straight beginning
FINE = 400  # points of the path from which the even ones are taken


def even(ends: Sequence[str], count: int) -> list[str]:
    """That many colours along the path through the given ones, neighbours equally far apart in L*a*b*."""
    knots = np.array([to_lab(np.array(mpl.colors.to_rgb(end))) for end in ends])
    at, fine = np.linspace(0.0, 1.0, len(ends)), np.linspace(0.0, 1.0, FINE)
    path = np.column_stack([np.interp(fine, at, axis) for axis in knots.T])
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    wanted = np.linspace(0.0, length[-1], max(count, 2))[:count]
    chosen = np.column_stack([np.interp(wanted, length, axis) for axis in path.T])
    return [mpl.colors.to_hex(tuple(to_rgb(lab).tolist())) for lab in chosen]


def to_lab(rgb: Floats) -> Floats:
    """L*, a*, b* of a colour given as red, green, blue from 0 to 1."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    shares = TO_XYZ @ linear / WHITE
    x, y, z = np.where(shares > KNEE**3, np.cbrt(shares), shares / (3.0 * KNEE**2) + 4.0 / 29.0)
    return np.array([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)])


def to_rgb(lab: Floats) -> Floats:
    """Red, green, blue from 0 to 1 of a colour given as L*, a*, b*; cut to what a screen can show."""
    middle = (lab[0] + 16.0) / 116.0
    roots = np.array([middle + lab[1] / 500.0, middle, middle - lab[2] / 200.0])
    shares = np.where(roots > KNEE, roots**3, 3.0 * KNEE**2 * (roots - 4.0 / 29.0))
    linear = np.clip(np.linalg.solve(TO_XYZ, shares * WHITE), 0.0, 1.0)
    curved = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1.0 / 2.4) - 0.055)
    return np.asarray(np.clip(curved, 0.0, 1.0))
