"""A script of a run that watches values and writes down when they fall; what then happens is the caller's."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from simtent.network.arrays import Array


@dataclass
class Watching:
    """Watches what `values` returns; `then` may change the state where one of them falls through 0."""

    values: Callable[[Array], list[float]]
    then: Callable[[Array], None] = lambda _state: None
    moments: list[float] = field(default_factory=list)

    def next_after(self, _t: float) -> None:
        """Nothing is due by the clock."""

    def at(self, _t: float, _state: Array) -> None:
        """Nothing to do by the clock."""

    def watch(self, _t: float, state: Array) -> Array:
        """What must not fall through 0."""
        return np.array(self.values(state), float)

    def noticed(self, t: float, _which: int, state: Array) -> None:
        """One of them has."""
        self.moments.append(t)
        self.then(state)
