"""Modes of the right-hand side along every shipped night and the story's, and what a night costs by its layers.

Measured: the fastest mode decays at 0.9 to 1.6 1/s in a box or a wall tent, at 7 1/s through the lightest skin, at
12 to 23 1/s in the small top layer of a bell before it is warm. Currents and plumes hand air on from layer to layer:
their modes oscillate, and die away. Only a fire grows: over eight minutes or more, and for the first seconds after its
door was opened as fast as the draught builds up.
"""

import time

import numpy as np
import pytest

from simtent.assembly.jacobian import shelter_jacobian
from simtent.run import Run, run
from simtent.scenario.load import load
from tests.fire.burns import STORY
from tests.simulate.cases import FEW, SHIPPED, each
from tests.simulate.states import State, along

pytestmark = pytest.mark.compiled

STANDS = 1e-7  # 1/s, what counts as standing still
TURNS = 1e-3  # 1/s, what counts as an oscillation
FASTEST = {
    "alder_ford": 1.5,
    "fence_shelf": 20.0,
    "gauge_bar": 8.0,
    "larch_bench": 1.5,
    "sedge_hollow": 20.0,
    "snow_saddle": 35.0,
    "stone_sheep": 45.0,
    "yard_burn": 0.2,
    "story": 1.5,
}  # 1/s
JUST_OPENED = 180.0  # s, after something was done at the stove
nights = each([*SHIPPED, STORY])


def modes_of(state: State) -> np.ndarray:
    """Eigenvalues of the right-hand side by temperatures and amounts [1/s]."""
    jacobian = shelter_jacobian(state.time, state.values, state.model.shelter, state.rows)
    return np.linalg.eigvals(jacobian[np.ix_(state.moving, state.moving)])


def done(night: Run) -> np.ndarray:
    """Moments at which something was done at the stove [s]."""
    return np.array([event.time for event in night.tending.events]) if night.tending else np.zeros(0)


@nights
def test_spectrum(path):
    night = run(load(path))
    stops, grown = done(night), 0
    for state in along(night, every=2):
        modes = modes_of(state)
        growing = modes[modes.real > STANDS]
        turning = modes[np.abs(modes.imag) > TURNS]
        assert modes.real.min() > -FASTEST[path.stem], state.time
        assert np.abs(modes.imag).max() < 0.35, state.time
        assert growing.size <= (0 if night.model.hearth is None else 3), state.time
        assert np.all(-turning.real > 0.2 * np.abs(turning.imag)), state.time
        since = np.min(state.time - stops[stops <= state.time], initial=np.inf)
        assert growing.real.max(initial=0.0) < (0.1 if since < JUST_OPENED else 0.004), state.time
        assert np.abs(growing.imag).max(initial=0.0) < TURNS, state.time
        grown += growing.size
    assert (grown > 5) == (night.model.hearth is not None)


@pytest.mark.slow
@each([*FEW, STORY])
def test_time_of_a_night_grows_no_worse_than_with_the_square_of_the_layers(path):
    """Processor time, the best of two, as a ratio of one process: eight times the layers, at most 64 times the time."""
    spent = {}
    for layers in (8, 64):
        scenario = load(path, settings=[f"model.layers={layers}"])
        run(scenario, step=1800.0)
        begin = time.process_time()
        run(scenario, step=1800.0)
        spent[layers] = time.process_time() - begin
    assert spent[64] < 64.0 * spent[8]


@each(FEW[:1])
def test_layers_ask_for_few_steps_more(path):
    """Steps are set by heat and fire, not by thin layers: six times the layers, at most two and a half the calls."""
    assert_few_steps_more(path)


@pytest.mark.slow
@each([*FEW[1:], STORY])
def test_layers_ask_for_few_steps_more_elsewhere(path):
    assert_few_steps_more(path)


def assert_few_steps_more(path):
    few, many = (run(load(path, settings=[f"model.layers={n}"])).solution.calls for n in (8, 48))
    assert many < 2.5 * few
