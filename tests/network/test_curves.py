"""Nodes whose heat capacity changes with temperature, against integrals taken by other means."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from simtent.network import Accuracy, Builder, Curve, Trajectory, node_temperatures, tables
from simtent.network.ledger import entered, residual, stored
from tests.network.curves import STEEL, curves
from tests.network.plain import run
from tests.network.strategies import linear_networks

SIGMA = 5.670374419e-8
CAPACITY = 5e3


def relative(temperature: float) -> float:
    """Steel's relative capacity, written down anew."""
    t = min(temperature - 273.15, 600.0)
    return (425.0 + 0.773 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3) / 425.0


def heat(low: float, high: float) -> float:
    """Heat that the steel node holds more at the higher temperature [J], by quadrature."""
    value, _ = quad(
        lambda x: CAPACITY * relative(x), low, high, points=[873.15] if high > 873.15 > low else None
    )
    return value


def steel_node(start: float, end: float) -> tuple[Builder, int]:
    net = Builder(end=end)
    return net, net.node(CAPACITY, start=start, group="plate", curve=STEEL)


def plate(net: Builder, answer: Trajectory) -> np.ndarray:
    return node_temperatures(net.freeze()[0], answer.states)[:, 0]


@given(curves(), st.lists(st.floats(150.0, 2000.0), min_size=1, max_size=20))
def test_temperature_and_state_are_inverse(curve, temperatures):
    net = Builder(end=1.0)
    net.path("none", crossing=True)
    net.node(1.0, start=300.0, group="a")
    for temperature in temperatures:
        net.node(1.0, start=temperature, group="b", curve=curve)
    network, start = net.freeze()
    found = node_temperatures(network, start[None, :])
    assert found[0] == pytest.approx([300.0, *temperatures], abs=1e-9)


@given(curves(), st.floats(150.0, 2000.0), st.floats(150.0, 2000.0))
def test_state_is_the_integral_of_the_relative_capacity(curve, one, other):
    def capacity(x):
        within = min(max(x, 200.0), curve.top) - curve.base
        return np.polynomial.polynomial.polyval(within, curve.coefficients)

    low, high = sorted((one, other))
    kinks = [x for x in (200.0, curve.top) if low < x < high]
    value, _ = quad(capacity, low, high, points=kinks or None)
    assert curve.state(high) - curve.state(low) == pytest.approx(value, rel=1e-9, abs=1e-7)
    assert curve.state(curve.base) == pytest.approx(curve.base, abs=1e-12)


def test_a_steel_plate_cools_through_a_link():
    """C(T) dT/dt = -g (T - T0): the time to each temperature is the integral of C / (g (T - T0))."""
    net, node = steel_node(950.0, 4000.0)
    net.link(net.boundary(tables.constant(280.0)), node, 5.0, net.path("loss", crossing=True))
    reached = np.array([900.0, 873.15, 800.0, 600.0, 400.0, 300.0])
    times = [
        quad(
            lambda x: CAPACITY * relative(x) / (5.0 * (x - 280.0)),
            end,
            950.0,
            points=[873.15] if end < 873.15 else None,
        )[0]
        for end in reached
    ]
    answer = run(net, [0.0, *times])
    assert plate(net, answer) == pytest.approx([950.0, *reached], abs=1e-4)
    assert stored(net, answer.states)["plate"][1:] == pytest.approx(
        [-heat(x, 950.0) for x in reached], rel=1e-6
    )


def test_a_steel_plate_cools_by_radiation():
    """The same law in the plate's temperature, solved by another method."""
    net, node = steel_node(1100.0, 7200.0)
    net.ray(net.boundary(tables.constant(263.15)), node, 0.8 * SIGMA, net.path("glow", crossing=True))
    times = np.linspace(0.0, 7200.0, 13)
    other = solve_ivp(
        lambda _t, y: [-0.8 * SIGMA * (y[0] ** 4 - 263.15**4) / (CAPACITY * relative(y[0]))],
        (0.0, 7200.0),
        [1100.0],
        method="DOP853",
        t_eval=times,
        rtol=1e-11,
        atol=1e-9,
        max_step=20.0,
    )
    assert plate(net, run(net, times)) == pytest.approx(other.y[0], abs=1e-4)


def test_steady_power_heats_by_the_heat_held():
    """From 210 K to beyond the curve's top: heat held = power x time at every moment."""
    net, node = steel_node(210.0, 1000.0)
    net.source(node, net.table(tables.constant(6000.0)), 1.0, net.path("gain", crossing=True))
    times = np.linspace(0.0, 1000.0, 11)
    expected = [brentq(lambda x, t=t: heat(210.0, x) - 6000.0 * t, 210.0, 3000.0, xtol=1e-10) for t in times]
    assert expected[-1] > 900.0
    assert plate(net, run(net, times)) == pytest.approx(expected, abs=1e-4)


def test_a_pulse_is_heat_whatever_the_capacity():
    net, node = steel_node(500.0, 100.0)
    path = net.path("brought in", crossing=True)
    net.pulse(50.0, node, 1e6, path)
    answer = run(net, [0.0, 49.0, 50.0, 100.0])
    expected = brentq(lambda x: heat(500.0, x) - 1e6, 500.0, 2000.0, xtol=1e-10)
    assert plate(net, answer) == pytest.approx([500.0, 500.0, expected, expected], abs=1e-6)
    assert entered(net, answer.states)["brought in"].tolist() == [0.0, 0.0, 1e6, 1e6]


def test_the_ledger_closes_at_any_tolerance():
    net, node = steel_node(950.0, 3600.0)
    room = net.node(4e4, start=290.0, group="room")
    net.link(node, room, 5.0)
    net.link(net.boundary(tables.constant(270.0)), room, 30.0, net.path("loss", crossing=True))
    answer = run(net, np.linspace(0.0, 3600.0, 5), Accuracy(rtol=1e-3, atol=1e-1))
    assert residual(net, answer.states) < 1e-12


def test_flat_curve_is_no_curve():
    flat = Curve(273.15, (1.0, 0.0, 0.0, 0.0), 873.15)
    answers = []
    for curve in (None, flat):
        net = Builder(end=3600.0)
        room = net.node(5e4, start=283.15, group="room", curve=curve)
        net.link(net.boundary(tables.constant(263.15)), room, 90.0, net.path("loss", crossing=True))
        answers.append(run(net, np.linspace(0.0, 3600.0, 5)).states)
    assert answers[0] == pytest.approx(answers[1], abs=1e-5)


@given(linear_networks(curved=True))
def test_any_network_with_curves_keeps_its_ledger(net):
    run(net, np.linspace(0.0, net.end, 5), Accuracy())


@given(linear_networks(sources=False, curved=True))
def test_with_curves_too_nothing_leaves_the_range_of_start_and_boundary(net):
    network, start = net.freeze()
    seen = node_temperatures(network, run(net, np.linspace(0.0, net.end, 5)).states)
    ends = [*node_temperatures(network, start[None, :])[0], net._tables[0].cubics[0, 0]]
    assert seen.min() >= min(ends) - 1e-6
    assert seen.max() <= max(ends) + 1e-6


@pytest.mark.parametrize("temperature", [200.0, 873.15])
def test_nothing_jumps_at_the_ends_of_a_curve(temperature):
    net = Builder(end=1.0)
    net.path("none", crossing=True)
    for near in (-1e-3, 0.0, 1e-3):
        net.node(1.0, start=300.0, group="a", curve=STEEL)
        net.starts[-1] = STEEL.state(temperature) + near
    network, start = net.freeze()
    below, at, above = node_temperatures(network, start[None, :])[0]
    slope = 1e-3 / STEEL.relative(temperature)
    assert at == pytest.approx(temperature, abs=1e-10)
    assert [at - below, above - at] == pytest.approx([slope, slope], rel=1e-5)


@pytest.mark.parametrize(
    ("coefficients", "top", "words"),
    [
        ((1.0, 0.0, 0.0, 0.0), 200.0, "must lie above"),
        ((1.0, -1e-3, 0.0, 0.0), 800.0, "never fall"),
        ((-1.0, 0.0, 0.0, 0.0), 800.0, "above 0"),
        ((1.0, 2e-2, 0.0, 0.0), 800.0, "above 0"),  # 1 at the base, but below 0 at 200 K
        ((10.0, 0.0, -1e-4, 2e-7), 800.0, "never fall"),  # rises at both ends and falls between them
        ((1.0, 1.2e-2, 0.0, 0.0), 800.0, "10-fold"),
    ],
)
def test_curves_without_one_answer_are_refused(coefficients, top, words):
    with pytest.raises(ValueError, match=words):
        Curve(273.15, coefficients, top)
