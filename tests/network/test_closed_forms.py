"""Generated linear networks against mathematics. Networks of given numbers stand in tests/reference."""

import numpy as np
import pytest
from hypothesis import given

from simtent.network import Builder, tables
from tests.network.linear import exact
from tests.network.plain import run
from tests.network.strategies import linear_networks


@given(linear_networks())
def test_any_linear_network_is_the_matrix_exponential(net):
    times = np.linspace(0.0, net.end, 9)
    got = run(net, times)
    n = len(net.capacities)
    # At a pulse's own moment the state after it is reported by both.
    assert got.states[:, :n] == pytest.approx(exact(net, times.tolist()), abs=2e-5)


@given(linear_networks(sources=False))
def test_without_sources_nothing_leaves_the_range_of_start_and_boundary(net):
    got = run(net, np.linspace(0.0, net.end, 5))
    n = len(net.capacities)
    ends = [*net.starts, net._tables[0].cubics[0, 0]]
    assert got.states[:, :n].min() >= min(ends) - 1e-6
    assert got.states[:, :n].max() <= max(ends) + 1e-6


def test_capacity_and_conductance_scaled_together_give_the_same_curve():
    curves = []
    for scale in (1.0, 7.3):
        net = Builder(end=7200.0)
        outside = net.boundary(tables.constant(270.0))
        room = net.node(4e4 * scale, start=300.0, group="room")
        net.link(outside, room, 20.0 * scale, net.path("loss", crossing=True))
        curves.append(run(net, np.linspace(0.0, 7200.0, 13)).states[:, 0])
    assert curves[0] == pytest.approx(curves[1], abs=1e-6)
