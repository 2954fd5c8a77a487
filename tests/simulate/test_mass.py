"""No air is lost: every layer's balance closes to round-off, and that of the whole by the inside pressure."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assembly.assemble import assemble
from simtent.run import run
from simtent.scenario.load import load
from tests.portion import some, within
from tests.simulate.cases import ROOMS, each
from tests.simulate.states import State, along, at_random
from tests.solving import solve_night
from tests.strategies import fires, scenarios

pytestmark = pytest.mark.compiled

ROUND_OFF = 1e-12  # of the air that moves through a layer
NOTHING = 1e-12  # kg/s
WHOLE = 1e-10  # of the air that enters, leaves and goes to the fire


def balances(state: State) -> tuple[float, float]:
    """What is open in the worst layer's balance and in that of the whole, over what flows there [-].

    Written anew from the readings: streams through the lower and the upper edge, what enters and leaves by openings,
    what the fire draws or spills; nothing of how the package closes it.
    """
    _, _, air = state.seen()
    shelter, layers = state.model.shelter, state.layers
    up = np.zeros((air.streams.shape[0], layers + 1))
    up[:, 1:-1] = air.streams
    fire = state.values[shelter.stove.places.air] if state.model.hearth is not None else 0.0
    drawn = fire * shelter.stove.flue.draws if state.model.hearth is not None else np.zeros(layers)
    entering, leaving = (
        np.bincount(shelter.room.openings.layer, flows, layers) for flows in (air.entering, air.leaving)
    )
    # The top layer takes what the pressure leaves open in the whole: that has a bound of its own.
    whole = entering.sum() - leaving.sum() - fire
    net = up[:, :-1].sum(axis=0) - up[:, 1:].sum(axis=0) + entering - leaving - drawn
    net[-1] -= whole
    through = (
        np.abs(up[:, :-1]).sum(axis=0) + np.abs(up[:, 1:]).sum(axis=0) + entering + leaving + np.abs(drawn)
    )
    moves = entering.sum() + leaving.sum() + abs(fire)
    most, moves = (
        max(through.max(), NOTHING),
        max(moves, NOTHING),
    )  # a shelter as cold as the night stands still
    return float(np.abs(net).max() / most), float(abs(whole) / moves)


def check(states: list[State]) -> None:
    of_layers, of_all = np.array([balances(state) for state in states]).T
    within(of_layers.max(), ROUND_OFF, "of the air through a layer is open")
    within(of_all.max(), WHOLE, "of the air through the whole is open")


@each(ROOMS)
def test_along_a_shipped_night(path):
    for state in along(run(load(path))):
        of_layers, of_all = balances(state)
        assert of_layers < ROUND_OFF, state.time
        assert of_all < WHOLE, state.time


@given(scenarios(), st.integers(0, 2**32 - 1))
def test_anywhere_with_a_known_heat(night, seed):
    check(at_random(assemble(night), seed, 8))


@given(fires(shapes=("box", "wall tent", "bell")), st.integers(0, 2**32 - 1))
def test_anywhere_with_a_fire(night, seed):
    check(at_random(assemble(night), seed, 8))


@some(2)
@given(fires(hours=(1, 2), shapes=("box", "wall tent", "bell")))
def test_along_a_generated_night(night):
    check(along(solve_night(night), every=3))


@some(2)
@given(scenarios(hours=(1, 4)))
def test_along_a_generated_night_with_a_known_heat(night):
    check(along(solve_night(night), every=3))
