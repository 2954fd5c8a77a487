"""The shelter's shape cut into horizontal bands: volume, wall, roof and section of each, by closed formulas.

A shape is a small set of functions of height. Every band is a difference of cumulative closed forms, so that
the bands add up to the whole to round-off whatever their number.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from simtent.network.arrays import Array

FACETS_OF_A_CURVE = 12  # a curved wall sees itself: as facets, none of which sees its own strip


@dataclass(frozen=True)
class Face:
    """A set of equal flat planes that stand or lean alike.

    part       "wall" or "roof"
    tilt_up    cosine of the angle between the outward normal and straight up [-]: 0 wall, 1 flat roof
    planes     how many equal planes there are [-]
    area_to    area of all of them below a height [m2], given that height [m]
    """

    part: str
    tilt_up: float
    planes: int
    area_to: Callable[[float], float]


@dataclass(frozen=True)
class Shape:
    """A shelter's outline.

    peak         height of the highest point [m]
    wall_top     height up to which walls stand, gables included [m]
    floor_area   [m2]
    perimeter    of the floor [m]
    volume_to    volume below a height [m3]
    section_at   horizontal section at a height [m2]
    faces        walls and roofs
    """

    peak: float
    wall_top: float
    floor_area: float
    perimeter: float
    volume_to: Callable[[float], float]
    section_at: Callable[[float], float]
    faces: tuple[Face, ...]


def box(length: float, width: float, height: float) -> Shape:
    """Box with upright walls and a flat roof; lengths in m."""
    area = length * width
    return Shape(
        peak=height,
        wall_top=height,
        floor_area=area,
        perimeter=2.0 * (length + width),
        volume_to=lambda z: area * z,
        section_at=lambda _z: area,
        faces=(
            Face("wall", 0.0, 2, lambda z: 2.0 * length * z),
            Face("wall", 0.0, 2, lambda z: 2.0 * width * z),
            Face("roof", 1.0, 1, lambda z: area if z >= height else 0.0),
        ),
    )


def wall_tent(length: float, width: float, wall: float, ridge: float) -> Shape:
    """Upright walls under two equal roof slopes that meet in a ridge along the length; lengths in m."""
    rise = ridge - wall
    slant = math.hypot(width / 2.0, rise)

    def above(z: float) -> float:
        """Share of the rise that lies below z."""
        return min(max((z - wall) / rise, 0.0), 1.0)

    def gables(z: float) -> float:
        s = above(z)
        return 2.0 * width * (min(z, wall) + rise * (s - s * s / 2.0))

    return Shape(
        peak=ridge,
        wall_top=ridge,
        floor_area=length * width,
        perimeter=2.0 * (length + width),
        volume_to=lambda z: length * gables(z) / 2.0,
        section_at=lambda z: length * width * (1.0 - above(z)),
        faces=(
            Face("wall", 0.0, 2, lambda z: 2.0 * length * min(z, wall)),
            Face("wall", 0.0, 2, gables),
            Face("roof", width / 2.0 / slant, 2, lambda z: 2.0 * length * slant * above(z)),
        ),
    )


def bell(diameter: float, wall: float, peak: float) -> Shape:
    """Upright round wall under a cone; lengths in m."""
    radius, rise = diameter / 2.0, peak - wall
    slant = math.hypot(radius, rise)
    floor = math.pi * radius**2

    def left(z: float) -> float:
        """Share of the cone's height that lies above z."""
        return 1.0 - min(max((z - wall) / rise, 0.0), 1.0)

    return Shape(
        peak=peak,
        wall_top=wall,
        floor_area=floor,
        perimeter=math.pi * diameter,
        volume_to=lambda z: floor * (min(z, wall) + rise / 3.0 * (1.0 - left(z) ** 3)),
        section_at=lambda z: floor * left(z) ** 2,
        faces=(
            Face("wall", 0.0, FACETS_OF_A_CURVE, lambda z: math.pi * diameter * min(z, wall)),
            Face(
                "roof",
                radius / slant,
                FACETS_OF_A_CURVE,
                lambda z: math.pi * radius * slant * (1.0 - left(z) ** 2),
            ),
        ),
    )


@dataclass(frozen=True)
class Bands:
    """A shape cut at heights.

    edges     [n + 1] m, from 0 to the peak
    centres   [n] m
    volume    [n] m3
    section   [n - 1] m2, horizontal section at each inner edge
    faces     [faces, n] m2, area of each face in each band
    """

    edges: Array
    centres: Array
    volume: Array
    section: Array
    faces: Array


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
    section = np.array([shape.section_at(z) for z in edges[1:-1]])
    return Bands(edges, (edges[1:] + edges[:-1]) / 2.0, volume, section, faces)
