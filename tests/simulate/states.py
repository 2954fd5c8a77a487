"""States of a shelter to look at: along solved nights, at random, and close to where its air changes its ways."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from simtent.assembly.assemble import Model
from simtent.assembly.rhs import observe, shelter_rhs
from simtent.assembly.streams import FALLING, PLUME, RISING
from simtent.run import Run
from tests.simulate.both_ways import stoke

SPREAD = 5.0  # K, by which neighbours may stand apart at random


@dataclass(frozen=True)
class State:
    """A state of a model, with the moment and the rows of its tables."""

    model: Model
    time: float
    values: np.ndarray
    rows: np.ndarray

    @property
    def nodes(self) -> int:
        return self.model.shelter.net.capacity.size

    @property
    def layers(self) -> int:
        return self.model.house.bands.centres.size

    @property
    def scale(self) -> np.ndarray:
        """What counts as a kelvin; a joule of what has gone along a path, which moves nothing."""
        net = self.model.shelter.net
        return np.concatenate(
            (np.ones(net.capacity.size + net.paths), np.where(net.scale > 0.0, net.scale, 1.0))
        )

    @property
    def moving(self) -> np.ndarray:
        """Places of temperatures and amounts: neither paths nor settings."""
        net = self.model.shelter.net
        first = net.capacity.size + net.paths
        return np.r_[: net.capacity.size, first : first + net.amounts]

    def with_values(self, values: np.ndarray) -> "State":
        return State(self.model, self.time, values, self.rows)

    def rates(self, values: np.ndarray | None = None) -> np.ndarray:
        """The right-hand side here, or at other values."""
        y = self.values if values is None else values
        return shelter_rhs(self.time, y, self.model.shelter, self.rows)

    def seen(self):
        """Readings of the weather, the fire and the air."""
        return observe(self.time, self.values, self.model.shelter, self.rows)


def along(night: Run, every: int = 1) -> list[State]:
    """States of a solved night."""
    s = night.solution
    return [State(night.model, s.times[k], s.states[k], s.rows[k]) for k in range(0, s.times.size, every)]


def at_random(model: Model, seed: int, count: int, time: float = 60.0) -> list[State]:
    """The start, then states whose air is warmer above or below, its surfaces anywhere near, with any fire."""
    random = np.random.default_rng(seed)
    net = model.shelter.net
    found = [State(model, time, model.start.copy(), net.jumps.rows[0].copy())]
    for _ in range(count):
        state, n = model.start.copy(), net.capacity.size
        state[:n] = 263.0 + random.uniform(-15.0, 40.0) + random.uniform(-SPREAD, SPREAD, n)
        if model.house is not None:
            centres = model.house.bands.centres
            state[: centres.size] += random.uniform(-5.0, 25.0) * centres / centres[-1]
        if model.hearth is not None:
            stoke(model, state, random)
        found.append(State(model, time, state, found[0].rows))
    return found


def passing(here: State, there: np.ndarray) -> Iterator[tuple[str, State]]:
    """States on the way to other values at which something in the air begins, ends or turns, to round-off.

    An opening's flow turns; a plume, a falling or a rising current reaches the next layer; the flue reverses.
    """
    steps = np.linspace(0.0, 1.0, 41)
    marks = [_marks(here.with_values(_between(here, there, s))) for s in steps]
    for name in marks[0]:
        signs = np.array([mark[name] for mark in marks])
        for low, high, was, then in zip(steps, steps[1:], signs, signs[1:], strict=False):
            for which in np.flatnonzero(was != then)[:2]:
                yield (
                    name,
                    here.with_values(
                        _between(
                            here,
                            there,
                            _halved(
                                lambda s, n=name, w=which: _marks(here.with_values(_between(here, there, s)))[
                                    n
                                ][w],
                                low,
                                high,
                            ),
                        )
                    ),
                )


def _between(here: State, there: np.ndarray, share: float) -> np.ndarray:
    return here.values + share * (there - here.values)


def _halved(mark: Callable[[float], bool], low: float, high: float) -> float:
    first = mark(low)
    for _ in range(45):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if mark(middle) == first else (low, middle)
    return high


def _marks(state: State) -> dict[str, np.ndarray]:
    _, _, air = state.seen()
    places = state.model.shelter.stove.places
    marks = {
        "an opening's flow turns": air.entering > 0.0,
        "a plume reaches a layer": air.streams[PLUME] > 0.0,
        "a falling current reaches a layer": air.streams[FALLING] < 0.0,
        "a rising current reaches a layer": air.streams[RISING] > 0.0,
    }
    if state.model.hearth is not None:
        marks["the flue reverses"] = np.array([state.values[places.air] > 0.0])
    return marks
