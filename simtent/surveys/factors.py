"""Factors of a study: what is changed from case to case, by a few levels or over a span of numbers."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from simtent.scenario.beliefs import Belief
from simtent.scenario.free import PURE, Free, unit_and_kind
from simtent.scenario.quantity import Factor as PlainNumber
from simtent.scenario.quantity import Quantity

FEWEST_STEPS = 2
TRUNCATED = 2.0  # deviations; of what is believed of a number, the middle 95 in 100 are sampled
DIGITS = 8  # significant ones of a number that a design chose
HAIR = 1e-9  # below a whole number that still counts as it: places are sums of thirds


@dataclass(frozen=True)
class Level:
    """One level of a factor: what it is called, and what it changes by dotted keys."""

    label: str
    changes: Mapping[str, Any]


@dataclass(frozen=True)
class Choice:
    """A factor of a few levels, which need no order."""

    name: str
    levels: tuple[Level, ...]

    def at(self, place: float) -> Level:
        """The level at a place from 0 to 1; each has an equal share of it."""
        return self.levels[min(int(place * len(self.levels) + HAIR), len(self.levels) - 1)]

    def steps(self) -> tuple[Level, ...]:
        """The levels of a grid."""
        return self.levels

    def told(self) -> dict[str, Any]:
        """How it is kept with a study."""
        return {"name": self.name, "labels": [level.label for level in self.levels]}


@dataclass(frozen=True)
class Span:
    """A number that runs from one value to another, or through what is believed of it.

    free       the number, in the unit in which its field is usually written
    low, high  its ends
    count      levels of a grid
    believed   what is believed of it; None: all between the ends count alike
    """

    free: Free
    low: float
    high: float
    count: int
    believed: Belief | None = None

    @property
    def name(self) -> str:
        """Its dotted key."""
        return self.free.name

    def at(self, place: float) -> Level:
        """The level at a place from 0 to 1: a place drawn evenly draws the number as it is believed."""
        if self.believed is None:
            return self._level(self.low + place * (self.high - self.low))
        from scipy.special import ndtr, ndtri  # noqa: PLC0415  (a study file is read without it)

        most = ndtr(TRUNCATED)
        return self._level(_moved(self.believed, float(ndtri(1.0 - most + place * (2.0 * most - 1.0)))))

    def steps(self) -> tuple[Level, ...]:
        """The levels of a grid: evenly apart; of a belief one deviation down, none and one up."""
        if self.believed is not None:
            return tuple(self._level(_moved(self.believed, deviation)) for deviation in (-1.0, 0.0, 1.0))
        return tuple(self.at(n / (self.count - 1)) for n in range(self.count))

    def told(self) -> dict[str, Any]:
        """How it is kept with a study."""
        declared = self.free.declared
        if isinstance(declared, PlainNumber):
            return {"name": self.name, "unit": PURE, "us": PURE, "kind": ""}
        us = declared.unit_us if isinstance(declared, Quantity) else self.free.unit
        return {"name": self.name, "unit": self.free.unit, "us": us, "kind": unit_and_kind(declared)[1]}

    def _level(self, number: float) -> Level:
        changes = self.free.replacement(float(f"{number:.{DIGITS}g}"))
        return Level(str(changes[self.name]), changes)


Factor: TypeAlias = Choice | Span


def _moved(believed: Belief, deviations: float) -> float:
    """A number so many deviations from the middle of what is believed of it, within what is allowed."""
    step = believed.spread * deviations
    number = believed.median + step if believed.additive else believed.median * math.exp(step)
    return min(max(number, believed.low), believed.high)


def number_of(label: str, unit: str) -> float:
    """The number in the label of a span's level."""
    return float(label if unit == PURE else label.split(" ", 1)[0])
