"""The exact solution of linear networks, and slopes by parameters, against closed forms and the engine."""

import numpy as np
import pytest
from hypothesis import given, settings

from simtent.identify import Built, Column, Parameter, Problem, lagged, why_not_linear
from simtent.identify.linear import exact
from simtent.identify.model import _Swift, predicted, slopes, temperatures
from simtent.network import Builder, Melt, tables
from tests.network import linear
from tests.network.plain import run
from tests.network.strategies import linear_networks

from .rooms import room


@given(linear_networks())
@settings(max_examples=25)
def test_generated_networks_follow_the_matrix_exponential(net):
    times = np.array([0.0, 17.0, 1000.0, 3601.0, 14400.0])
    assert np.abs(exact(net, times) - linear.exact(net, times.tolist())).max() < 1e-7


@pytest.mark.parametrize(
    "table",
    [
        tables.lines([100.0, 700.0, 700.0, 2000.0], [270.0, 280.0, 250.0, 260.0]),
        tables.smooth([0.0, 900.0, 3000.0], [260.0, 285.0, 270.0]),
        tables.steps([0.0, 333.3, 1111.1], [270.0, 290.0, 260.0]),
    ],
)
def test_every_kind_of_table_as_the_engine_has_it(table):
    net = Builder(end=3600.0)
    outside = net.boundary(table)
    one = net.node(3e4, start=280.0, group="one")
    two = net.node(9e3, start=300.0, group="two")
    net.link(outside, one, 60.0, net.path("loss", crossing=True))
    net.link(one, two, 25.0)
    sensor = lagged(net, two, 45.0, 290.0, "sensor")
    times = np.concatenate((np.arange(0.0, 3600.0, 97.3), [3600.0]))
    assert np.abs(exact(net, times) - run(net, times).states[:, : sensor + 1]).max() < 1e-5


def test_a_sensor_trails_a_ramp_by_its_lag():
    net = Builder(end=5000.0)
    ramp = net.boundary(tables.lines([0.0, 5000.0], [250.0, 300.0]))
    room_ = net.node(1e-3, start=250.0, group="room")  # as good as the ramp itself
    net.link(ramp, room_, 1.0, net.path("loss", crossing=True))
    sensor = lagged(net, room_, 60.0, 250.0, "sensor")
    last = exact(net, np.array([5000.0]))[0]
    assert last[room_] - last[sensor] == pytest.approx(0.01 * 60.0, rel=1e-5)


def test_slopes_of_a_cooling_curve_to_a_hundred_millionth():
    def build(values):
        net = Builder(end=9000.0)
        node = net.node(values["C"], start=300.0, group="room")
        net.link(net.boundary(tables.constant(260.0)), node, values["G"], net.path("loss", crossing=True))
        return Built(net, {"room": node})

    times = np.arange(0.0, 9000.0, 100.0)
    problem = Problem(
        (Parameter("C", 5e4), Parameter("G", 20.0)), build, (Column("room", times, times, 1.0),)
    )
    found = slopes(problem, np.log([5e4, 20.0]))[0]
    part = times * 20.0 / 5e4
    assert np.abs(found[:, 0] - 40.0 * part * np.exp(-part)).max() < 1e-8
    assert np.abs(found[:, 1] + 40.0 * part * np.exp(-part)).max() < 1e-8


def test_slopes_through_the_engine_agree_with_the_exact_ones(monkeypatch):
    times = np.arange(0.0, 36000.0, 3000.0)
    parameters = (Parameter("loss", 40.0), Parameter("film", 150.0))
    problem = Problem(parameters, room, (Column("sensor", times, times, 1.0),))
    logs = np.log([40.0, 150.0])
    told, moved = predicted(problem, logs)[0], slopes(problem, logs)[0]
    monkeypatch.setattr("simtent.identify.model.why_not_linear", lambda net: "for a test")
    assert np.abs(predicted(problem, logs)[0] - told).max() < 1e-6
    assert np.abs(slopes(problem, logs)[0] - moved).max() < 1e-5


def test_a_node_that_only_radiates_has_a_closed_form():
    net = Builder(end=1000.0)
    node = net.node(1e3, start=400.0, group="hot")
    net.ray(net.boundary(tables.constant(0.0)), node, 5e-9, net.path("sky", crossing=True))
    assert why_not_linear(net) == "it has rays"
    exactly = (400.0**-3 + 3.0 * 5e-9 / 1e3 * 1000.0) ** (-1.0 / 3.0)
    assert temperatures(Built(net, {}), np.array([0.0, 1000.0]))[-1, 0] == pytest.approx(exactly, abs=1e-6)


def test_what_is_not_linear_is_refused():
    net = Builder(end=10.0)
    net.node(1.0, start=260.0, group="ice", melt=Melt(273.15, 10.0, 2.0, 0.5))
    assert why_not_linear(net) == "a node melts"
    with pytest.raises(ValueError, match="melts"):
        exact(net, np.array([5.0]))
    assert why_not_linear(room({}).net) is None


@given(linear_networks())
@settings(max_examples=10)
def test_breaks_found_all_at_once_are_those_found_one_by_one(net):
    for table in net._tables:
        assert _Swift(table.starts, table.cubics).breaks() == table.breaks()


def test_breaks_of_every_kind_of_table_at_once():
    chance = np.random.default_rng(0)
    times, values = np.cumsum(chance.uniform(1.0, 9.0, 50)), chance.normal(280.0, 5.0, 50)
    for kind in (tables.lines, tables.smooth, tables.steps):
        table = kind(times, values)
        assert _Swift(table.starts, table.cubics).breaks() == table.breaks()
    flat = tables.lines([0.0, 1.0, 2.0, 3.0], [1.0, 2.0, 3.0, 3.0])
    assert _Swift(flat.starts, flat.cubics).breaks() == flat.breaks() != ()


def test_long_steps_are_doubled_from_short_ones():
    """A stiff room over a day in one step, tables that are cubic: as in many short steps."""
    net = Builder(end=86400.0)
    outside = net.boundary(tables.smooth([0.0, 86400.0], [260.0, 280.0]))
    nodes = [net.node(c, start=290.0, group="room") for c in (5e2, 8e5)]
    net.link(nodes[0], nodes[1], 40.0)
    net.link(outside, nodes[0], 30.0, net.path("loss", crossing=True))
    many = exact(net, np.linspace(0.0, 86400.0, 4001))
    assert exact(net, np.array([0.0, 86400.0]))[-1] == pytest.approx(many[-1], abs=1e-9)
