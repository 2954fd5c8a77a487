"""Piecewise cubic tables over time: steps, straight lines and smooth passages in one form.

A table knows its breaks: the moments at which its value or its slope jumps. The solver is stopped and
restarted there; between two breaks a table is smooth.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from simtent.network.arrays import Array

SLOPE_TOLERANCE = 1e-12


@dataclass(frozen=True)
class Table:
    """Rows of cubics; row k holds from starts[k] on, the first also before it, the last for ever.

    starts   [rows] s
    cubics   [rows, 4]
    """

    starts: Array
    cubics: Array

    def value(self, t: float) -> float:
        """Value at t [s]; at a break, the one after it."""
        row = max(int(np.searchsorted(self.starts, t, side="right")) - 1, 0)
        c0, c1, c2, c3 = self.cubics[row]
        s = t - self.starts[row]
        return float(c0 + s * (c1 + s * (c2 + s * c3)))

    def values(self, times: Array) -> Array:
        """Values at each of some times [s], as `value` gives them."""
        rows = np.maximum(np.searchsorted(self.starts, times, side="right") - 1, 0)
        c0, c1, c2, c3 = self.cubics[rows].T
        s = times - self.starts[rows]
        return np.asarray(c0 + s * (c1 + s * (c2 + s * c3)))

    def breaks(self) -> tuple[int, ...]:
        """Rows (from 1 on) at whose start the value or the slope jumps."""
        found = []
        for row in range(1, len(self.starts)):
            s = self.starts[row] - self.starts[row - 1]
            c0, c1, c2, c3 = self.cubics[row - 1]
            value = c0 + s * (c1 + s * (c2 + s * c3))
            slope = c1 + s * (2 * c2 + s * 3 * c3)
            size = 1.0 + abs(value)
            kink = abs(slope - self.cubics[row, 1]) * 3600.0 > SLOPE_TOLERANCE * size
            if abs(value - self.cubics[row, 0]) > SLOPE_TOLERANCE * size or kink:
                found.append(row)
        return tuple(found)


def constant(value: float) -> Table:
    """Table of one value for all time."""
    return Table(np.zeros(1), np.array([[value, 0.0, 0.0, 0.0]]))


def steps(times: Sequence[float], values: Sequence[float]) -> Table:
    """Table that holds each value from its time on; before the first time it is 0."""
    return _with_nothing_before(np.asarray(times, float), [[v, 0.0, 0.0, 0.0] for v in values])


def lines(times: Sequence[float], values: Sequence[float]) -> Table:
    """Table of straight lines between the points; a repeated time is a jump.

    Before the first time the first value holds, after the last the last.
    """
    t, v = np.asarray(times, float), np.asarray(values, float)
    width = np.append(np.diff(t), 1.0)
    slopes = np.append(np.diff(v), 0.0) / np.where(width > 0.0, width, 1.0)
    kept = width > 0.0
    rows = [[value, slope, 0.0, 0.0] for value, slope in zip(v[kept], slopes[kept], strict=True)]
    return _held_before(t[kept], rows)


def smooth(times: Sequence[float], values: Sequence[float]) -> Table:
    """Table that passes from value to value without overshoot, level at every point (cubic smoothstep)."""
    t, v = np.asarray(times, float), np.asarray(values, float)
    rows = []
    for width, start, rise in zip(np.diff(t), v[:-1], np.diff(v), strict=True):
        rows.append([start, 0.0, 3.0 * rise / width**2, -2.0 * rise / width**3])
    rows.append([v[-1], 0.0, 0.0, 0.0])
    return _held_before(t, rows)


def _held_before(times: Array, rows: list[list[float]]) -> Table:
    """Let the first value hold before the first time."""
    first = [rows[0][0], 0.0, 0.0, 0.0]
    start = min(0.0, float(times[0])) - 1.0
    return Table(np.concatenate(([start], times)), np.array([first, *rows]))


def _with_nothing_before(times: Array, rows: list[list[float]]) -> Table:
    """Let the table be 0 before its first time."""
    start = min(0.0, float(times[0])) - 1.0
    return Table(np.concatenate(([start], times)), np.array([[0.0] * 4, *rows]))
