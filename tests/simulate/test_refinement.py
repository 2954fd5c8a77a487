"""How much the number of layers matters: the named levels with the usual number against 48, air and what is felt."""

import numpy as np
import pytest

from simtent.readings import readings
from simtent.run import run
from simtent.scenario.load import load
from tests.fire.burns import STORY
from tests.simulate.cases import FEW, each

pytestmark = pytest.mark.compiled

NAMED = ("head", "waist", "cot", "floor")
AIR, FELT = "level_temperature", "operative_temperature"
ALLOWED = {AIR: 1.0, FELT: 0.6}  # K


def at_levels(path, layers=None):
    """Head, waist, cot and floor over a night [degC], of the air and as felt."""
    settings = [] if layers is None else [f"model.layers={layers}"]
    night = run(load(path, settings=settings))
    columns = [list(night.scenario.levels).index(name) for name in NAMED]
    values, _ = readings(night)
    return {told: np.asarray(values[told])[:, columns] for told in ALLOWED}


@each(FEW[:1])
def test_the_usual_layers_are_within_a_kelvin_of_48(path):
    assert_within_a_kelvin(path)


@pytest.mark.slow
@each([*FEW[1:], STORY])
def test_the_usual_layers_are_within_a_kelvin_of_48_elsewhere(path):
    assert_within_a_kelvin(path)


def assert_within_a_kelvin(path):
    usual, fine = at_levels(path), at_levels(path, 48)
    for told, allowed in ALLOWED.items():
        assert np.abs(usual[told] - fine[told]).max() < allowed, told


@pytest.mark.slow
@each([*FEW, STORY])
def test_more_layers_come_closer(path):
    """In the mean over night and levels 32 layers are nearer to 64 than 8 and 16 are: it goes somewhere."""
    finest = at_levels(path, 64)[AIR]
    off = [float(np.abs(at_levels(path, layers)[AIR] - finest).mean()) for layers in (8, 16, 32)]
    assert off[0] > off[1] > off[2]
    assert off[2] < 0.2 * ALLOWED[AIR]
