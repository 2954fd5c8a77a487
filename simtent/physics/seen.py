"""What a small body, alike on all sides, sees of a shelter around it: shares of its whole view, which add up to 1.

A share is a solid angle over 4 pi, as a small sphere sees it. A shelter's outline counts as the equal circle of its
section at each height, seen from a spot on its axis; what a real outline or a spot off the axis changes is measured
in `tests/reference`. Plain Python: none of it is part of a night's equations.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import asin, atan2, copysign, hypot, pi, sqrt


def below_ring(rise: float, radius: float) -> float:
    """Share of the view below a level ring, seen from the ring's axis.

    Parameters
    ----------
    rise : float
        Of the ring over the spot, negative where it lies lower [m].
    radius : float
        Of the ring, 0 or more [m]; a ring without a radius is a point above or below.

    Returns
    -------
    float
        Share of the view, 0 to 1 [-].

    Source
    ------
    Closed form: the solid angle of a cone, 2 pi (1 - cos).
    """
    slant = hypot(rise, radius)
    cosine = rise / slant if slant > 0.0 else 1.0
    return 0.5 * (1.0 + cosine)


def bands_seen(height: float, edges: Sequence[float], radii: Sequence[float]) -> tuple[float, ...]:
    """Shares of the view that floor, bands and a flat top fill, from a spot on a round shelter's axis.

    Parameters
    ----------
    height : float
        Of the spot, between the first and the last edge [m].
    edges : sequence of float
        Heights of the bands' edges, rising, from the floor to the peak, shape (n + 1,) [m].
    radii : sequence of float
        Of the shelter at each edge, shape (n + 1,) [m].

    Returns
    -------
    tuple of float
        The floor, each band from the lowest up, and what lies flat at the peak, shape (n + 2,) [-]; their sum is 1.
        Where the outline bulges so that one band hides another, the hidden one counts as nothing.

    Source
    ------
    Closed form: differences of `below_ring`. A convex shelter's equal circles make a convex body of their own
    (Brunn and Minkowski), so that none of its bands hides another.
    """
    below = [0.0]
    for edge, radius in zip(edges, radii, strict=True):
        below.append(max(below[-1], below_ring(edge - height, radius)))
    below.append(1.0)
    return tuple(after - before for before, after in pairwise(below))


def corner_share(width: float, height: float, distance: float) -> float:
    """Share of the view that a rectangle fills, one corner of which lies straight before the body.

    Parameters
    ----------
    width : float
        Of the rectangle, 0 or more [m].
    height : float
        Of the rectangle, 0 or more [m].
    distance : float
        From the body to the rectangle's plane, 0 or more [m].

    Returns
    -------
    float
        Share of the view, 0 to 1/8 [-].

    Source
    ------
    Closed form of the solid angle of a rectangle, from memory; held to an integration in the tests.
    """
    return atan2(width * height, distance * sqrt(width**2 + height**2 + distance**2)) / (4.0 * pi)


def box_share(width: float, depth: float, bottom: float, top: float, distance: float) -> float:
    """Share of the view that an upright box fills, from straight before the middle of one side.

    Parameters
    ----------
    width : float
        Of the side, 0 or more [m].
    depth : float
        Of the box behind that side, 0 or more [m].
    bottom : float
        Height of its lower end over the body, negative where it lies lower [m].
    top : float
        Height of its upper end over the body, above `bottom` [m].
    distance : float
        From the body to the side, above 0 [m].

    Returns
    -------
    float
        Share of the view, 0 to 1/2 [-]: the side, and the top or bottom where the body is higher or lower.

    Source
    ------
    Closed form: sums and differences of `corner_share`.
    """
    half = 0.5 * width

    def signed(rise: float) -> float:
        return copysign(corner_share(half, abs(rise), distance), rise)

    def lid(away: float) -> float:
        return corner_share(half, distance + depth, away) - corner_share(half, distance, away)

    over, under = max(-top, 0.0), max(bottom, 0.0)
    lids = (lid(over) if over > 0.0 else 0.0) + (lid(under) if under > 0.0 else 0.0)
    return 2.0 * (signed(top) - signed(bottom) + lids)


def pipe_share(radius: float, distance: float, bottom: float, top: float) -> float:
    """Share of the view that an upright pipe fills.

    Parameters
    ----------
    radius : float
        Of the pipe [m].
    distance : float
        From the body to the pipe's axis, above the radius [m].
    bottom : float
        Height of its lower end over the body, negative where it lies lower [m].
    top : float
        Height of its upper end over the body, not below `bottom` [m].

    Returns
    -------
    float
        Share of the view, 0 to 1/2 [-]; its ends count as if level rings at the axis' distance cut it.

    Source
    ------
    Closed form: exact for a pipe without ends, which fills the wedge between its two edges; with ends held to an
    integration in the tests.
    """
    upper, lower = (below_ring(rise, distance) for rise in (top, bottom))
    return asin(radius / distance) / pi * (upper - lower)


def point_irradiance(power: float, distance: float) -> float:
    """Mean irradiance over a small body's whole surface by a source that shines evenly to all sides.

    Parameters
    ----------
    power : float
        Radiated by the source [W].
    distance : float
        From the source, above 0 [m].

    Returns
    -------
    float
        Over all of the body's surface, lit or not [W/m2]: a sphere takes in by pi r2 and has 4 pi r2.

    Source
    ------
    Closed form: the inverse square of the distance.
    """
    return power / (16.0 * pi * distance**2)
