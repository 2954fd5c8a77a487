"""Any network by the compiled driver of a night: its stops, steps, corrections and the rules it watches.

The driver takes a shelter. Here it is given one whose network is another, and right-hand sides that read nothing else.
"""

from pathlib import Path
from typing import NamedTuple

import numpy as np

from simtent.assembly.assemble import assemble
from simtent.assembly.parameters import Shelter
from simtent.assembly.plan import Diary, Orders, Plan, nobody
from simtent.assembly.stretch import FINE, MOST_STEPS, Told
from simtent.assembly.whole_night import whole_night
from simtent.handle import entry, handle
from simtent.network import Builder
from simtent.network.arrays import Array
from simtent.network.book import open_book
from simtent.network.rooms import room_for_solver
from simtent.network.stepper import CALLS, JACOBIANS, STEPS
from simtent.scenario.load import load

from .driven_kernels import network_rates, network_slopes

ENOUGH, MOST = 0.02, 4  # as `simtent.driver` has them
OPEN = Path(__file__).parents[2] / "scenarios" / "yard_burn.toml"  # the smallest there is


class Driven(NamedTuple):
    """States at the times asked for, what was counted, and the plan with its diary."""

    states: Array
    calls: int
    jacobians: int
    steps: int
    plan: Plan


def driven(
    net: Builder,
    times: Array,
    rtol: float,
    atol: float,
    *,
    rates=network_rates,
    slopes=network_slopes,
    orders: Orders | None = None,
    diary: Diary | None = None,
) -> Driven:
    """Solve a network from 0 to the last of some times [s]; another right-hand side may add to it."""
    arrays, start = net.freeze()
    shelter: Shelter = assemble(load(OPEN)).shelter
    stove, shelter = shelter.stove, shelter._replace(net=arrays)
    state, rows = start.copy(), arrays.jumps.rows[0].copy()
    first, carried = arrays.capacity.size, arrays.capacity.size + arrays.paths
    tolerance = np.full(start.size, atol)
    tolerance[carried:] = atol * np.where(arrays.scale > 0.0, arrays.scale, np.inf)
    asked = (0.0, start, shelter, rows)
    unknowns = np.concatenate((np.arange(first), carried + np.arange(arrays.amounts)))
    solver = handle(
        room_for_solver(
            start.size,
            rates=entry(rates, *asked),
            slopes=entry(slopes, *asked),
            unknowns=unknowns.astype(np.int64),
            paths=(first, carried),
            rtol=rtol,
            tolerance=tolerance,
            enough=ENOUGH,
            most=MOST,
        )
    )
    times = np.asarray(times, float)
    told = handle(
        Told(
            times,
            np.empty((times.size, start.size)),
            np.empty((times.size, *rows.shape), np.int64),
            np.zeros(1, np.int64),
        )
    )
    idle = nobody(stove.slots, stove.places)
    plan = handle(Plan(orders or idle.orders, diary or idle.diary))
    ended, reached = whole_night(
        state, rows, shelter, net.jump_times(), plan, solver, told, handle(open_book(None, MOST_STEPS))
    )
    assert ended == FINE, (ended, reached)
    counts = solver.counts
    return Driven(told.states, int(counts[CALLS]), int(counts[JACOBIANS]), int(counts[STEPS]), plan)
