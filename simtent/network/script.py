"""What happens in a run at moments of its own, or once something falls below a limit.

A thermostat, a hand that loads a stove, a valve: whatever acts on the state from outside the laws. The solver
is stopped there and started anew, as at the jumps of a table.
"""

from typing import Protocol

import numpy as np

from simtent.network.arrays import Array, Indices, Network
from simtent.network.builder import SHORTEST_STRETCH
from simtent.network.kernels import apply_jump


class Script(Protocol):
    """Acts on the state of a run [as the network lays it out], at moments [s] it names or by values it watches.

    Moments closer together than SHORTEST_STRETCH happen at one stop: first the jump of a table, then `at`, then
    `noticed`, then `at` for what that made due at once. What is due later than SHORTEST_STRETCH before the end
    of the run does not happen any more.
    """

    def next_after(self, t: float) -> float | None:
        """The next moment strictly after t; None if there is none."""

    def at(self, t: float, state: Array) -> None:
        """Change the state in place; called at the beginning of the run and at every moment named."""

    def watch(self, t: float, state: Array) -> Array:
        """Values of which each fall from above 0 to 0 or below is noticed; always as many, perhaps none.

        The solver also looks at states that it tries and rejects: nothing may be changed or remembered here. A
        value that is at or below 0 where a stretch begins has not fallen: it is passed over until it has risen.
        Whoever makes it so in `at` or `noticed` sees to it there. A value that dips and recovers within one of the
        solver's steps goes unseen.
        """

    def noticed(self, t: float, which: int, state: Array) -> None:
        """Value `which` has fallen; the state may be changed in place, and moments of one's own named anew.

        Where nothing lifts the value here, it is passed over until it has risen by itself.
        """


class Idle:
    """The script of a run in which nothing happens but the jumps of its tables."""

    def next_after(self, _t: float) -> float | None:
        """Nothing is due."""
        return None

    def at(self, _t: float, _state: Array) -> None:
        """Leave the state alone."""

    def watch(self, _t: float, _state: Array) -> Array:
        """Watch nothing."""
        return np.zeros(0)

    def noticed(self, _t: float, _which: int, _state: Array) -> None:
        """Leave the state alone."""


class Agenda:
    """Jumps of the tables and moments of the script, as a run comes to them; the run has an end [s]."""

    def __init__(self, network: Network, jumps: Array, script: Script, end: float) -> None:
        self._network, self._script, self._end = network, script, end
        self._last = end - SHORTEST_STRETCH
        self._jumps = jumps[(jumps < self._last) | (jumps == jumps[0])]
        self._jump = 0  # next to pass
        self._done = float(jumps[0])  # the script's last moment

    def begin(self, state: Array, rows: Indices) -> None:
        """Do what is due at the first jump."""
        begin = self._done
        self._pass_jumps(begin, state, rows)
        self._script.at(begin, state)
        self._pass_moments(begin, state)

    def next_stop(self) -> float:
        """The next moment at which something is due [s], or the end."""
        moment = self._next_moment()
        jump = float(self._jumps[self._jump]) if self._jump < self._jumps.size else self._end
        return jump if moment is None else min(jump, moment)

    def arrive(self, t: float, state: Array, rows: Indices, fell: Indices) -> Indices:
        """Do what is due at t [s], where some watched values fell; return those noticed that nothing lifted."""
        before = self._script.watch(t, state)
        self._pass_jumps(t, state, rows)
        dropped = np.flatnonzero((before > 0.0) & (self._script.watch(t, state) <= 0.0))
        self._pass_moments(t, state)
        noticed = np.union1d(fell, dropped)
        for which in noticed:
            self._script.noticed(t, int(which), state)
        self._pass_moments(t, state)
        after = self._script.watch(t, state)
        return noticed[after[noticed] <= before[noticed]]

    def _next_moment(self) -> float | None:
        moment = self._script.next_after(self._done)
        if moment is not None and not moment > self._done:
            raise ValueError(
                f"a script's next moment after {self._done} s must lie later, it named {moment} s"
            )
        return moment if moment is not None and moment < self._last else None

    def _pass_jumps(self, t: float, state: Array, rows: Indices) -> None:
        while self._jump < self._jumps.size and self._jumps[self._jump] <= t + SHORTEST_STRETCH:
            apply_jump(self._network.capacity, self._network.jumps, self._jump, state, rows)
            self._jump += 1

    def _pass_moments(self, t: float, state: Array) -> None:
        moment = self._next_moment()
        while moment is not None and moment <= t + SHORTEST_STRETCH:
            self._script.at(moment, state)
            self._done = moment
            moment = self._next_moment()
