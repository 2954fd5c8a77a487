"""Planted numbers are found again, errors with a memory are seen as such, priors and refusals do what they say."""

import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simtent.identify import Built, Column, Parameter, Prior, Problem, fit
from simtent.identify.memory import Errors
from simtent.network import Builder, tables

from .rooms import TRUTH, problem, room, with_errors

FACTOR = st.floats(-0.5, 0.5).map(np.exp)


@given(st.fixed_dictionaries(dict.fromkeys(TRUTH, FACTOR)), st.integers(0, 9))
@settings(max_examples=4)
def test_planted_numbers_are_found(factors, seed):
    truth = {name: value * factors[name] for name, value in TRUTH.items()}
    found = fit(problem(tuple(TRUTH), step=300.0, truth=truth), starts=2, seed=seed)
    assert found.settled
    assert found.values == pytest.approx(truth, rel=1e-4)


def test_deviation_and_memory_of_errors_are_found():
    found = fit(with_errors(problem(("loss", "wall"), step=60.0), 0.3, 300.0, seed=4), starts=1)
    assert found.errors[0].deviation == pytest.approx(0.3, rel=0.25)
    assert found.errors[0].memory == pytest.approx(300.0, rel=0.4)


def test_reading_more_often_does_not_fake_certainty():
    sharp = with_errors(problem(("loss", "wall"), step=20.0), 0.3, 1200.0, seed=1)
    column = sharp.columns[0]
    every = Column(column.name, column.times[::15], column.values[::15], column.noise)
    often, seldom = fit(sharp, starts=1), fit(Problem(sharp.parameters, room, (every,)), starts=1)
    for name, deviation in often.deviations().items():
        assert deviation == pytest.approx(seldom.deviations()[name], rel=0.4)  # white errors: 3.9 times less


def test_whitened_errors_are_independent():
    chance, times = np.random.default_rng(2), np.cumsum(np.random.default_rng(3).uniform(5.0, 60.0, 20000))
    kept, error = np.exp(-np.diff(times) / 100.0), [chance.standard_normal()]
    for k in kept:
        error.append(k * error[-1] + np.sqrt(1.0 - k**2) * chance.standard_normal())
    white = Errors(0.5, 100.0).whitened(times, 0.5 * np.array(error))
    assert np.std(white) == pytest.approx(1.0, abs=0.02)
    assert abs(np.corrcoef(white[1:], white[:-1])[0, 1]) < 0.02


def test_noise_is_a_floor():
    found = fit(problem(("loss",), noise=0.05), starts=1)
    assert found.errors[0].deviation == pytest.approx(0.05, rel=1e-6)


def test_a_prior_and_readings_meet_where_their_weights_say():
    """Of one number known to both, the logarithm is the mean weighted by squared certainties."""
    free = problem(("loss",), noise=0.5)
    wrong = Prior(TRUTH["loss"] * 1.02, 0.01)
    alone = fit(free, starts=1)
    both = fit(problem(("loss",), noise=0.5, priors={"loss": wrong}), starts=1)
    data = 1.0 / alone.deviations()["loss"] ** 2
    expected = (data * alone.logs[0] + 1e4 * np.log(wrong.median)) / (data + 1e4)
    assert 0.05 < data / 1e4 < 20.0
    assert both.logs[0] == pytest.approx(expected, abs=2e-4)
    assert both.deviations()["loss"] == pytest.approx((data + 1e4) ** -0.5, rel=0.02)


def test_a_network_that_radiates_is_fitted_through_the_engine():
    def build(values):
        net = Builder(end=3000.0)
        node = net.node(values["C"], start=500.0, group="hot")
        around = net.boundary(tables.constant(280.0))
        net.ray(around, node, 2e-8, net.path("sky", crossing=True))
        net.link(around, node, values["G"], net.path("air", crossing=True))
        return Built(net, {"hot": node})

    times, truth = np.arange(0.0, 3000.0, 150.0), {"C": 4e3, "G": 2.0}
    empty = Column("hot", times, times, 0.1)
    bare = Problem((Parameter("C", 6e3), Parameter("G", 1.0)), build, (empty,))
    from simtent.identify.model import predicted  # noqa: PLC0415

    readings = predicted(bare, np.log(list(truth.values())))[0]
    found = fit(Problem(bare.parameters, build, (Column("hot", times, readings, 0.1),)), starts=1)
    assert found.values == pytest.approx(truth, rel=1e-4)


def test_a_product_is_sharp_where_its_parts_are_not():
    def build(values):
        return room({"loss": values["area"] * values["per_area"]})

    truth = {"area": 20.0, "per_area": 2.0}
    found = fit(problem(tuple(truth), build=build, truth=truth), starts=1)
    value, deviation = found.product(area=1, per_area=1)
    assert (value, found.product(area=1)[1]) == (pytest.approx(40.0, rel=1e-4), np.inf)
    assert deviation == pytest.approx(fit(problem(("loss",)), starts=1).deviations()["loss"], rel=0.05)
    with pytest.raises(ValueError, match="no such"):
        found.product(volume=1)


def test_intervals_never_pass_the_bounds():
    def build(values):
        return room({"loss": values["loss"]})

    one = problem(("loss", "nothing"), build=build, truth=TRUTH | {"nothing": 1.0})
    low, high = fit(one, starts=1).intervals()["nothing"]
    assert (low, high) == pytest.approx(one.parameters[1].bounds)


TIMES = np.arange(5.0)


@pytest.mark.parametrize(
    ("wrong", "match"),
    [
        (lambda: Parameter("a", -1.0), "low < start"),
        (lambda: Parameter("a", 1.0, low=2.0), "low < start"),
        (lambda: Prior(1.0, 0.0), "spread"),
        (lambda: Column("T", TIMES, TIMES[:4], 0.1), "as many"),
        (lambda: Column("T", TIMES[::-1], TIMES, 0.1), "rise"),
        (lambda: Column("T", TIMES, TIMES * np.nan, 0.1), "numbers"),
        (lambda: Column("T", TIMES, TIMES, 0.0), "noise"),
        (lambda: Problem((Parameter("a", 1.0),) * 2, room, ()), "once"),
        (lambda: Problem((), room, ()), "needs"),
        (
            lambda: Problem(
                tuple(Parameter(n, 1.0) for n in "abc"), room, (Column("wall", TIMES, TIMES, 0.1),)
            ),
            "too few",
        ),
        (
            lambda: fit(Problem((Parameter("loss", 1.0),), room, (Column("roof", TIMES, TIMES, 0.1),))),
            "no node",
        ),
        (
            lambda: fit(Problem((Parameter("loss", 1.0),), room, (Column("wall", TIMES * 1e5, TIMES, 0.1),))),
            "outside",
        ),
    ],
)
def test_what_cannot_be_fitted_is_refused(wrong, match):
    with pytest.raises(ValueError, match=match):
        wrong()


def test_progress_is_told_and_a_fit_that_settled_says_nothing():
    told = []
    found = fit(
        problem(("loss", "wall"), step=600.0),
        starts=2,
        progress=lambda stage, cost: told.append((stage, cost)),
    )
    stages = list(dict.fromkeys(stage for stage, _ in told))
    assert stages[:3] == ["start 1 of 2", "start 2 of 2", "turn 1"]
    assert found.words() == ()


@pytest.mark.parametrize("when", ["start 1 of 2", "start 2 of 2", "turn 1"])
def test_an_interrupted_fit_keeps_the_best_so_far(when):
    seen = []

    def stop(stage, cost):
        seen.append(stage)
        if seen.count(when) == 2:
            raise KeyboardInterrupt

    one = with_errors(problem(("loss", "wall", "film"), step=300.0), 0.3, 600.0, seed=1)
    found = fit(one, starts=2, progress=stop)
    assert found.stopped and not found.settled
    assert found.words()[0].startswith("The fit was interrupted")
    assert len(found.left[0]) == len(one.columns[0].values)
    if when != "start 1 of 2":
        assert found.values["loss"] == pytest.approx(TRUTH["loss"], rel=0.1)
        whole = fit(one, starts=2)
        assert found.rmse["sensor"] < 1.1 * whole.rmse["sensor"]


def test_an_interruption_before_anything_was_tried_goes_on(monkeypatch):
    def interrupted(problem, logs):
        raise KeyboardInterrupt

    monkeypatch.setattr("simtent.identify.sought.predicted", interrupted)
    with pytest.raises(KeyboardInterrupt):
        fit(problem(("loss",)), starts=1)


def test_a_fit_that_did_not_settle_says_so(monkeypatch):
    monkeypatch.setattr(sys.modules["simtent.identify.fit"], "TURNS", 1)
    found = fit(with_errors(problem(("loss", "wall"), step=300.0), 0.3, 600.0, seed=1), starts=1)
    assert not found.settled and "did not settle" in found.words()[0]


def test_of_two_sets_of_numbers_that_fit_alike_the_given_start_decides():
    """Air and sensor may change places: both cascades answer the heat alike."""
    factors = {"air": 1.0, "loss": 0.6065, "wall": 0.6065, "film": 1.284, "lag": 1.0}
    truth = {name: TRUTH[name] * factors[name] for name in TRUTH}
    assert fit(problem(tuple(TRUTH), step=300.0, truth=truth), starts=2).values == pytest.approx(
        truth, rel=1e-3
    )
