"""Heat that a rectangular floor loses to a half space, by integrals: what a column of ground cannot know.

Heat spreads sideways in a half space as it does in free space. So all there is to know of a floor's shape is the part
of a warm rectangle that still lies under the floor after it has spread over a distance v = sqrt(diffusivity x time):
area A at first, M(v) later. What the ground takes beyond an endless plane's share is an integral of A - M(v).
"""

from itertools import pairwise
from math import asinh, erf, exp, pi, sqrt
from typing import NamedTuple

import numpy as np
from scipy.integrate import quad
from scipy.special import erfcx

NODES, WEIGHTS = np.polynomial.legendre.leggauss(32)
FAR = 10.0  # times the distance spread over; erfc(5) is 1e-12


class Slab(NamedTuple):
    """A floor [m], held at 1 K with a linear fall to 0 over the width of a wall around it, mitred at the corners."""

    length: float
    width: float
    wall: float = 0.0

    @property
    def area(self) -> float:
        """Of the floor alone [m2]."""
        return self.length * self.width

    @property
    def perimeter(self) -> float:
        """Of the floor [m]."""
        return 2.0 * (self.length + self.width)


def second_integral(along: float, across: float) -> float:
    """Of 1 / sqrt(along^2 + across^2), twice over `along` [m]."""
    return along * asinh(along / across) - sqrt(along * along + across * across)


def between_lines(side: float, overhang: float, across: float) -> float:
    """Integral of 1 / distance between a side and a parallel line longer by the overhang at both ends [m]."""
    ends = side + overhang, overhang
    return 2.0 * (second_integral(ends[0], across) - second_integral(ends[1], across))


def steady_loss(slab: Slab, conductivity: float) -> float:
    """Watts per kelvin through the floor after ever so long.

    A surface pattern's steady flux is conductivity x |wave number| x the pattern, which is a double integral of both
    gradients over 2 pi distance: the pattern's lies in the wall, the floor's own on its sides.
    """

    def near_and_far(side: float, other: float) -> float:
        def line(offset: float) -> float:
            return between_lines(side, offset, offset) - between_lines(side, offset, other + offset)

        return quad(line, 0.0, slab.wall, epsabs=1e-12, epsrel=1e-12)[0] / slab.wall

    sides = near_and_far(slab.length, slab.width) + near_and_far(slab.width, slab.length)
    return 2.0 * conductivity / (2.0 * pi) * sides


def left_of_a_side(floor: float, warm: float, spread: float) -> float:
    """Length under the floor of a strip that was warm [m], both centred, after spreading."""
    scale = 2.0 * spread

    def part(x: float) -> float:
        return x * erf(x / scale) + scale / sqrt(pi) * exp(-((x / scale) ** 2))

    return part((floor + warm) / 2.0) - part((warm - floor) / 2.0)


def gone(slab: Slab, spread: float) -> float:
    """Area A - M that the floor has lost of its warmth by spreading [m2]: mitred, so a mean over growing rectangles."""

    def of_rectangle(offset: float) -> float:
        return slab.area - left_of_a_side(slab.length, slab.length + 2.0 * offset, spread) * left_of_a_side(
            slab.width, slab.width + 2.0 * offset, spread
        )

    if slab.wall == 0.0:
        return of_rectangle(0.0)
    reach = min(slab.wall, FAR * spread)
    offsets = 0.5 * reach * (NODES + 1.0)
    return 0.5 * reach / slab.wall * sum(w * of_rectangle(s) for s, w in zip(offsets, WEIGHTS, strict=True))


def integral(function, end: float) -> float:
    """From 0 to the end in pieces that grow, since what happens at the wall and at the floor is far apart."""
    edges = [0.0, *np.geomspace(1e-4 * min(end, 1.0), end, 16)]
    return sum(quad(function, *pair, epsrel=1e-9, limit=200)[0] for pair in pairwise(edges))


def held_rate(slab: Slab, conductivity: float, reach: float) -> float:
    """Watts per kelvin at the moment at which heat has spread over a reach [m], the surface held from the begin on."""
    beside = integral(lambda v: gone(slab, v) / v**2 if v > 0.0 else 0.0, reach)
    return conductivity / sqrt(pi) * (slab.area / reach + beside)


def held_edge(slab: Slab, conductivity: float, reach: float) -> float:
    """Mean watts per kelvin up to that moment beyond those of a column of the floor's area."""

    def lost(v: float) -> float:
        return gone(slab, v) * (1.0 / v**2 - 1.0 / reach**2) if v > 0.0 else 0.0

    return conductivity / sqrt(pi) * integral(lost, reach)


def held_column(slab: Slab, conductivity: float, reach: float) -> float:
    """Mean watts per kelvin of a column of the floor's area, its surface held."""
    return 2.0 * conductivity * slab.area / (sqrt(pi) * reach)


class Loss(NamedTuple):
    """Means over time, per kelvin between the air inside and outdoors: [W/K], [W/K], [-]."""

    column: float
    edge: float
    rise: float


def film_loss(slab: Slab, conductivity: float, film: float, reach: float) -> Loss:
    """Of a floor behind a film [m2 K/W], with the same film over the ground around it, which is outdoors.

    column  an endless plane's loss over the floor's area
    edge    what the floor loses beyond that
    rise    of an endless plane's surface
    Under a film the surface follows a step of the air as 1 - erfcx(v / (conductivity x film)).
    """
    scale = conductivity * film

    def answer(v: float) -> float:
        """Slope of the surface's rise, weighted with the time that is left for it."""
        u = v / scale
        return (2.0 / sqrt(pi) - 2.0 * u * erfcx(u)) / scale * (1.0 - (v / reach) ** 2)

    rise = integral(answer, reach)
    edge = integral(lambda v: answer(v) * gone(slab, v) if v > 0.0 else 0.0, reach)
    return Loss(slab.area * (1.0 - rise) / film, edge / film, rise)
