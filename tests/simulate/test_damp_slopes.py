"""No switch hides in the water's part of the right-hand side, and its derivatives are true enough for the solver."""

import numpy as np
import pytest
from hypothesis import given, settings

from simtent.assembly.assemble import assemble
from simtent.assembly.jacobian import shelter_jacobian
from simtent.run import run
from simtent.scenario.load import load
from tests.simulate.cases import FEW, each
from tests.simulate.states import along, at_random
from tests.simulate.test_metamorphic import SEEDS
from tests.simulate.test_nudge import JACOBIAN_STEP as STEP
from tests.simulate.test_nudge import check, differences, round_off
from tests.simulate.test_spectrum import modes_of
from tests.simulate.wet_states import WET, wetted_at_random
from tests.strategies import damp_nights

pytestmark = pytest.mark.compiled

STEEPEST = 5e3  # 1/s by what counts as one kelvin, 0.1 kg/m2 of ice: the last gram goes in some seconds
ANYWHERE = 1e5
FASTEST = {"larch_bench": 5.0, "sedge_hollow": 25.0, "snow_saddle": 40.0}  # 1/s


@pytest.fixture(scope="module")
def nights():
    return {path.stem: run(load(path).replace(WET)) for path in FEW}


@each(FEW)
def test_a_nudge_along_a_night(nights, path):
    check(along(nights[path.stem], every=40), STEEPEST)


@given(damp_nights(), SEEDS)
@settings(max_examples=4)
def test_a_nudge_anywhere(night, seed):
    random = np.random.default_rng(seed)
    check([wetted_at_random(state, random) for state in at_random(assemble(night), seed, 1)], ANYWHERE)


def steps_of(state):
    """Places of vapour, ice, water and wet things in a state, and steps small against what bends their slopes [kg]."""
    p = state.model.shelter
    damp, area = p.damp, p.films.area
    rows = ((damp.first, 1e-8 * damp.mass), (damp.ice, 1e-7 * area), (damp.liquid, 1e-7 * area))
    for first, steps in (*rows, (damp.wet, 1e-7 * damp.wet_area)):
        yield from ((first + k, by) for k, by in enumerate(steps))


def check_jacobian(states):
    """Within 0.2 % of the greatest of a column, by differences.

    What a surface's temperature does to vapour by the currents that it drives is left out: less than 1e-3.
    """
    for state in states:
        told = shelter_jacobian(state.time, state.values, state.model.shelter, state.rows)
        told = told * state.scale / state.scale[:, None]
        plain, base, wet = differences(state), state.rates(), dict(steps_of(state))
        for k, by in wet.items():
            values = state.values.copy()
            values[k] += by
            plain[:, k] = (state.rates(values) - base) / state.scale * state.scale[k] / by
        noise = 100.0 * round_off(state)[:, None] / STEP
        apart = np.maximum(np.abs(told - plain) - noise, 0.0) / (np.abs(plain).max(axis=0) + 1e-2)
        moving = [*range(state.nodes), *wet]
        assert apart[:, moving].max() < 2e-3
        counted = [k for k in state.moving if k >= state.model.shelter.damp.first and k not in wet]
        assert (told[:, counted] == 0.0).all()  # what has come, gone and dripped moves nothing


@each(FEW)
def test_the_jacobian_along_a_night(nights, path):
    check_jacobian(along(nights[path.stem], every=30))


@each(FEW)
def test_no_mode_is_faster_than_those_of_a_dry_night_by_much(nights, path):
    """The water's own: vapour that a small layer hands to cold skin, ice that melts; measured 2.6, 15 and 27 1/s."""
    for state in along(nights[path.stem], every=12):
        modes = modes_of(state)
        assert modes.real.min() > -FASTEST[path.stem]
        assert np.abs(modes.imag).max() < 0.35
