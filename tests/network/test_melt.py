"""Nodes that melt: the law and its inverse, heat that goes in and comes out, nothing lost and nothing overshot."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.network import Accuracy, Builder, Curve, Melt, node_temperatures, tables
from simtent.network.ledger import entered, residual, stored
from tests.network.plain import run
from tests.network.strategies import linear_networks

# Ice: 334 kJ/kg melt it (handbooks agree within 0.2 %); 2.05 and 4.2 kJ/(kg K), from memory.
MELTING_HEAT, FROZEN, MOLTEN = 334e3, 2050.0, 4200.0
ICE = Melt(onset=273.15, latent=MELTING_HEAT / FROZEN, rise=0.02, thawed=FROZEN / MOLTEN)
MASS = 2.0


@st.composite
def melts(draw) -> Melt:
    """From a trace of frost in warm matter to ice, sharp or thawing over some kelvins."""
    latent, rise = draw(st.floats(0.1, 200.0)), draw(st.floats(0.01, 3.0))
    thawed = draw(st.floats(max(0.3, 1.001 * rise / (rise + latent)), 1.0))
    return Melt(draw(st.floats(250.0, 280.0)), latent, rise, thawed, draw(st.floats(0.02, 0.2)))


def of_kernel(melt: Melt, states: np.ndarray) -> np.ndarray:
    """Temperatures as the kernels make them."""
    net = Builder(end=1.0)
    net.path("none", crossing=True)
    net.node(1.0, start=250.0, group="a", melt=melt)
    return node_temperatures(net.freeze()[0], states[:, None])[:, 0]


@given(melts(), st.lists(st.floats(150.0, 2000.0), min_size=1, max_size=20))
def test_kernel_and_builder_have_one_law(melt, states):
    expected = [melt.temperature(state) for state in states]
    assert of_kernel(melt, np.array(states)) == pytest.approx(expected, abs=1e-10)


@given(melts(), st.lists(st.floats(150.0, 600.0), min_size=1, max_size=20))
def test_temperature_and_state_are_inverse(melt, temperatures):
    net = Builder(end=1.0)
    net.path("none", crossing=True)
    for temperature in temperatures:
        net.node(1.0, start=temperature, group="a", melt=melt)
    network, start = net.freeze()
    assert node_temperatures(network, start[None, :])[0] == pytest.approx(temperatures, abs=1e-9)


@given(melts(), st.floats(-60.0, 60.0), st.floats(1e-5, 1.0))
def test_temperature_rises_with_heat_and_never_faster_than_frozen(melt, corner, step):
    """The slope of T by e lies between that of melting and 1, so no nudge of a state moves its temperature more."""
    for end in (melt.onset, melt.onset + melt.span):
        one = end + corner * melt.width
        low, high = of_kernel(melt, np.array([one, one + step]))
        assert melt.slope * step - 1e-9 <= high - low <= step + 1e-9


@given(melts(), st.floats(0.0, 1.0))
def test_nothing_is_warmer_than_the_end_of_melting_while_some_is_frozen(melt, share):
    at = melt.onset + share * melt.span
    assert melt.temperature(at) <= melt.onset + melt.rise + melt.thawed * melt.width


@given(melts())
def test_far_from_melting_it_is_plain_matter(melt):
    cold, hot = melt.onset - 3.0, melt.onset + melt.span + 60.0 * melt.width
    assert melt.temperature(cold) == pytest.approx(cold, abs=3.0 * melt.width * np.exp(-3.0 / melt.width))
    warmer = melt.temperature(hot + 10.0) - melt.temperature(hot)
    assert warmer == pytest.approx(10.0 * melt.thawed, rel=1e-9)
    assert (melt.share(cold), melt.share(hot)) == pytest.approx((0.0, 1.0), abs=1e-3)


def test_a_corner_far_below_costs_not_even_round_off():
    states = np.linspace(200.0, 271.0, 50)
    assert (of_kernel(ICE, states) == states).all()


def block(start: float) -> tuple[Builder, int]:
    net = Builder(end=3600.0)
    return net, net.node(MASS * FROZEN, start=start, group="block", melt=ICE)


def test_steady_power_melts_ice_by_its_heat():
    """From -10 degC, 500 W into 2 kg: 82 s to melting, 1336 s through it, then 16.8 s for each kelvin of the water."""
    net, node = block(263.15)
    net.source(node, net.table(tables.constant(500.0)), 1.0, net.path("gain", crossing=True))
    begin, melted = MASS * FROZEN * 10.0 / 500.0, MASS * MELTING_HEAT / 500.0
    times = [0.0, begin / 2.0, begin + melted / 4.0, begin + 0.75 * melted, begin + melted + 168.0]
    answer = run(net, times)
    found = node_temperatures(net.freeze()[0], answer.states)[:, node] - 273.15
    assert found == pytest.approx([-10.0, -5.0, 0.01, 0.01, 10.0], abs=0.03)
    shares = ICE.shares(answer.states[:, node])
    assert shares == pytest.approx([0.0, 0.0, 0.25, 0.75, 1.0], abs=0.001)


def test_a_kilogram_takes_its_heat_of_melting():
    """Between a quarter and three quarters molten: heat by mass, 334 kJ/kg and 0.02 K of rise."""
    net, node = block(263.15)
    path = net.path("gain", crossing=True)
    net.source(node, net.table(tables.constant(500.0)), 1.0, path)
    answer = run(net, [0.0, 400.0, 1000.0])
    heat = np.diff(entered(net, answer.states)["gain"])[1]
    kilograms = MASS * np.diff(ICE.shares(answer.states[:, node]))[1]
    assert heat / kilograms == pytest.approx(MELTING_HEAT, rel=2e-4)


def test_what_melts_freezes_again_and_gives_its_heat_back():
    net, node = block(268.15)
    table = net.table(tables.steps([0.0, 1500.0, 3000.0], [400.0, -400.0, 0.0]))
    net.source(node, table, 1.0, net.path("gain", crossing=True))
    answer = run(net, [0.0, 750.0, 1500.0, 2250.0, 3000.0])
    assert ICE.share(answer.states[2, node]) > 0.8
    assert answer.states[3, node] == pytest.approx(answer.states[1, node], abs=1e-6)
    assert answer.states[4, node] == pytest.approx(268.15, abs=1e-6)
    assert stored(net, answer.states)["block"][-1] == pytest.approx(0.0, abs=0.1)


def test_melting_ice_holds_a_bath_at_its_melting_point():
    """Until it is gone: 2 kg in a room that loses nothing but to it."""
    net, node = block(273.15)
    room = net.node(1e5, start=280.15, group="room")
    net.link(node, room, 50.0)
    net.path("none", crossing=True)
    times = np.linspace(0.0, 3600.0, 13)
    answer = run(net, times)
    held = node_temperatures(net.freeze()[0], answer.states)[:, node] - 273.15
    decay = 7.0 * np.exp(-50.0 / 1e5 * times)
    assert np.abs(held).max() < 0.025
    assert answer.states[:, room] - 273.15 == pytest.approx(decay, abs=0.05)


def test_the_ledger_closes_at_any_tolerance():
    net, node = block(260.0)
    room = net.node(4e4, start=290.0, group="room")
    net.link(node, room, 50.0)
    net.link(net.boundary(tables.constant(285.0)), room, 30.0, net.path("loss", crossing=True))
    answer = run(net, np.linspace(0.0, 3600.0, 5), Accuracy(rtol=1e-3, atol=1e-1))
    assert residual(net, answer.states) < 1e-12


@given(linear_networks(), st.data())
def test_any_network_that_melts_keeps_its_ledger(net, data):
    for node in range(len(net.capacities)):
        if data.draw(st.booleans()):
            melt = data.draw(melts())
            net.melts[node], net.starts[node] = melt, melt.state(net.starts[node])
    run(net, np.linspace(0.0, net.end, 5), Accuracy())


@given(linear_networks(sources=False), st.data())
def test_melting_takes_nothing_out_of_the_range_of_start_and_boundary(net, data):
    for node in range(len(net.capacities)):
        if data.draw(st.booleans()):
            melt = data.draw(melts())
            net.melts[node], net.starts[node] = melt, melt.state(net.starts[node])
    network, start = net.freeze()
    seen = node_temperatures(network, run(net, np.linspace(0.0, net.end, 5)).states)
    ends = [*node_temperatures(network, start[None, :])[0], net._tables[0].cubics[0, 0]]
    assert seen.min() >= min(ends) - 1e-6
    assert seen.max() <= max(ends) + 1e-6


def test_a_pulse_melts_by_its_heat():
    net, node = block(273.15)
    path = net.path("brought in", crossing=True)
    net.pulse(50.0, node, 0.5 * MASS * MELTING_HEAT, path)
    before, after = ICE.shares(run(net, [0.0, 49.0, 60.0]).states[1:, node])
    assert after - before == pytest.approx(0.5, rel=2e-4)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"latent": 0.0}, "above 0"),
        ({"rise": 0.0}, "above 0"),
        ({"width": 0.0}, "above 0"),
        ({"thawed": 1.5}, "must store more"),
        ({"rise": 200.0, "thawed": 0.4}, "less than what melts"),
    ],
)
def test_melting_without_one_answer_is_refused(given, words):
    with pytest.raises(ValueError, match=words):
        Melt(**{"onset": 273.15, "latent": 160.0, "rise": 0.02, "thawed": 0.5} | given)


def test_a_node_melts_or_has_a_curve():
    with pytest.raises(ValueError, match="not both"):
        Builder(end=1.0).node(
            1.0, start=280.0, group="a", curve=Curve(273.15, (1.0, 0.0, 0.0, 0.0), 873.15), melt=ICE
        )
