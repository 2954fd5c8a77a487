"""A positive number to be found, and what is believed of it before the readings are seen."""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Prior:
    """A log-normal belief.

    median   in the unit of its parameter
    spread   one standard deviation of the natural logarithm: 0.1 is about 10 %
    """

    median: float
    spread: float

    def __post_init__(self) -> None:
        """Refuse what is no belief about a positive number."""
        if not (0.0 < self.median < math.inf and 0.0 < self.spread < math.inf):
            raise ValueError(f"a prior needs a median and a spread above 0, got {self}")


@dataclass(frozen=True)
class Parameter:
    """One positive number, in any unit; it is sought by its logarithm, between bounds.

    name    as the network's builder knows it
    start   first guess
    low, high   bounds; by default the start over and times ten thousand
    prior   None: only the readings speak
    """

    name: str
    start: float
    low: float | None = None
    high: float | None = None
    prior: Prior | None = None

    def __post_init__(self) -> None:
        """Refuse a start that is not positive or not between the bounds."""
        low, high = self.bounds
        if not (0.0 < low < self.start < high < math.inf):
            raise ValueError(
                f"{self.name}: 0 < low < start < high is needed, got {low}, {self.start}, {high}"
            )

    @property
    def bounds(self) -> tuple[float, float]:
        """Lowest and highest value."""
        low = self.start / 1e4 if self.low is None else self.low
        high = self.start * 1e4 if self.high is None else self.high
        return low, high
