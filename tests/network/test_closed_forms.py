"""The engine against mathematics: matrix exponential, series resistances, two bodies, half space, radiation."""

import math

import numpy as np
import pytest
from hypothesis import given
from scipy.linalg import expm
from scipy.special import erfc, erfcx

from simtent.network import Accuracy, Builder, tables
from tests.network.plain import run
from tests.network.strategies import linear_networks

SIGMA = 5.670374419e-8


def system(net: Builder):
    """Matrix and constant of dT/dt = A T + b, read from the pieces and not from the kernels."""
    n = len(net.capacities)
    a, b = np.zeros((n, n)), np.zeros(n)
    for i, j, g, _ in net._links:
        if i < 0:
            outside = net._tables[net.boundaries[-1 - i]].cubics[0, 0]
            a[j, j] -= g
            b[j] += g * outside
        else:
            a[i, i] -= g
            a[j, j] -= g
            a[i, j] += g
            a[j, i] += g
    c = np.array(net.capacities)
    return a / c[:, None], b / c


def exact(net: Builder, times):
    """Linear network by the augmented matrix exponential, stepped from jump to jump."""
    a, b = system(net)
    n = len(b)
    state, now, out = np.array(net.starts), 0.0, []
    marks = sorted({*net.jump_times().tolist(), *times})
    for mark in marks:
        power = np.zeros(n)
        for node, table, share, _ in net._sources:
            power[node] += share * net._tables[table].value((now + mark) / 2.0)
        forced = np.zeros((n + 1, n + 1))
        forced[:n, :n], forced[:n, n] = a, b + power / np.array(net.capacities)
        state = (expm(forced * (mark - now)) @ np.append(state, 1.0))[:n]
        now = mark
        for time, node, heat, _ in net._pulses:
            if time == mark:
                state[node] += heat / net.capacities[node]
        if mark in times:
            out.append(state.copy())
    return np.array(out)


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


def test_one_node_is_an_exponential():
    net = Builder(end=7200.0)
    outside = net.boundary(tables.constant(270.0))
    room = net.node(4e4, start=300.0, group="room")
    net.link(outside, room, 20.0, net.path("loss", crossing=True))
    times = np.linspace(0.0, 7200.0, 13)
    assert run(net, times).states[:, 0] == pytest.approx(270.0 + 30.0 * np.exp(-times / 2000.0), abs=1e-5)


def test_capacity_and_conductance_scaled_together_give_the_same_curve():
    curves = []
    for scale in (1.0, 7.3):
        net = Builder(end=7200.0)
        outside = net.boundary(tables.constant(270.0))
        room = net.node(4e4 * scale, start=300.0, group="room")
        net.link(outside, room, 20.0 * scale, net.path("loss", crossing=True))
        curves.append(run(net, np.linspace(0.0, 7200.0, 13)).states[:, 0])
    assert curves[0] == pytest.approx(curves[1], abs=1e-6)


def test_steady_wall_is_resistances_in_series():
    """ISO 6946 method: U = 1 / sum R; three layers between two films."""
    resistances = [0.13, 0.05, 0.18, 0.7, 0.04]
    net = Builder(end=40 * 86400.0)
    cold, warm = net.boundary(tables.constant(258.15)), net.boundary(tables.constant(293.15))
    out, into = net.path("out", crossing=True), net.path("in", crossing=True)
    nodes = [net.node(2e4, start=280.0, group="wall") for _ in range(4)]
    net.link(warm, nodes[0], 1.0 / resistances[0], into)
    for k in range(3):
        net.link(nodes[k], nodes[k + 1], 1.0 / resistances[k + 1])
    net.link(cold, nodes[3], 1.0 / resistances[4], out)
    got = run(net, [0.0, net.end])
    assert got.rates[-1] == pytest.approx([-35.0 / sum(resistances), 35.0 / sum(resistances)], rel=1e-6)
    falls = 293.15 - 35.0 * np.cumsum(resistances)[:4] / sum(resistances)
    assert got.states[-1, :4] == pytest.approx(falls, abs=1e-4)


def test_two_bodies_meet_at_their_common_temperature():
    net = Builder(end=86400.0)
    one = net.node(1e4, start=350.0, group="a")
    other = net.node(3e4, start=280.0, group="b")
    net.link(one, other, 5.0)
    times = np.linspace(0.0, 20000.0, 11)
    mixed = (1e4 * 350.0 + 3e4 * 280.0) / 4e4
    rate = 5.0 * (1.0 / 1e4 + 1.0 / 3e4)
    got = run(net, np.append(times, 86400.0)).states
    assert got[:-1, one] == pytest.approx(mixed + (350.0 - mixed) * np.exp(-rate * times), abs=1e-5)
    assert got[:, :2] @ [1e4, 3e4] == pytest.approx(1e4 * 350.0 + 3e4 * 280.0, rel=1e-12)


def test_a_plate_cools_by_radiation_alone():
    """dT/dt = -k T^4 / C to a boundary near 0 K: T = (T0^-3 + 3 k t / C)^(-1/3)."""
    net = Builder(end=3600.0)
    space = net.boundary(tables.constant(1e-3))
    plate = net.node(5e3, start=600.0, group="plate")
    net.ray(space, plate, SIGMA, net.path("glow", crossing=True))
    times = np.linspace(0.0, 3600.0, 7)
    expected = (600.0**-3 + 3.0 * SIGMA * times / 5e3) ** (-1.0 / 3.0)
    assert run(net, times).states[:, plate] == pytest.approx(expected, abs=1e-4)


def test_a_stream_through_two_tanks():
    """Stirred tanks in series: T1 = e^-x, T2 = (1 + x) e^-x over the inlet, x = t w / C."""
    net = Builder(end=4000.0)
    inlet = net.boundary(tables.constant(280.0))
    path = net.path("stream", crossing=True)
    tanks = [net.node(1e4, start=300.0, group="water") for _ in range(2)]
    net.stream(inlet, tanks[0], 10.0, path)
    net.stream(tanks[0], tanks[1], 10.0, path)
    times = np.linspace(0.0, 4000.0, 9)
    x = times / 1000.0
    got = run(net, times).states
    assert got[:, 0] == pytest.approx(280.0 + 20.0 * np.exp(-x), abs=1e-5)
    assert got[:, 1] == pytest.approx(280.0 + 20.0 * (1.0 + x) * np.exp(-x), abs=1e-5)


def half_space(film: float | None, cells: int = 60):
    """Column of soil under a step of 1 K at its face, or behind a film; nodes on the cells' faces."""
    k, c = 1.5, 1.8e6
    net = Builder(end=28800.0)
    path = net.path("step", crossing=True)
    # 2 mm cells hold the first 5 minutes to 1 %; growth ends far below the reach of 8 h.
    thickness = [0.002 * 1.08**n for n in range(cells)]
    held = [c * d for d in thickness]
    half = [(a + b) / 2 for a, b in zip([0.0, *held], [*held, 0.0], strict=True)]
    nodes = [net.node(h, start=273.15, group="soil") for h in half]
    for n, d in enumerate(thickness):
        net.link(nodes[n], nodes[n + 1], k / d)
    face = net.boundary(tables.constant(274.15))
    net.link(face, nodes[0], film if film is not None else 1e5, path)
    return net, np.concatenate(([0.0], np.cumsum(thickness)))


# physics.md CD2 to CD4: closed forms of the half space, k 1.5 W/(m K), 1.8e6 J/(m3 K), 1 K; allowed 1 %.
STEP = {300.0: 53.524, 3600.0: 15.451, 28800.0: 5.463}
BEHIND_FILM = {300.0: 7.292, 3600.0: 5.920, 28800.0: 3.841}


@pytest.mark.parametrize(("film", "expected"), [(None, STEP), (8.0, BEHIND_FILM)])
def test_half_space_flux(film, expected):
    net, _ = half_space(film)
    got = run(net, [0.0, *expected], Accuracy(rtol=1e-8, atol=1e-8))
    assert got.rates[1:, 0] == pytest.approx(list(expected.values()), rel=0.01)
    a = 1.5 / 1.8e6
    for time, flux in expected.items():  # the printed values are the closed form
        formula = (
            1.5 / math.sqrt(math.pi * a * time)
            if film is None
            else film * erfcx(film * math.sqrt(a * time) / 1.5)
        )
        assert flux == pytest.approx(formula, rel=2e-4)


def test_half_space_temperatures_and_heat():
    net, depth = half_space(None)
    got = run(net, [0.0, 300.0, 3600.0, 28800.0], Accuracy(rtol=1e-8, atol=1e-8))
    for row, time in zip(got.states[1:], (300.0, 3600.0, 28800.0), strict=True):
        expected = erfc(depth / (2.0 * math.sqrt(1.5 / 1.8e6 * time)))
        assert row[: depth.size] - 273.15 == pytest.approx(expected, abs=0.01)


def test_half_space_heat_taken_in_eight_hours():
    """CD4 for the hard step, 314.65 kJ per m2 and K; behind a film the closed form's integral."""
    net, _ = half_space(None)
    assert run(net, [0.0, 28800.0]).states[-1, -1] == pytest.approx(314.65e3, rel=0.005)
    net, _ = half_space(8.0)
    a, h, k = 1.5 / 1.8e6, 8.0, 1.5
    x = h * math.sqrt(a * 28800.0) / k
    closed = k * k / (h * a) * (erfcx(x) - 1.0 + 2.0 * x / math.sqrt(math.pi))
    assert run(net, [0.0, 28800.0]).states[-1, -1] == pytest.approx(closed, rel=0.005)
