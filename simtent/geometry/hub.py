"""Outline of a pop-up shelter: every wall is pushed out in its middle by a hub and so is four triangles round it.

The triangle below the hub overhangs, the one above it leans in, the two beside it stand upright, for the posts at the
corners do. At a share s of the way up to the hub a section is wider than the floor by a trapezium on every side, of
area (2 - s) s times half the edge times how far the hub is pushed out; above the hub the same by s from the eaves down.
"""

from math import hypot

from simtent.geometry.face import Face, Shape
from simtent.geometry.tapered import Side, cone_volume, leaning, regular_edge


def hub(sides: int, width: float, wall: float, peak: float, pushed_out: float) -> Shape:
    """As many walls on a regular floor, `width` across its inscribed circle, under flat triangles; lengths in m."""
    edge = regular_edge(sides, width)
    floor = sides * edge * width / 4.0
    bulge = sides * edge / 2.0 * pushed_out  # shadow of all triangles below the hubs, or of all above
    middle = wall / 2.0
    top = cone_volume(floor, wall, peak)

    def to_hub(z: float) -> tuple[float, float]:
        """Shares of the way from the ground up to the hub, and from the hub up to the eaves."""
        return min(z / middle, 1.0), min(max(z / middle - 1.0, 0.0), 1.0)

    def section_at(z: float) -> float:
        if z > wall:
            return floor * ((peak - z) / (peak - wall)) ** 2
        s = min(z / middle, 2.0 - z / middle)
        return floor + bulge * s * (2.0 - s)

    def volume_to(z: float) -> float:
        low, high = to_hub(z)
        wider = low**2 - low**3 / 3.0 + high - high**3 / 3.0
        return floor * min(z, wall) + bulge * middle * wider + top(z)

    def plan_to(z: float) -> float:
        low, high = to_hub(z)
        return bulge * (high**2 - (1.0 - (1.0 - low) ** 2))

    def area_to(z: float) -> float:
        low, high = to_hub(z)
        leant = edge / 2.0 * hypot(middle, pushed_out) * (1.0 - (1.0 - low) ** 2 + high**2)
        beside = hypot(edge / 2.0, pushed_out) * middle * (low**2 + 1.0 - (1.0 - high) ** 2)
        return sides * (leant + beside)

    return Shape(
        peak=peak,
        floor_area=floor,
        perimeter=sides * edge,
        volume_to=volume_to,
        section_at=section_at,
        # The triangles of a wall see so little of each other that they count as one plane.
        faces=(
            Face("wall", sides, area_to, plan_to),
            leaning(Side(sides * edge, width / 2.0, sides), wall, peak),
        ),
    )
