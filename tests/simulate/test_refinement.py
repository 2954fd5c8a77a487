"""How much the number of layers matters: the named levels with the usual number against 48."""

import numpy as np
import pytest

from simtent.readings import level_temperatures
from simtent.run import run
from simtent.scenario.load import load
from tests.fire.burns import STORY
from tests.simulate.cases import FEW, each

pytestmark = pytest.mark.compiled

NAMED = ("head", "waist", "cot", "floor")
ALLOWED = 1.0  # K


def at_levels(path, layers=None):
    """Head, waist, cot and floor over a night [degC]."""
    settings = [] if layers is None else [f"model.layers={layers}"]
    night = run(load(path, settings=settings))
    return level_temperatures(night)[:, [list(night.scenario.levels).index(name) for name in NAMED]]


@each(FEW[:1])
def test_the_usual_layers_are_within_a_kelvin_of_48(path):
    assert_within_a_kelvin(path)


@pytest.mark.slow
@each([*FEW[1:], STORY])
def test_the_usual_layers_are_within_a_kelvin_of_48_elsewhere(path):
    assert_within_a_kelvin(path)


def assert_within_a_kelvin(path):
    assert np.abs(at_levels(path) - at_levels(path, 48)).max() < ALLOWED


@pytest.mark.slow
@each([*FEW, STORY])
def test_more_layers_come_closer(path):
    """In the mean over night and levels 32 layers are nearer to 64 than 8 and 16 are: it goes somewhere."""
    finest = at_levels(path, 64)
    off = [float(np.abs(at_levels(path, layers) - finest).mean()) for layers in (8, 16, 32)]
    assert off[0] > off[1] > off[2]
    assert off[2] < 0.2 * ALLOWED
