"""Outlines of oblong floors with upright walls: a box, and walls under a ridge."""

from math import hypot

from simtent.geometry.face import Face, Shape, no_shadow, share_below


def box(length: float, width: float, height: float) -> Shape:
    """Box with upright walls and a flat roof; lengths in m."""
    area = length * width

    def roof(z: float) -> float:
        return area if z >= height else 0.0

    return Shape(
        peak=height,
        floor_area=area,
        perimeter=2.0 * (length + width),
        volume_to=lambda z: area * z,
        section_at=lambda _z: area,
        faces=(
            Face("wall", 2, lambda z: 2.0 * length * z, no_shadow),
            Face("wall", 2, lambda z: 2.0 * width * z, no_shadow),
            Face("roof", 1, roof, roof),
        ),
    )


def wall_tent(length: float, width: float, wall: float, ridge: float) -> Shape:
    """Upright walls, or none, under two equal slopes that meet in a ridge along the length; lengths in m."""
    rise = ridge - wall
    slant = hypot(width / 2.0, rise)
    above = share_below(wall, ridge)

    def gables(z: float) -> float:
        s = above(z)
        return 2.0 * width * (min(z, wall) + rise * (s - s * s / 2.0))

    return Shape(
        peak=ridge,
        floor_area=length * width,
        perimeter=2.0 * (length + width),
        volume_to=lambda z: length * gables(z) / 2.0,
        section_at=lambda z: length * width * (1.0 - above(z)),
        faces=(
            Face("wall", 2, lambda z: 2.0 * length * min(z, wall), no_shadow),
            Face("wall", 2, gables, no_shadow),
            Face("roof", 2, lambda z: 2.0 * length * slant * above(z), lambda z: length * width * above(z)),
        ),
    )
