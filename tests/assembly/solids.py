"""Shelters as bodies of triangles, cut by level planes: a second way to every volume, area and section.

Every body is made from its corners, or from points on its curved skin, as a drawing would give them: ground at height
0, the middle of the floor on the upright axis, lengths in m. Nothing here knows a formula of the package; planes come
out exactly, curves as fine facets whose corners lie on the curve (volume and area short by at most 5 in 10,000).
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

AROUND = 180  # facets round a curve
UPWARD = 60  # facets from the ground to the top of a dome
PARTS = ("wall", "roof")


@dataclass(frozen=True)
class Solid:
    """The skin of a body that stands on the ground.

    corners  of every triangle, shape (triangles, 3, 3) [m]; seen from outside they run counterclockwise
    parts    of every triangle, "wall" or "roof"
    floor    corners of the floor, counterclockwise from above, shape (corners, 3) [m]
    """

    corners: np.ndarray
    parts: np.ndarray
    floor: np.ndarray

    @cached_property
    def normals(self):
        """Outward normal of every triangle, as long as its area [m2]."""
        a, b, c = self.corners.transpose(1, 0, 2)
        return np.cross(b - a, c - a) / 2.0

    @property
    def peak(self):
        """Height of the highest corner [m]."""
        return self.corners[:, :, 2].max()

    @property
    def floor_area(self):
        """[m2]."""
        return enclosed(self.floor, np.roll(self.floor, -1, axis=0))

    @property
    def perimeter(self):
        """[m], of the floor."""
        return np.linalg.norm(self.floor - np.roll(self.floor, 1, axis=0), axis=1).sum()

    def below(self, height):
        """The skin below a height [m], without a lid."""
        low, high = self.corners[:, :, 2].min(axis=1), self.corners[:, :, 2].max(axis=1)
        whole, crossed = high <= height, (low < height) & (high > height)
        pieces, owner, *_ = cut(self.corners[crossed], height)
        corners = np.concatenate((self.corners[whole], pieces))
        return Solid(corners, np.concatenate((self.parts[whole], self.parts[crossed][owner])), self.floor)

    def area(self, part):
        """Area of a part [m2]."""
        return np.linalg.norm(self.normals[self.parts == part], axis=1).sum()

    def shadow(self, part):
        """Area of a part's shadow on the ground [m2], counted negative where it overhangs."""
        return self.normals[self.parts == part, 2].sum()

    def volume(self, lid):
        """Volume below a lid at a height [m3]: pyramids over skin and floor, from a point of the lid."""
        a, b, c = (self.corners - np.array([0.0, 0.0, lid])).transpose(1, 0, 2)
        return np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0 + self.floor_area * lid / 3.0

    def section_at(self, height):
        """Area of the level section at a height [m2], from the line along which the skin is cut."""
        z = self.corners[:, :, 2]
        crossed = (z.min(axis=1) < height) & (z.max(axis=1) >= height)
        _, _, upward, downward = cut(self.corners[crossed], height)
        return enclosed(downward, upward)


def enclosed(begins, ends):
    """Area enclosed on a level plane by edges from begin to end [m2]: half the sum of their cross products."""
    return abs((begins[:, 0] * ends[:, 1] - begins[:, 1] * ends[:, 0]).sum()) / 2.0


def cut(corners, height):
    """Triangles that begin below a level plane and reach it: pieces below, the triangle of each, two ends of each cut.

    The ends lie on the edge that rises through the plane and on the one that falls through it.
    """
    under = corners[:, :, 2] < height
    single = under.sum(axis=1) == 1  # one corner below, else one above
    alone = np.where(single, under.argmax(axis=1), (~under).argmax(axis=1))
    turn = (alone[:, None] + np.arange(3)) % 3
    a, b, c = np.take_along_axis(corners, turn[:, :, None], axis=1).transpose(1, 0, 2)
    ab, ca = on_edge(a, b, height), on_edge(a, c, height)
    many = ~single
    pieces = [
        np.stack((a, ab, ca), axis=1)[single],
        np.stack((ab, b, c), axis=1)[many],
        np.stack((ab, c, ca), axis=1)[many],
    ]
    owner = np.concatenate([np.flatnonzero(it) for it in (single, many, many)])
    upward, downward = (np.where(single[:, None], one, other) for one, other in ((ab, ca), (ca, ab)))
    return np.concatenate(pieces), owner, upward, downward


def on_edge(a, b, height):
    """Where edges pass through a height."""
    share = (height - a[:, 2]) / (b[:, 2] - a[:, 2])
    return a + share[:, None] * (b - a)


def body(floor, wall, roof):
    """A solid of the corners of its floor and the triangles of its parts."""
    sheets = [np.concatenate(part) if part else np.zeros((0, 3, 3)) for part in (wall, roof)]
    parts = np.repeat(PARTS, [len(sheet) for sheet in sheets])
    return Solid(np.concatenate(sheets), parts, floor)


def ring(sides, inscribed, height):
    """Corners of a level regular polygon round the axis, by the diameter of its inscribed circle."""
    return around(sides, inscribed / 2.0 / np.cos(np.pi / sides), height)


def circle(diameter, height):
    """Points on a level circle round the axis."""
    return around(AROUND, diameter / 2.0, height)


def around(count, radius, height):
    turn = 2.0 * np.pi * (np.arange(count) + 0.5) / count
    return np.column_stack((radius * np.cos(turn), radius * np.sin(turn), np.full(count, height)))


def rectangle(length, width, height):
    """Corners of a level rectangle, its length along x."""
    x, y = length / 2.0, width / 2.0
    return np.array([(-x, -y, height), (x, -y, height), (x, y, height), (-x, y, height)])


def lifted(points, height):
    """The same points at another height."""
    return np.column_stack((points[:, :2], np.full(len(points), height)))


def fan(*corners):
    """Triangles of one convex polygon."""
    points = np.array(corners)
    first = np.broadcast_to(points[0], (len(points) - 2, 3))
    return np.stack((first, points[1:-1], points[2:]), axis=1)


def between(lower, upper):
    """Triangles between two closed rings of as many corners, the lower one counterclockwise."""
    a, b, c, d = lower, np.roll(lower, -1, axis=0), np.roll(upper, -1, axis=0), upper
    return np.concatenate((np.stack((a, b, c), axis=1), np.stack((a, c, d), axis=1)))


def to_point(lower, height):
    """Triangles from a closed ring to a point of the axis."""
    top = np.broadcast_to(np.array([0.0, 0.0, height]), lower.shape)
    return np.stack((lower, np.roll(lower, -1, axis=0), top), axis=1)


def upright(floor, wall):
    """Walls over a floor, if they have a height."""
    return [between(floor, lifted(floor, wall))] if wall else []


def box(length, width, height):
    """Upright walls and a flat roof."""
    floor = rectangle(length, width, 0.0)
    return body(floor, upright(floor, height), [fan(*lifted(floor, height))])


def wall_tent(length, width, ridge, wall=0.0):
    """Two slopes over upright walls; the ridge runs along the length, gables are walls."""
    floor = rectangle(length, width, 0.0)
    a, b, c, d = lifted(floor, wall)
    near, far = np.array([-length / 2.0, 0.0, ridge]), np.array([length / 2.0, 0.0, ridge])
    gables = [fan(b, c, far), fan(d, a, near)]
    return body(floor, upright(floor, wall) + gables, [fan(a, b, far, near), fan(c, d, near, far)])


def bell(diameter, peak, wall=0.0):
    """A cone over an upright round wall."""
    floor = circle(diameter, 0.0)
    return body(floor, upright(floor, wall), [to_point(lifted(floor, wall), peak)])


def pyramid(width, peak, length=None, sides=4, wall=0.0):
    """Slopes from a polygon to one point, over upright walls."""
    floor = rectangle(length or width, width, 0.0) if sides == 4 else ring(sides, width, 0.0)
    return body(floor, upright(floor, wall), [to_point(lifted(floor, wall), peak)])


def hub(sides, width, wall, peak, pushed_out):
    """Each wall is four triangles round a hub in its middle, half way up, pushed out; the roof runs to one point."""
    floor, eaves = ring(sides, width, 0.0), ring(sides, width, wall)
    right, above = np.roll(floor, -1, axis=0), np.roll(eaves, -1, axis=0)
    middle = (floor + right + above + eaves) / 4.0
    out = middle * [1.0, 1.0, 0.0]
    hubs = middle + pushed_out * out / np.linalg.norm(out, axis=1)[:, None]
    frame = (floor, right, above, eaves)
    walls = [np.stack((frame[k], frame[(k + 1) % 4], hubs), axis=1) for k in range(4)]
    return body(floor, walls, [to_point(eaves, peak)])


def dome(diameter, peak):
    """Half a spheroid: level rings at even steps of the angle by which an ellipse is drawn."""
    steps = np.linspace(0.0, np.pi / 2.0, UPWARD + 1)[:-1]
    rings = [circle(diameter * np.cos(t), peak * np.sin(t)) for t in steps]
    bands = [between(lower, upper) for lower, upper in pairwise(rings)]
    return body(rings[0], [], [*bands, to_point(rings[-1], peak)])


def tunnel(length, width, peak):
    """Half an ellipse drawn across the width, pushed along the length; the two ends are walls."""
    turn = np.linspace(0.0, np.pi, AROUND + 1)
    y, z = width / 2.0 * np.cos(turn), peak * np.sin(turn)
    z[-1] = 0.0  # which the sine of pi is not quite
    near, far = (np.column_stack((np.full(y.size, x), y, z)) for x in (-length / 2.0, length / 2.0))
    slopes = [np.stack(it, axis=1) for it in ((far[:-1], near[1:], far[1:]), (far[:-1], near[:-1], near[1:]))]
    return body(rectangle(length, width, 0.0), [fan(*far), fan(*near[::-1])], slopes)


MADE_BY = {
    "box": box,
    "wall tent": wall_tent,
    "bell": bell,
    "pyramid": pyramid,
    "hub": hub,
    "dome": dome,
    "tunnel": tunnel,
}


def solid(shape, **sizes):
    """The body of a shelter by its shape and sizes [m], named as a scenario names them."""
    return MADE_BY[shape](**sizes)
