"""Amounts integrated with the state, and numbers held between jumps, against closed forms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from simtent.network import Accuracy, Builder, tables
from simtent.network.kernels import derivative
from tests.network.plain import run

# In steps: SciPy's expm of a triangular matrix errs by parts in a thousand where two rates differ by round-off alone.
RATE = st.integers(-50, -20).map(lambda tenths: 10.0 ** (tenths / 10.0))


def room(end: float) -> tuple[Builder, int, int]:
    """A room at its surroundings' temperature, its loss and a path for what warms it."""
    net = Builder(end=end)
    node = net.node(4e4, start=270.0, group="room")
    loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    net.link(net.boundary(tables.constant(270.0)), node, 20.0, loss)
    return net, node, gain


@given(st.lists(RATE, min_size=1, max_size=6), st.floats(0.01, 100.0))
def test_a_chain_of_decays_is_the_matrix_exponential(rates, start):
    net, _, _ = room(7200.0)
    size = len(rates) + 1
    amounts = [net.amount(f"stage {k}", start=start if k == 0 else 0.0, scale=1e-2) for k in range(size)]
    matrix = np.zeros((size, size))
    for k, rate in enumerate(rates):
        matrix[k, k] -= rate
        matrix[k + 1, k] += rate
    places = [net.place(amount) for amount in amounts]

    def decay(_t, state, slope):
        slope[places] = matrix @ state[places]

    times = np.linspace(0.0, 7200.0, 7)
    answer = run(net, times, more=decay)
    expected = [expm(matrix * t)[:, 0] * start for t in times]
    assert answer.states[:, places] == pytest.approx(np.array(expected), rel=1e-6, abs=1e-7 * start)
    assert answer.states[:, places].sum(axis=1) == pytest.approx(start, rel=1e-9)


def test_what_decays_warms_the_room_and_is_booked():
    """C T' = -g (T - T0) + q k m, m = m0 e^-kt: the difference of two exponentials."""
    net, node, gain = room(7200.0)
    fuel = net.amount("fuel", start=0.5, scale=1e-2)
    k, heat = 1e-3, 4e6
    first = len(net.capacities)

    def burn(_t, state, slope):
        left = state[net.place(fuel)]
        slope[net.place(fuel)] = -k * left
        slope[node] += k * left * heat / 4e4
        slope[first + gain] += k * left * heat

    times = np.linspace(0.0, 7200.0, 9)
    answer = run(net, times, more=burn)
    cooling = 20.0 / 4e4
    rise = 0.5 * heat * k / 4e4 * (np.exp(-k * times) - np.exp(-cooling * times)) / (cooling - k)
    assert answer.states[:, node] == pytest.approx(270.0 + rise, abs=1e-5)
    assert answer.states[:, first + gain] == pytest.approx(0.5 * heat * (1.0 - np.exp(-k * times)), rel=1e-7)
    assert answer.rates.shape == (9, 2)
    assert answer.rates[:, gain] == pytest.approx(0.5 * heat * k * np.exp(-k * times), rel=1e-6)


def test_the_scale_says_how_closely_an_amount_is_followed():
    """y' = (sin-driven - y)/10 in ten-thousandths: at its own scale right to a thousandth, lost at a kelvin's."""
    times = np.linspace(0.0, 600.0, 61)
    lag, omega, size = 10.0, 2.0 * np.pi / 60.0, 1e-4
    x = omega * lag
    closed = (
        size * (np.sin(omega * times) - x * np.cos(omega * times) + x * np.exp(-times / lag)) / (1.0 + x * x)
    )
    errors = []
    for scale in (1e-5, 1e3):
        net, _, _ = room(600.0)
        flow = net.amount("flow", scale=scale)
        place = net.place(flow)

        def follow(t, state, slope, place=place):
            slope[place] = (size * np.sin(omega * t) - state[place]) / lag

        answer = run(net, times, Accuracy(), more=follow)
        errors.append(np.abs(answer.states[:, place] - closed).max() / size)
    assert errors[0] < 1e-3
    assert errors[1] > 1e-2


def test_a_derivative_has_the_order_of_the_state():
    found = derivative(
        np.array([2.0, 4.0]), np.array([1.0, 1.0, 9.0]), np.array([5.0]), np.array([6.0, 7.0, 0.0])
    )
    assert found.tolist() == [0.5, 0.25, 5.0, 6.0, 7.0, 0.0]


def test_held_numbers_stay_and_do_not_steer_the_steps():
    answers = []
    for held in (0, 3):
        net, node, _ = room(7200.0)
        net.starts[node] = 300.0
        for k in range(held):
            net.held(f"setting {k}", start=10.0**k)
        answers.append(run(net, [0.0, 3600.0, 7200.0], Accuracy()))
    assert answers[1].states[:, 3:].tolist() == [[1.0, 10.0, 100.0]] * 3
    assert answers[1].calls == answers[0].calls
    assert answers[1].states[:, :3] == pytest.approx(answers[0].states, rel=1e-12)


def test_places_follow_nodes_paths_and_amounts_in_whatever_order_they_came():
    net = Builder(end=1.0)
    setting = net.held("setting", start=7.0)
    one = net.amount("one", start=1.0, scale=0.1)
    net.path("loss", crossing=True)
    net.node(1.0, start=280.0, group="a")
    other = net.amount("other", start=2.0, scale=0.2)
    last = net.held("last", start=8.0)
    net.node(1.0, start=290.0, group="a")
    network, start = net.freeze()
    assert start.tolist() == [280.0, 290.0, 0.0, 1.0, 2.0, 7.0, 8.0]
    assert [start[net.place(handle)] for handle in (one, other, setting, last)] == [1.0, 2.0, 7.0, 8.0]
    assert (network.paths, network.amounts, network.scale.tolist()) == (1, 2, [0.1, 0.2, 0.0, 0.0])


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda net: net.amount("new", scale=0.0), "scale above 0"),
        (lambda net: net.amount("wood", scale=1.0), "exists already"),
        (lambda net: net.held("wood", start=0.0), "exists already"),
        (lambda net: net.amount("air", scale=1.0), "exists already"),
    ],
)
def test_the_builder_refuses_amounts_it_could_not_tell_apart(wrong, words):
    net = Builder(end=1.0)
    net.amount("wood", scale=1.0)
    net.held("air", start=0.0)
    with pytest.raises(ValueError, match=words):
        wrong(net)
