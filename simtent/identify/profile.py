"""Profile likelihood of one parameter: how far it may go before the readings object, all others following.

Half the squared misfit (the cost) is least at the best point. Held at another value, the parameter costs more however
well the others follow; its 90 % interval ends where that is 1.353 more, half the chi-square quantile of one degree of
freedom (Wilks 1938). Unlike Laplace's it need be neither even nor closed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simtent.network.arrays import Array

RISE = 1.3528  # half the 90 % quantile of chi-square with one degree of freedom
CLOSE = 0.02  # part of the end's distance in deviations: nearer than that it is interpolated
MOST_CALLS = 14  # for either end
FARTHEST = 3.0  # times as far as before, where the cost rises less than a bell curve says
CLIFF = 4.0  # times the end's rise in deviations: what rises so much says nothing of where the end is
STEEP = 5e-3  # of the end's distance: a bracket that is narrower is an end
AT_BOUND = 1e-4  # of the bounds' width
LOWER = 0.01  # of the cost, from which another point counts as a better one
INSET = 0.1  # of a bracket, kept off its ends

Mask = NDArray[np.bool_]
Least = Callable[[int, float, Array], tuple[float, Array]]


@dataclass(frozen=True)
class End:
    """One end of an interval.

    value   None if there is none
    why     "found", "bound" (the cost has not risen enough where the bounds end), "others" (it rises there only since
            another parameter met a bound of its own), "lost" (it could not be followed)
    """

    value: float | None
    why: str


@dataclass(frozen=True)
class Profile:
    """What one parameter may be.

    index      of the parameter
    best       its most likely value
    low, high  ends of the interval
    values     [k], where the cost was asked for, rising
    rises      [k], of the cost above the least
    points     [k, p], where the others went
    bounds     of the parameter
    lower      a point whose cost lies below the best one's, if the walk met one: the fit had not found the best
    """

    index: int
    best: float
    low: End
    high: End
    values: Array
    rises: Array
    points: Array
    bounds: tuple[float, float]
    lower: Array | None

    @property
    def closed(self) -> bool:
        """Whether both ends were found."""
        return self.low.why == self.high.why == "found"

    def interval(self) -> tuple[float, float]:
        """Both ends; the bound where there is none."""
        low = self.bounds[0] if self.low.value is None else self.low.value
        high = self.bounds[1] if self.high.value is None else self.high.value
        return low, high

    def words(self, name: str) -> tuple[str, ...]:
        """Say which ends are missing, and why; nothing if both were found."""
        said = []
        for end, side in ((self.low, "lower"), (self.high, "upper")):
            if end.why == "bound":
                said.append(
                    f"{name}: no {side} end within the bounds; the readings bear every value up to there."
                )
            if end.why == "others":
                said.append(f"{name}: the {side} end is there only since another parameter met its bound.")
            if end.why == "lost":
                said.append(f"{name}: the {side} end could not be followed; the interval is open there.")
        if self.lower is not None:
            said.append(
                f"{name}: a better fit was met on the way; fit again from there before you use intervals."
            )
        return tuple(said)


def profile(
    least: Least,
    index: int,
    best: Array,
    cost: float,
    covariance: Array,
    bounds: tuple[float, float],
    others: tuple[Array, Array] | None = None,
) -> Profile:
    """Walk outwards from the best point on both sides.

    least        of (index, value, begin): the least cost with that parameter held, and its point [p]; infinite
                 where there is none
    best, cost   the best point [p] and its cost
    covariance   [p, p] near the best point, for the first step; infinite where nothing is known
    bounds       of the parameter
    others       lowest and highest of all parameters [p], for ends that only these make; None: do not look
    """
    sides = [_Side(least, index, best, cost, covariance, bound, others) for bound in bounds]
    low, high = (side.end() for side in sides)
    met = [(float(best[index]), 0.0, best), *(one for side in sides for one in side.met)]
    met.sort(key=lambda one: one[0])
    lowest = min(met, key=lambda one: one[1])
    return Profile(
        index,
        float(best[index]),
        low,
        high,
        np.array([one[0] for one in met]),
        np.array([one[1] for one in met]),
        np.array([one[2] for one in met]),
        bounds,
        lowest[2] if lowest[1] < -LOWER else None,
    )


class _Side:
    """The walk towards one bound; distances from the best value count positive."""

    def __init__(
        self,
        least: Least,
        index: int,
        best: Array,
        cost: float,
        covariance: Array,
        bound: float,
        others: tuple[Array, Array] | None,
    ) -> None:
        self.least, self.index, self.best, self.cost, self.others = least, index, best, cost, others
        self.sign = math.copysign(1.0, bound - best[index])
        self.room = abs(bound - float(best[index]))
        self.met: list[tuple[float, float, Array]] = []  # value, rise, point
        self.goal = math.sqrt(2.0 * RISE)
        variance = float(covariance[index, index])
        if 0.0 < variance < math.inf:
            self.first, self.way = self.goal * math.sqrt(variance), covariance[:, index] / variance
        else:
            self.first, self.way = math.inf, np.zeros(best.size)
        self.inner, self.outer = (0.0, 0.0), (math.inf, math.inf)  # distance, rise in deviations
        self.trail = [(0.0, best)]

    def end(self) -> End:
        """Ask until the cost has risen enough."""
        if self.room <= 0.0:
            return End(None, "bound")
        for _ in range(MOST_CALLS):
            far = self._next()
            deviations = self._ask(far)
            if abs(deviations - self.goal) < CLOSE * self.goal:
                return self._found(self._crossing(far, deviations))
            if deviations < self.goal:
                self.inner = (far, deviations)
                if far >= self.room:
                    return End(None, "bound")
            else:
                self.outer = (far, deviations)
            if self.outer[0] - self.inner[0] < STEEP * self.outer[0]:
                break
        if self.outer[1] == math.inf:
            return End(None, "lost")
        return self._found(self._between(0.0))

    def _found(self, far: float) -> End:
        """An end; at the two points that were asked for nearest to it, other parameters may have met their bounds."""
        value = self._value(far)
        near = sorted(self.met, key=lambda one: abs(one[0] - value))[:2]
        if any(np.any(self._bound(point) & ~self._bound(self.best)) for _, _, point in near):
            return End(value, "others")
        return End(value, "found")

    def _bound(self, point: Array) -> Mask:
        """Which of the other parameters stand at a bound."""
        if self.others is None:
            return np.zeros(point.size, np.bool_)
        low, high = self.others
        at = np.minimum(point - low, high - point) < AT_BOUND * (high - low)
        at[self.index] = False
        return np.asarray(at, np.bool_)

    def _next(self) -> float:
        near, low = self.inner
        if self.outer[0] < math.inf:
            return self._between(INSET)
        if near == 0.0:
            return min(self.first, self.room)
        stretch = self.goal / low if low > self.goal / FARTHEST else FARTHEST
        return min(near * max(stretch, 1.0 + INSET), self.room)

    def _between(self, inset: float) -> float:
        """Where the goal lies in the bracket, off its ends: on a parabola through three points, or a straight line."""
        (near, low), (far, high) = self.inner, self.outer
        if high > CLIFF * self.goal:
            return 0.5 * (near + far)
        part = (self.goal - low) / (high - low)
        third = self._third()
        if third is not None:
            curved = (_parabola((near, far, third[0]), (low, high, third[1]), self.goal) - near) / (
                far - near
            )
            part = curved if 0.0 < curved < 1.0 else part
        return near + (far - near) * min(max(part, inset), 1.0 - inset)

    def _third(self) -> tuple[float, float] | None:
        """Of all other points the one whose rise is nearest to the goal."""
        known = [(0.0, 0.0), *((abs(v - self._value(0.0)), _deviations(rise)) for v, rise, _ in self.met)]
        ends = self.inner[1], self.outer[1]
        others = [one for one in known if one[1] not in ends]
        return min(others, key=lambda one: abs(one[1] - self.goal), default=None)

    def _crossing(self, far: float, deviations: float) -> float:
        """The goal's distance, on the line from the last point inside to one that is close."""
        near, low = self.inner
        slope = (deviations - low) / (far - near)
        return min(far + (self.goal - deviations) / slope, self.room) if slope > 0.0 else far

    def _value(self, far: float) -> float:
        return float(self.best[self.index]) + self.sign * far

    def _ask(self, far: float) -> float:
        """Rise at a distance, as deviations of a bell curve; the others begin where the walk so far points to."""
        value = self._value(far)
        begin = self._begin(far)
        begin[self.index] = value
        cost, point = self.least(self.index, value, begin)
        rise = cost - self.cost
        if math.isnan(rise) or rise == math.inf:
            return math.inf
        self.met.append((value, rise, point))
        if _deviations(rise) < CLIFF * self.goal:  # else the others may be stuck, and would mislead
            self.trail.append((far, point))
        return _deviations(rise)

    def _begin(self, far: float) -> Array:
        trail = sorted(self.trail, key=lambda one: abs(one[0] - far))[:2]
        if len(trail) == 1:
            return np.asarray(self.best + self.sign * min(far, self.room) * self.way)
        (a, near), (b, next_) = trail
        part = min(max((far - a) / (b - a), -FARTHEST), FARTHEST)
        return np.asarray(near + part * (next_ - near))


def _deviations(rise: float) -> float:
    """Of how many deviations of a bell curve the cost has risen."""
    return math.sqrt(2.0 * max(rise, 0.0))


def _parabola(x: tuple[float, float, float], y: tuple[float, float, float], goal: float) -> float:
    """Value at the goal of the parabola x(y) through three points of different y."""
    (a, b, c), (u, v, w) = x, y
    return (
        a * (goal - v) * (goal - w) / ((u - v) * (u - w))
        + b * (goal - u) * (goal - w) / ((v - u) * (v - w))
        + c * (goal - u) * (goal - v) / ((w - u) * (w - v))
    )
