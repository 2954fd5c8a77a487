"""How far a night is from the exact answer of its own equations: tolerance, method, layers, work."""

import numpy as np
import pytest
from hypothesis import given, settings

from simtent.assembly.jacobian import shelter_jacobian
from simtent.network import Accuracy
from simtent.readings import level_temperatures
from simtent.run import STANDARD, run
from simtent.scenario.load import load
from tests.simulate.cases import KNOWN, ROOMS, SHIPPED
from tests.strategies import scenarios

pytestmark = pytest.mark.compiled

shipped = pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
rooms = pytest.mark.parametrize("path", ROOMS, ids=lambda path: path.stem)
known = pytest.mark.parametrize("path", KNOWN, ids=lambda path: path.stem)
HUNDRED_TIMES_TIGHTER = Accuracy(rtol=STANDARD.rtol / 100.0, atol=STANDARD.atol / 100.0)


def air(night):
    return night.solution.states[:, : night.model.house.bands.centres.size]


@rooms
def test_air_is_within_a_twentieth_of_a_kelvin_of_a_tighter_run(path):
    scenario = load(path)
    assert np.abs(air(run(scenario)) - air(run(scenario, accuracy=HUNDRED_TIMES_TIGHTER))).max() < 0.05


@given(scenarios())
@settings(max_examples=8)
def test_generated_nights_are_as_accurate(scenario):
    assert np.abs(air(run(scenario)) - air(run(scenario, accuracy=HUNDRED_TIMES_TIGHTER))).max() < 0.05


@known
@pytest.mark.parametrize("method", ["BDF", "Radau"])
def test_other_methods_agree(path, method):
    scenario = load(path)
    other = run(scenario, accuracy=Accuracy(method=method, rtol=1e-7, atol=1e-5))
    assert np.abs(air(run(scenario)) - air(other)).max() < 0.02


@rooms
def test_layers_matter_little(path):
    """Head, waist, cot and floor with 16 layers within 0.2 K of 48 (mixing alone; air that moves will ask for more)."""
    coarse, fine = (run(load(path, settings=[f"model.layers={n}"])) for n in (16, 48))
    assert np.abs(level_temperatures(coarse) - level_temperatures(fine)).max() < 0.2


@shipped
def test_work_of_a_night_is_bounded(path):
    solution = run(load(path)).solution
    assert solution.calls < 5000
    assert solution.jacobians < 600


@known
def test_spectrum(path):
    """Every mode decays, none oscillates, and the fastest is that of unstable mixing between thin layers."""
    night = run(load(path))
    n = len(night.model.net.capacities)
    solution = night.solution
    for k in range(0, solution.times.size, 24):
        jacobian = shelter_jacobian(
            solution.times[k], solution.states[k], night.model.shelter, solution.rows[k]
        )
        modes = np.linalg.eigvals(jacobian[:n, :n])
        assert modes.real.max() < 0.0
        assert np.abs(modes.imag).max() < 1e-3
        assert modes.real.min() > -20.0
