"""A shelter's shape cut into horizontal bands: volume, section, and what every face has in each.

Every band is a difference of cumulative closed forms, so that the bands add up to the whole to round-off whatever
their number.
"""

from dataclasses import dataclass

import numpy as np

from simtent.geometry.face import Shape
from simtent.network.arrays import Array


@dataclass(frozen=True)
class Bands:
    """A shape cut at heights.

    edges     [n + 1] m, from 0 to the peak
    centres   [n] m
    volume    [n] m3
    section   [n - 1] m2, horizontal section at each inner edge
    faces     [faces, n] m2, area of each face in each band
    plans     [faces, n] m2, its shadow on the ground; negative where it overhangs
    """

    edges: Array
    centres: Array
    volume: Array
    section: Array
    faces: Array
    plans: Array


def edges_growing_upward(peak: float, layers: int, ratio: float = 1.1) -> Array:
    """Heights that cut `peak` [m] into layers, each thicker than the one below by `ratio` in 16 layers.

    With other numbers of layers the ratio changes so that top and bottom layer keep their proportion.
    """
    growth = ratio ** (15.0 / max(layers - 1, 1))
    heights = np.concatenate(([0.0], np.cumsum(growth ** np.arange(layers))))
    return np.asarray(peak * (heights / heights[-1]))  # in this order the last is the peak to the last digit


def cut(shape: Shape, edges: Array) -> Bands:
    """Cut a shape at the given edges [m]."""
    volume = np.diff([shape.volume_to(z) for z in edges])
    faces = np.array([np.diff([face.area_to(z) for z in edges]) for face in shape.faces])
    plans = np.array([np.diff([face.plan_to(z) for z in edges]) for face in shape.faces])
    section = np.array([shape.section_at(z) for z in edges[1:-1]])
    return Bands(edges, (edges[1:] + edges[:-1]) / 2.0, volume, section, faces, plans)
