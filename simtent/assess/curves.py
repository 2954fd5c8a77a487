"""Readings from curves that are straight between their points: value, lowest moment, time beyond a limit."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import xarray as xr
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Curve:
    """Values over seconds since the night's begin [s], shape (n,) each; straight lines in between."""

    seconds: Floats
    values: Floats

    def at(self, moment: float) -> float:
        """The value at a moment [s]."""
        return float(np.interp(moment, self.seconds, self.values))

    def between(self, begin: float, end: float) -> "Curve":
        """The part from one moment to another [s], both ends included."""
        inside = (self.seconds > begin) & (self.seconds < end)
        seconds = np.concatenate([[begin], self.seconds[inside], [end]])
        return Curve(seconds, np.interp(seconds, self.seconds, self.values))

    def highest(self) -> tuple[float, float]:
        """Moment [s] and value of the first highest point."""
        index = int(np.argmax(self.values))
        return float(self.seconds[index]), float(self.values[index])

    def lowest(self) -> tuple[float, float]:
        """Moment [s] and value of the first lowest point."""
        index = int(np.argmin(self.values))
        return float(self.seconds[index]), float(self.values[index])

    def time_above(self, limit: float) -> float:
        """Time [s] that the curve spends above the limit, exact for straight pieces."""
        left, right = self.values[:-1] - limit, self.values[1:] - limit
        crossing = left * right < 0.0
        reach = np.where(crossing, np.abs(left) + np.abs(right), 1.0)
        share = np.where(crossing, np.maximum(left, right) / reach, left + right > 0.0)
        return float(np.sum(share * np.diff(self.seconds)))

    def time_below(self, limit: float) -> float:
        """Time [s] that the curve spends below the limit, exact for straight pieces."""
        return Curve(self.seconds, -self.values).time_above(-limit)

    def spans_above(self, limit: float) -> list[tuple[float, float]]:
        """Moments [s] at which the curve rises above the limit and falls back to it, exact for straight pieces."""
        above = self.values > limit
        turns = np.flatnonzero(above[1:] != above[:-1])
        left, right = self.values[turns] - limit, self.values[turns + 1] - limit
        moments = self.seconds[turns] + left / (left - right) * np.diff(self.seconds)[turns]
        first = [float(self.seconds[0])] if above[0] else []
        last = [float(self.seconds[-1])] if above[-1] else []
        ends = [*first, *map(float, moments), *last]
        return list(zip(ends[::2], ends[1::2], strict=True))


def seconds_of(dataset: xr.Dataset, moments: Any = None) -> Any:
    """Seconds since the night's begin [s] of moments in UTC, or of the Dataset's own times."""
    time: Any = dataset["time"].values
    return ((time if moments is None else moments) - time[0]) / np.timedelta64(1, "s")


def curve(dataset: xr.Dataset, name: str, **labels: str) -> Curve:
    """The curve of one variable, at the labels given for its other dimensions."""
    values: Floats = dataset[name].sel(labels).values
    return Curve(seconds_of(dataset), values)
