"""Bent coordinates: closed forms of the power, and nights of a planted truth that bend as conductances do."""

import numpy as np
import pytest
from scipy.integrate import quad

from simtent.calibrate.bent import Bent, measured
from tests.calibrate.planted import plant

BENT = Bent(np.array([0.5, -1.0, 0.2]), np.array([0.7, -0.4, 0.0]))


def test_a_bend_of_the_spread_counts_the_number_itself():
    """A factor of spread s is median exp(s z): bent by s, coordinates are proportional to the number."""
    spread, centre = 0.7, 0.5
    z = np.linspace(-3.0, 3.0, 7)
    v = Bent(np.array([centre]), np.array([spread])).there(z[:, None])[:, 0]
    number = np.exp(spread * z)
    assert np.diff(v) / np.diff(number) == pytest.approx(1.0 / (spread * np.exp(spread * centre)))


def test_back_undoes_there_and_the_centre_keeps_its_slope():
    z = np.random.default_rng(1).normal(size=(50, 3))
    assert BENT.back(BENT.there(z)) == pytest.approx(z)
    assert BENT.there(BENT.centre) == pytest.approx(np.zeros(3))
    hair = 1e-6 * np.eye(3)
    assert np.diag(BENT.there(BENT.centre + hair)) / 1e-6 == pytest.approx(np.ones(3), rel=1e-5)


def test_volumes_are_those_of_the_change_of_coordinates():
    """The integral of a normal over all bent coordinates, by SciPy's quadrature, is 1."""
    one = Bent(np.array([0.3]), np.array([0.7]))

    def density(v):
        z = one.back(np.array([v]))[0]
        return np.exp(-0.5 * z**2 + one.log_size(np.array([v]))) / np.sqrt(2.0 * np.pi)

    assert quad(density, -1.0 / 0.7 + 1e-9, 60.0, limit=400)[0] == pytest.approx(1.0, abs=1e-4)


@pytest.mark.compiled
def test_nights_follow_walls_and_leaks_by_a_power_of_them():
    """Heat loss grows with the leak area itself, so its bend is nearer its spread than 0; sensors are not bent."""
    found = plant(1029).fit()
    known, best = found.posterior, found.best
    bent = measured(found.misfit, known.z, known.deviations, best.seen, best.errors)
    leak = known.index("model.leak_area")
    assert 0.5 * known.sought[leak].spread < bent.bends[leak] < 1.5 * known.sought[leak].spread
    assert bent.bends[known.index("model.walls")] < 0.0  # more loss changes the night ever less
    assert bent.bends[known.index("lag of cot")] == 0.0
