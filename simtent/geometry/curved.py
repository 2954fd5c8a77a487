"""Outlines drawn by an ellipse: turned round the upright axis, a dome; pushed along the floor, a tunnel."""

from math import asin, asinh, pi, sqrt

from simtent.geometry.ellipse import arc
from simtent.geometry.face import FACETS_OF_A_CURVE, Face, OfHeight, Shape, no_shadow


def dome(diameter: float, peak: float) -> Shape:
    """Half a spheroid over a round floor; lengths in m."""
    floor, share = pi * (diameter / 2.0) ** 2, _share(peak)
    stretch = (diameter / 2.0 / peak) ** 2 - 1.0
    return Shape(
        peak=peak,
        floor_area=floor,
        perimeter=pi * diameter,
        volume_to=lambda z: floor * peak * share(z) * (1.0 - share(z) ** 2 / 3.0),
        section_at=lambda z: floor * (1.0 - share(z) ** 2),
        faces=(
            Face(
                "roof",
                FACETS_OF_A_CURVE,
                lambda z: pi * diameter * peak * _root_integral(stretch, share(z)),
                lambda z: floor * share(z) ** 2,
            ),
        ),
    )


def tunnel(length: float, width: float, peak: float) -> Shape:
    """Half an ellipse across the width, pushed along the length, with upright ends; lengths in m."""
    half, share = width / 2.0, _share(peak)

    def across(z: float) -> float:
        """Half the width at a height, as a share of that at the floor."""
        return sqrt(1.0 - share(z) ** 2)

    def end(z: float) -> float:
        """Area of an end below a height."""
        return half * peak * (asin(share(z)) + share(z) * across(z))

    return Shape(
        peak=peak,
        floor_area=length * width,
        perimeter=2.0 * (length + width),
        volume_to=lambda z: length * end(z),
        section_at=lambda z: length * width * across(z),
        faces=(
            Face("wall", 2, lambda z: 2.0 * end(z), no_shadow),
            Face(
                "roof",
                FACETS_OF_A_CURVE,
                lambda z: 2.0 * length * arc(half, peak, asin(share(z))),
                lambda z: (
                    length * width * share(z) ** 2 / (1.0 + across(z))
                ),  # 1 - across, without its round-off
            ),
        ),
    )


def _share(peak: float) -> OfHeight:
    return lambda z: min(max(z / peak, 0.0), 1.0)


def _root_integral(k: float, x: float) -> float:
    """Integral of sqrt(1 + k t^2) from 0 to x, by which a spheroid's surface grows with height."""
    y = sqrt(abs(k)) * x
    if y == 0.0:
        return x
    inverse = asinh(y) if k > 0.0 else asin(min(y, 1.0))
    return x / 2.0 * (sqrt(1.0 + k * x * x) + inverse / y)
