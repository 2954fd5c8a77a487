"""What a factor does to an output on the whole: means, lowest and highest over the cases of each of its levels."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simtent.surveys.opened import Column, Opened
from simtent.surveys.outputs import Output

FEW = 8  # different numbers of a factor, each of which is a group of its own
PARTS = 4  # else cases fall into so many groups of equal size


@dataclass(frozen=True)
class Group:
    """The cases in which a factor has a level, or a number between two others.

    label      the level; empty for numbers
    low, high  numbers between which the factor lies
    cases      of them those that were solved
    mean, lowest, highest  of the output; not a number without a case
    """

    label: str
    low: float
    high: float
    cases: int
    mean: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class Effect:
    """An output by the levels of a factor, all others as they come."""

    column: Column
    groups: tuple[Group, ...]

    @property
    def reach(self) -> float:
        """Between the highest mean and the lowest; 0 with one group alone."""
        means = [group.mean for group in self.groups if group.cases]
        return max(means) - min(means) if means else 0.0


def effects(found: Opened, of: Output) -> tuple[Effect, ...]:
    """An output by each factor, the one with the largest reach first."""
    values = found.values(of)
    every = [Effect(column, _groups(column, values)) for column in found.columns]
    return tuple(sorted(every, key=lambda it: -it.reach))


def _groups(column: Column, values: NDArray[np.float64]) -> tuple[Group, ...]:
    if column.labels:
        those = [(label, column.values == n) for n, label in enumerate(column.labels)]
        return tuple(_group(label, column, values, where) for label, where in those if where.any())
    distinct = np.unique(column.values)
    if distinct.size <= FEW:
        return tuple(_group("", column, values, column.values == number) for number in distinct)
    ranks = np.argsort(np.argsort(column.values, kind="stable"), kind="stable") * PARTS // column.values.size
    return tuple(_group("", column, values, ranks == part) for part in range(PARTS))


def _group(label: str, column: Column, values: NDArray[np.float64], where: NDArray[np.bool_]) -> Group:
    those, numbers = values[where], column.values[where]
    solved = those[np.isfinite(those)]
    mean, lowest, highest = (
        (float(solved.mean()), float(solved.min()), float(solved.max())) if solved.size else (np.nan,) * 3
    )
    return Group(label, float(numbers.min()), float(numbers.max()), solved.size, mean, lowest, highest)
