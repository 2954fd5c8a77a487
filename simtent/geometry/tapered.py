"""Outlines that narrow to a point over upright walls or straight from the ground: cones and pyramids.

A section at a share s of the way to the point is (1 - s)^2 of the section below; so shadow and area of what leans
grow by 1 - (1 - s)^2, and the volume by (1 - (1 - s)^3)/3 of section times rise.
"""

from dataclasses import dataclass
from math import hypot, pi, tan

from simtent.geometry.face import FACETS_OF_A_CURVE, Face, OfHeight, Shape, no_shadow, share_below


@dataclass(frozen=True)
class Side:
    """Equal triangles that lean to the point, each over an edge of the floor.

    edge      length of all their edges together [m]
    reach     from the edge to below the point [m]
    planes    how many there are [-]
    """

    edge: float
    reach: float
    planes: int


def bell(diameter: float, wall: float, peak: float) -> Shape:
    """Upright round wall, or none, under a cone; lengths in m."""
    round_about = Side(pi * diameter, diameter / 2.0, FACETS_OF_A_CURVE)
    return _tapered((round_about,), pi * (diameter / 2.0) ** 2, wall, peak)


def pyramid(width: float, length: float, wall: float, peak: float) -> Shape:
    """Four sides over an oblong floor, upright up to a wall or leaning from the ground; lengths in m."""
    sides = (Side(2.0 * length, width / 2.0, 2), Side(2.0 * width, length / 2.0, 2))
    return _tapered(sides, length * width, wall, peak)


def regular_pyramid(sides: int, width: float, wall: float, peak: float) -> Shape:
    """As many sides over a regular floor, `width` across its inscribed circle; lengths in m."""
    edge = regular_edge(sides, width)
    return _tapered((Side(sides * edge, width / 2.0, sides),), sides * edge * width / 4.0, wall, peak)


def regular_edge(sides: int, width: float) -> float:
    """Length of an edge [m] of a regular polygon, `width` [m] across its inscribed circle."""
    return width * tan(pi / sides)


def leaning(side: Side, low: float, peak: float) -> Face:
    """The roof over a side from a height up to the point; lengths in m."""
    slant, below = hypot(side.reach, peak - low), share_below(low, peak)

    def spread(z: float) -> float:
        return side.edge / 2.0 * (1.0 - (1.0 - below(z)) ** 2)

    return Face("roof", side.planes, lambda z: slant * spread(z), lambda z: side.reach * spread(z))


def cone_volume(section: float, low: float, peak: float) -> OfHeight:
    """Volume below a height [m3] of what narrows to a point from a section [m2] at a height [m]."""
    below = share_below(low, peak)
    return lambda z: section * (peak - low) / 3.0 * (1.0 - (1.0 - below(z)) ** 3)


def _tapered(sides: tuple[Side, ...], floor: float, wall: float, peak: float) -> Shape:
    below, top = share_below(wall, peak), cone_volume(floor, wall, peak)
    return Shape(
        peak=peak,
        floor_area=floor,
        perimeter=sum(side.edge for side in sides),
        volume_to=lambda z: floor * min(z, wall) + top(z),
        section_at=lambda z: floor * (1.0 - below(z)) ** 2,
        faces=(
            *(_upright(side, wall) for side in sides if wall > 0.0),
            *(leaning(side, wall, peak) for side in sides),
        ),
    )


def _upright(side: Side, wall: float) -> Face:
    return Face("wall", side.planes, lambda z: side.edge * min(z, wall), no_shadow)
