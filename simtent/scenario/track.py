"""Dated input as plain knots: seconds from the night's begin, values in SI, and the shape between knots."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Between = Literal["steps", "lines", "smooth"]


@dataclass(frozen=True, slots=True)
class Track:
    """A quantity through the night.

    times   seconds from the begin [s], never falling; a repeated time is a jump: value before, value after
    values  in SI, one for each time
    shape   between knots: "steps" holds the last value, "lines" is straight, "smooth" the cubic that is
            level at both knots

    Before the first knot the first value holds, after the last the last.
    """

    times: tuple[float, ...]
    values: tuple[float, ...]
    shape: Between

    def at(self, seconds: float) -> float:
        """Value at a moment; at a jump, the value after it."""
        after = bisect_right(self.times, seconds)
        if after == 0 or after == len(self.times) or self.shape == "steps":
            return self.values[max(after - 1, 0)]
        begin, end = self.times[after - 1], self.times[after]
        share = (seconds - begin) / (end - begin)
        if self.shape == "smooth":
            share = share * share * (3.0 - 2.0 * share)
        return self.values[after - 1] + share * (self.values[after] - self.values[after - 1])

    def shifted(self, difference: float) -> "Track":
        """The same track with a difference added to every value."""
        return Track(self.times, tuple(value + difference for value in self.values), self.shape)


def cut(times: Sequence[float], values: Sequence[float], seconds: float) -> tuple[list[float], list[float]]:
    """The knots that matter from 0 to `seconds`: the last at or before 0 to the first at or after the end."""
    first = max(bisect_right(times, 0.0) - 1, 0)
    last = next((n for n, time in enumerate(times) if time >= seconds), len(times) - 1)
    return list(times[first : last + 1]), list(values[first : last + 1])
