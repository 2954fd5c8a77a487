"""A pulse in a quiet night and a relay, each as a network, by SciPy's solvers and by the compiled driver."""

import numpy as np
from scipy.integrate import solve_ivp

from simtent.assembly.assemble import assemble
from simtent.assembly.parameters import Places, Slots, floats, indices
from simtent.assembly.plan import (
    BEGIN,
    CLOCK,
    MOST_NOTES,
    NOTES,
    QUIETLY,
    TIME,
    Deeds,
    Diary,
    Loads,
    Orders,
    Rules,
    Turns,
)
from simtent.network import Accuracy, Builder, tables
from simtent.network.arrays import Array
from simtent.scenario.load import load
from tests.network.plain import run

from .driven import OPEN, driven
from .relay_kernels import DUMMY, POWER, relay_rates, relay_slopes
from .scripts import Watching

QUIET, BEGINS, ENDS, LAG = 21600.0, 20000.0, 20060.0, 600.0  # s
CAPACITY, LOSS = 36000.0, 20.0  # of the relay's body [J/K], [W/K]: 1800 s
WATTS, LOW, HIGH = 1000.0, 18.0, 22.0  # it comes to 50 degC, is switched on and off [degC]
CALLS = 20  # of each of the relay's two rules


def pulse() -> Builder:
    """A body of lag 600 s, heat for 60 s that would bring it to 100 K in the end."""
    net = Builder(end=QUIET)
    body = net.node(LAG, start=0.0, group="body")
    net.link(net.boundary(tables.constant(0.0)), body, 1.0, net.path("loss", crossing=True))
    heat = net.table(tables.steps([BEGINS, ENDS], [100.0, 0.0]))
    net.source(body, heat, 1.0, net.path("heat", crossing=True))
    return net


def pulse_by_network(method: str) -> float:
    """What is left of it at the end [K]."""
    return float(run(pulse(), [0.0, QUIET], Accuracy(method, 1e-6, 1e-6)).states[-1, 0])


def pulse_by_driver() -> float:
    """The same by the compiled driver."""
    return float(driven(pulse(), np.array([0.0, QUIET]), 1e-6, 1e-6).states[-1, 0])


def pulse_without_stops(method: str) -> float:
    """By SciPy's solver alone, which is not told of the pulse."""

    def rate(t: float, y: Array) -> Array:
        return (100.0 * (BEGINS < t < ENDS) - y) / LAG

    return float(solve_ivp(rate, (0.0, QUIET), [0.0], method, rtol=1e-6, atol=1e-6).y[0, -1])


def body(end: float) -> Builder:
    """What the relay heats: a body from 18 degC, a held number for the watts it is given, one more."""
    net = Builder(end=end)
    node = net.node(CAPACITY, start=LOW, group="body")
    net.link(net.boundary(tables.constant(0.0)), node, LOSS, net.path("loss", crossing=True))
    net.path("heat", crossing=True)
    net.held("power", start=WATTS)
    net.held("dummy", start=0.0)
    return net


def relay_by_script(method: str, end: float) -> list[float]:
    """Moments at which it switches [s], by a script that watches the body."""

    def values(state: Array) -> list[float]:
        return [HIGH - state[0] if state[POWER] > 0.0 else state[0] - LOW]

    def switch(state: Array) -> None:
        state[POWER] = 0.0 if state[POWER] > 0.0 else WATTS

    def heated(t: float, state: Array, slope: Array) -> None:
        slope[0] += state[POWER] / CAPACITY
        slope[2] += state[POWER]

    script = Watching(values, switch)
    run(body(end), [0.0, end], Accuracy(method, 1e-9, 1e-9), script=script, more=heated)
    return script.moments


def two_rules() -> Orders:
    """Switch on where the body falls to 18 degC; off where what is less the warmer it is falls to -22 degC.

    A rule of the package puts wood on and turns a lever. The wood is none; the lever is the power.
    """
    stove = assemble(load(OPEN)).shelter.stove
    nobodys, nothing = stove.slots, DUMMY
    slots = Slots(
        *(np.zeros(0) for _ in range(4)), nobodys.first_water, nobodys.first_dry, nobodys.first_caught
    )
    loads = 2 * CALLS
    both = indices((0, 0))
    return Orders(
        loads=Loads(
            indices([0] * loads), indices([0] * loads), np.zeros(loads), np.zeros(loads), indices([1] * loads)
        ),
        rules=Rules(
            weights=np.array([[1.0], [-1.0]]),
            begin=np.zeros(2),
            end=floats((1e9, 1e9)),
            below=floats((LOW, -HIGH)),
            rearm=floats((2.0, 2.0)),
            wake=np.zeros(2),
            most=indices((CALLS, CALLS)),
            needs_coals=both,
            first_load=indices((0, CALLS)),
            first_turn=indices((0, 1)),
            past_turn=indices((1, 2)),
            words=indices((0, 2)),
        ),
        turns=Turns(np.zeros(2), both, floats((WATTS, 0.0)), indices((QUIETLY, QUIETLY))),
        levers=indices((POWER, POWER)),
        door=0.0,
        door_open=1e9,
        filled_by=0.0,
        slots=slots,
        places=Places(*[nothing] * len(Places._fields)),
    )


def blank_diary() -> Diary:
    """Room for all that the two rules may do; they begin at once."""
    rows = 2 + 2 * 3 * CALLS
    due = np.full(rows, np.inf)
    due[:2] = 0.0
    kinds, which = np.zeros(rows, np.int64), np.zeros(rows, np.int64)
    kinds[:2], which[1] = BEGIN, 1
    deeds = Deeds(
        due, np.zeros(rows), kinds, which, np.zeros(rows), np.full(rows, QUIETLY), np.full(rows, CLOCK)
    )
    return Diary(
        deeds,
        np.zeros(5),
        indices((0, 1, 0) * 2).reshape(2, 3),
        indices((2, 0, 0)),
        np.zeros((MOST_NOTES, 5)),
        np.zeros((MOST_NOTES, 3)),
    )


def relay_by_driver(end: float) -> list[float]:
    """The same by two rules that the compiled driver watches."""
    times = np.array([0.0, end])
    answer = driven(
        body(end),
        times,
        1e-8,
        1e-8,
        rates=relay_rates,
        slopes=relay_slopes,
        orders=two_rules(),
        diary=blank_diary(),
    )
    diary = answer.plan.diary
    noted = diary.notes[: diary.counts[NOTES]]
    return sorted({float(row[TIME]) for row in noted if row[TIME] > 0.0})
