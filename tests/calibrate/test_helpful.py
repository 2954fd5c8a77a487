"""What a further measurement would tell: what belongs to one night alone is unknown again in another."""

import numpy as np
import pytest

from simtent.calibrate.burnt import COUNT
from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.helpful import _own, _without, helpful
from simtent.scenario.load import load
from tests.calibrate import yard


def test_what_is_told_of_the_rest_where_a_nights_own_numbers_have_to_be_found_too():
    """By the inverse of the whole: the covariance of the rest, and from it what is told."""
    chance = np.random.default_rng(3)
    slopes = chance.standard_normal((30, 5))
    told = slopes.T @ slopes
    found = _without(told, [1], 4)  # the second is the night's own, the fifth is of a new sensor
    rest, whole = [0, 2, 3], told + np.diag([0.0, 1.0, 0.0, 0.0, 1.0])
    expect = np.linalg.inv(np.linalg.inv(whole)[np.ix_(rest, rest)])
    np.testing.assert_allclose(found[np.ix_(rest, rest)], expect, rtol=1e-9)
    assert np.all(found[1] == 0.0) and np.all(found[:, 1] == 0.0) and found.shape == (4, 4)


@pytest.fixture(scope="module")
def burn(tmp_path_factory):
    """A burn in the open with a load of which nobody knows the mass, a time of which nobody is sure."""
    return calibrate(load(yard.camp(tmp_path_factory.mktemp("yard"))), starts=1)


@pytest.mark.compiled
def test_masses_and_times_are_a_nights_own_and_the_usual_piece_is_not(burn):
    own = {burn.sought[k].name for k in _own(burn, burn.nights[0])}
    assert own == {"mass of the load at 14:30, 2031-01-11", "time of 15:45, 2031-01-11"}
    assert COUNT in {one.name for one in burn.sought}


@pytest.mark.compiled
def test_loads_that_nobody_weighed_are_a_candidate_and_nothing_makes_it_worse(burn):
    helps = {it.what: it for it in helpful(burn)}
    assert {"every load weighed", "a sensor at pipe"} <= set(helps)
    assert all(0.0 < it.narrows <= 1.0 + 1e-9 and it.most[1] <= 1.0 + 1e-9 for it in helps.values())
    assert helps["every load weighed"].most[1] < 0.999
