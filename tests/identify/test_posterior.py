"""Profiles, draws and chains of a fit: Laplace's where the problem is linear, honest where nothing is known."""

import numpy as np
import pytest

from simtent.identify import Parameter, Prior, Problem, UntrustedError, draws, fit, profiles, walked
from simtent.identify.posterior import flagged

from .rooms import TRUTH, problem, room, with_errors


@pytest.fixture(scope="module")
def sharp():
    """Two numbers, well known: nearly Laplace's bell curve."""
    return fit(with_errors(problem(("loss", "wall"), step=300.0), 0.05, 600.0, seed=2), starts=1)


@pytest.fixture(scope="module")
def loose():
    """A product: only the bounds hold its parts."""

    def build(values):
        return room({"loss": values["area"] * values["per_area"]})

    truth = {"area": 20.0, "per_area": 2.0}
    free = problem(tuple(truth), step=600.0, build=build, truth=truth)
    narrow = tuple(Parameter(n, v, low=v / 10.0, high=v * 10.0) for n, v in truth.items())
    return fit(with_errors(Problem(narrow, build, free.columns), 0.1, 600.0, seed=1), starts=1)


def test_profiles_of_what_is_well_known_are_laplaces(sharp):
    intervals = sharp.intervals()
    for name, one in profiles(sharp, ("loss", "wall")).items():
        assert one.closed
        assert np.exp(one.interval()) == pytest.approx(intervals[name], rel=0.01)
        assert len(one.values) <= 7


def test_nothing_is_flagged_of_what_is_well_known(sharp):
    assert flagged(sharp) == () and profiles(sharp) == {}


def test_profiles_of_a_product_reach_the_bounds_and_say_so(loose):
    assert flagged(loose) == ("area", "per_area")
    for name, one in profiles(loose).items():
        assert not one.closed
        assert np.exp(one.interval()) == pytest.approx(
            loose.problem.parameters[name != "area"].bounds, rel=0.02
        )
        assert len(one.words(name)) == 2


def test_draws_of_what_is_well_known_are_laplaces(sharp):
    found = draws(sharp, 200)
    assert found.trusted, found.words()
    points = found.draws(400)
    assert np.mean(points, axis=0) == pytest.approx(sharp.logs, abs=0.2 * min(sharp.deviations().values()))
    assert np.std(points, axis=0) == pytest.approx(list(sharp.deviations().values()), rel=0.15)


def test_draws_of_a_product_fill_the_bounds_and_keep_the_product(loose):
    found = draws(loose, 200, seed=1)
    assert found.trusted, found.words()
    points = found.draws(500)
    assert np.ptp(points[:, 0]) > 3.5  # of the 4.6 between the bounds
    value, deviation = loose.product(area=1, per_area=1)
    assert np.mean(points.sum(axis=1)) == pytest.approx(np.log(value), abs=0.3 * deviation)
    assert np.std(points.sum(axis=1)) == pytest.approx(deviation, rel=0.2)


def test_draws_keep_to_a_prior():
    truth = TRUTH | {"idle": 3.0}
    free = problem(
        ("loss", "idle"),
        truth=truth,
        build=lambda v: room({"loss": v["loss"]}),
        priors={"idle": Prior(3.0, 0.3)},
    )
    points = draws(fit(free, starts=1), 300).draws(1000)
    assert np.std(points[:, 1]) == pytest.approx(0.3, rel=0.1)


def test_where_laplace_is_wrong_one_round_is_refused_and_further_ones_mend_it():
    """A conductance so large that readings only say it is large: flat up to the bound, and no bell curve."""
    free = problem(("film",), truth=TRUTH | {"film": 3e6}, noise=0.02, off=1.0001)
    wide = Problem((Parameter("film", 3e6, low=30.0, high=3e8),), room, free.columns)
    found = fit(with_errors(wide, 0.02, 60.0, seed=0), starts=1)
    once = draws(found, 300, rounds=1)
    assert not once.trusted
    with pytest.raises(UntrustedError):
        once.draws(10)
    side = profiles(found, ("film",))["film"]
    assert side.high.why == "bound"
    points = draws(found, 300).draws(1000)  # nearly even between the profile's low end and the bound
    assert np.quantile(points, [0.25, 0.75]) == pytest.approx(
        np.interp([0.25, 0.75], [0, 1], side.interval()), abs=0.4
    )


@pytest.mark.slow
def test_walkers_find_laplaces_spread(sharp):
    found = walked(sharp, wanted=300, most=3000, seed=4)
    assert found.trusted, found.words()
    assert np.std(found.draws(5000), axis=0) == pytest.approx(list(sharp.deviations().values()), rel=0.15)


def test_an_unknown_name_is_refused(sharp):
    with pytest.raises(ValueError, match="no such"):
        profiles(sharp, ("volume",))
