"""Bands hold as many readings as they say, of the run that was fitted and of another; they open where nothing is."""

import numpy as np
import pytest

from simtent.identify import Built, Column, Parameter, Problem, band, fit
from simtent.network import Builder, tables

from .rooms import problem, room, with_errors


def test_the_band_of_a_mean_is_known_by_a_closed_form():
    """A boundary's temperature read 40 times, errors independent: deviation of the mean s / sqrt(40)."""

    def build(values):
        net = Builder(end=400.0)
        node = net.node(1e-3, start=values["T"], group="node")
        net.link(net.boundary(tables.constant(values["T"])), node, 1.0, net.path("loss", crossing=True))
        return Built(net, {"T": node})

    times = np.arange(0.0, 400.0, 10.0)
    readings = 280.0 + np.random.default_rng(1).normal(0.0, 0.5, 40)
    found = fit(
        Problem((Parameter("T", 281.0, low=200.0, high=400.0),), build, (Column("T", times, readings, 0.5),)),
        starts=1,
    )
    one = band(found, "T")
    kept = np.exp(-10.0 / found.errors[0].memory)
    worth = 1.0 + 39.0 * (1.0 - kept) / (1.0 + kept)  # as many independent readings
    assert one.parameters == pytest.approx(np.full(40, one.errors / np.sqrt(worth)), rel=0.01)
    low, high = one.edges(0.9)
    assert high - low == pytest.approx(2.0 * 1.6449 * np.hypot(one.errors, one.parameters), rel=1e-3)


def test_the_band_holds_a_run_that_was_held_out():
    shares = []
    for seed in range(6):
        exactly = problem(("loss", "wall", "film"), step=120.0)
        found = fit(with_errors(exactly, 0.3, 240.0, seed), starts=1)
        other = with_errors(exactly, 0.3, 240.0, seed + 100)
        shares.append(band(found, "sensor", other).inside(other.columns[0].values))
    assert np.mean(shares) == pytest.approx(0.9, abs=0.04)


def test_a_prediction_that_hangs_on_what_was_not_found_is_open():
    """With the heater off only loss / capacity is known; how warm it gets with the heater on nobody can say."""

    def build(heat):
        def with_heat(values):
            net = Builder(end=7200.0)
            node = net.node(values["C"], start=290.0, group="room")
            net.link(net.boundary(tables.constant(270.0)), node, values["G"], net.path("loss", crossing=True))
            net.source(node, net.table(tables.constant(heat)), 1.0, net.path("heat", crossing=True))
            return Built(net, {"room": node})

        return with_heat

    times = np.arange(0.0, 7200.0, 120.0)
    readings = 270.0 + 20.0 * np.exp(-times / 3600.0)
    sought = (Parameter("C", 2e5), Parameter("G", 40.0))
    found = fit(Problem(sought, build(0.0), (Column("room", times, readings, 0.1),)), starts=1)
    heated = Problem(sought, build(1000.0), (Column("room", times, readings, 0.1),))
    assert np.all(np.isfinite(band(found, "room").parameters))
    assert np.all(np.isinf(band(found, "room", heated).parameters[5:]))


def test_a_band_of_another_problem_is_refused():
    found = fit(problem(("loss",)), starts=1)
    with pytest.raises(ValueError, match="same parameters"):
        band(found, "sensor", problem(("wall",)))
    with pytest.raises(ValueError, match="no column"):
        band(found, "roof")
    assert room({}).net.end == 36000.0
