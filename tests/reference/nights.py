"""Shipped nights by SUNDIALS' CVODE, from stop to stop on simtent's right-hand side, and how far ours are from it."""

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from sksundae.cvode import CVODE

from simtent.assembly.assemble import Model
from simtent.assembly.rhs import shelter_rhs
from simtent.driver import METHOD, drive
from simtent.network import Accuracy
from simtent.network.arrays import Array, Indices
from simtent.network.kernels import node_temperatures
from simtent.run import Run, run
from simtent.scenario.load import load
from tests.fire.by_cvode import by_cvode, tolerances

SCENARIOS = Path(__file__).parents[2] / "scenarios"
PER_RTOL = 100.0  # K of absolute tolerance over the relative one, as a night has it
TIGHT = 1e-10


class Exact(NamedTuple):
    """A night by CVODE: states at the times told, and which of them lie apart from what was done at the stove.

    There the two may tell what was before it or after it.
    """

    states: Array
    free: Array


@lru_cache
def ours(name: str) -> Run:
    """A shipped night as `simulate` solves it."""
    return run(load(SCENARIOS / f"{name}.toml"))


@lru_cache
def driven(name: str) -> Run:
    """The same by the compiled driver."""
    return drive(load(SCENARIOS / f"{name}.toml"))


def in_place(model: Model, rows: Indices) -> Callable[[float, Array, Array], None]:
    """The right-hand side as CVODE wants it, with some rows of the tables in force.

    What it lends cannot be written to: a type of its own, for which all would be compiled once more. Hence a copy.
    """

    def rates(t: float, state: Array, out: Array) -> None:
        out[:] = shelter_rhs(t, state.copy(), model.shelter, rows)

    return rates


def from_jump_to_jump(model: Model, times: Array, rtol: float) -> Array:
    """States at the times of a night in which nothing is done, with nothing of simtent but laws and tables.

    At every jump the next rows of the tables are put in force and CVODE starts anew.
    """
    network, jumps = model.shelter.net, model.net.jump_times()
    states, state = np.empty((times.size, model.start.size)), model.start.copy()
    for k, (begin, end) in enumerate(zip(jumps, [*jumps[1:], model.net.end], strict=True)):
        rates = in_place(model, network.jumps.rows[k].copy())
        wanted = (times >= begin) & (times <= end)
        stops = np.unique(np.concatenate(([begin, (begin + end) / 2.0, end], times[wanted])))
        solver = CVODE(rates, rtol=rtol, atol=tolerances(model, PER_RTOL * rtol), max_num_steps=100_000)
        answer = solver.solve(stops, state)
        assert answer.success, answer.message
        states[wanted] = answer.y[np.searchsorted(stops, times[wanted])]
        state = answer.y[-1].copy()
    return states


@lru_cache
def by_other(name: str, rtol: float = 1e-9) -> Exact:
    """The same by CVODE, which makes its own Jacobian by differences."""
    night = ours(name)
    times, tending = night.solution.times, night.tending
    done = np.array([event.time for event in tending.events] if tending else [], float)
    assert tending is None or not tending.watches
    if tending is None:
        return Exact(from_jump_to_jump(night.model, times, rtol), np.ones(times.size, bool))
    states, _ = by_cvode(night.scenario, times, rtol, PER_RTOL * rtol, jacobian=False)
    return Exact(states, np.all(np.abs(times[:, None] - done) > 1.0, axis=1))


def apart(name: str, night: Run, rtol: float = 1e-9) -> float:
    """Furthest that the air in any layer, or the stove in the open, is from CVODE's over the night [K]."""
    other = by_other(name, rtol)
    house = night.model.house
    seen = np.arange(night.air.shape[1]) if house is not None else np.array([night.model.hearth.body])
    temperatures = node_temperatures(night.model.shelter.net, other.states)
    return float(np.abs(temperatures - night.temperatures)[other.free][:, seen].max())


def heat_apart(name: str, night: Run) -> float:
    """Furthest that the heat along any path of the whole night is from CVODE's, over the largest."""
    net = night.model.shelter.net
    paths = slice(net.capacity.size, net.capacity.size + net.paths)
    came = night.solution.states[-1, paths]
    return float(np.abs(by_other(name).states[-1, paths] - came).max() / np.abs(came).max())


def at_tolerance(name: str, way: str, rtol: float) -> float:
    """How far a night is from CVODE's at 1e-10 if it is solved at another tolerance [K]."""
    scenario = load(SCENARIOS / f"{name}.toml")
    if way == "driver":
        night = drive(scenario, accuracy=Accuracy(METHOD, rtol, PER_RTOL * rtol))
    else:
        night = run(scenario, accuracy=Accuracy(way, rtol, PER_RTOL * rtol))
    return apart(name, night, TIGHT)
