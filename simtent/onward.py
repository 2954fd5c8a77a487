"""A night gone on from another that is the same up to a moment: shelter, weather, and all that is done till then.

Nights that are compared share their evening, which takes half of all steps: what a search has simulated once it need
not simulate again.
"""

from dataclasses import dataclass

import numpy as np

from simtent.assembly import deeds
from simtent.assembly.assemble import Model
from simtent.assembly.plan import FULLEST, Plan
from simtent.network.arrays import Array, Indices
from simtent.network.builder import SHORTEST_STRETCH, Builder
from simtent.network.solve import Trajectory


@dataclass(frozen=True)
class Course:
    """What another night may go on from.

    times    told [s]
    states   there, shape (times, states)
    rows     of tables in force there
    names    of the numbers behind nodes and paths in each state: amounts, then those held between jumps
    """

    times: Array
    states: Array
    rows: Indices
    names: tuple[str, ...]

    @classmethod
    def of(cls, model: Model, solution: Trajectory) -> "Course":
        """The course of a solved night."""
        return cls(solution.times, solution.states, solution.rows, _names(model.net))

    def laid_out(self, model: Model, till: int) -> Array:
        """The first `till` states as the states of another model, which may have slots for other loads.

        A slot that only one of both has is empty so far: nothing was put there yet.
        """
        first = len(model.net.capacities) + len(model.net.path_names)
        here = {name: first + k for k, name in enumerate(self.names)}
        out = np.tile(model.start, (till, 1))
        out[:, :first] = self.states[:till, :first]
        for k, name in enumerate(_names(model.net)):
            if name in here:
                out[:, first + k] = self.states[:till, here[name]]
        return out


def begun_at(times: Array, moment: float) -> int:
    """The last of the times told from which a night may go on that differs from a moment on [s]."""
    return max(int(np.searchsorted(times, moment - SHORTEST_STRETCH)) - 1, 0)


def done_till(t: float, model: Model, plan: Plan, states: Array) -> None:
    """Count all that is due up to t as done; `states` are those till then.

    What it does to wood and levers stands in the state already: it is done to one that nobody reads.
    """
    nobody_reads, diary = model.start.copy(), plan.diary
    moment = float(diary.deeds.due.min())
    while moment <= t + SHORTEST_STRETCH:
        deeds.do_what_is_due(moment, nobody_reads, plan.orders, diary)
        moment = float(diary.deeds.due.min())
    slots = plan.orders.slots
    dry = states[:, slots.first_dry : slots.first_dry + slots.dry.size].clip(min=0.0).sum(axis=1)
    diary.marks[FULLEST] = plan.orders.filled_by * float(dry.max())


def _names(net: Builder) -> tuple[str, ...]:
    return (*net.amounts, *net.helds)
