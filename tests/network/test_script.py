"""Scripts: nothing they wait for is missed, doubled or moved; closed forms of switching and bouncing."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.network import Accuracy, Builder, tables
from simtent.network.builder import SHORTEST_STRETCH
from tests.network.plain import run
from tests.network.strategies import linear_networks

METHODS = ["LSODA", "BDF", "Radau", "RK45"]


@dataclass
class Scripted:
    """A script from its parts: moments, what is watched, and what is done; all that happens is written down."""

    moments: list[float] = field(default_factory=list)
    values: Callable = lambda _t, _state: []
    do: Callable = lambda _t, _state: None
    then: Callable = lambda _t, _which, _state: None
    seen: list[tuple] = field(default_factory=list)

    def next_after(self, t):
        return min((moment for moment in self.moments if moment > t), default=None)

    def at(self, t, state):
        self.seen.append(("at", t))
        self.do(t, state)

    def watch(self, t, state):
        return np.array(self.values(t, state), float)

    def noticed(self, t, which, state):
        self.seen.append(("noticed", t, which))
        self.then(t, which, state)

    def times(self, what):
        return [row[1] for row in self.seen if row[0] == what]


def cooling(hours: float = 2.0, start: float = 300.0) -> tuple[Builder, int, int]:
    """A node that falls to 270 K with a time constant of 2000 s, and a number held: heat given to it [W]."""
    net = Builder(end=hours * 3600.0)
    node = net.node(4e4, start=start, group="room")
    net.link(net.boundary(tables.constant(270.0)), node, 20.0, net.path("loss", crossing=True))
    path = net.path("heat", crossing=True)
    power = net.held("power", start=0.0)
    return net, 1 + path, net.place(power)


def heated(path: int, power: int) -> Callable:
    def more(_t, state, slope):
        slope[0] += state[power] / 4e4
        slope[path] += state[power]

    return more


def reaches(level: float, start: float = 300.0, aim: float = 270.0) -> float:
    """Time in which the node comes from start to level on its way to aim [s]."""
    return 2000.0 * math.log((start - aim) / (level - aim))


@pytest.mark.parametrize("method", METHODS)
def test_a_thermostat_switches_when_the_exponentials_say(method):
    """On below 285 K, off above 290 K, 600 W (aim 300 K): every switching time in closed form."""
    net, path, power = cooling(hours=6.0)

    def values(_t, state):
        return [290.0 - state[0] if state[power] else state[0] - 285.0]

    def switch(_t, _which, state):
        state[power] = 0.0 if state[power] else 600.0

    script = Scripted(values=values, then=switch)
    times = np.linspace(0.0, net.end, 41)
    answer = run(
        net, times, Accuracy(method=method, rtol=1e-9, atol=1e-9), script=script, more=heated(path, power)
    )
    first = reaches(285.0)
    warming, falling = reaches(290.0, 285.0, 300.0), reaches(285.0, 290.0)
    expected = [first]
    while expected[-1] < net.end:
        expected.append(expected[-1] + (warming if len(expected) % 2 else falling))
    expected.pop()
    assert len(expected) > 10
    assert script.times("noticed") == pytest.approx(expected, abs=0.01)
    on = np.searchsorted(expected, times, side="right") % 2
    assert answer.states[:, power].tolist() == (600.0 * on).tolist()
    assert answer.rates[:, 1].tolist() == (600.0 * on).tolist()
    assert answer.states[1:, 0].min() >= 285.0 - 1e-6


def test_a_ball_bounces():
    """Height and speed as amounts, half the speed lost: the n-th bounce at t1 (1 + 2 sum e^k), height h e^2n."""
    net, _, _ = cooling(hours=1.0 / 720.0)
    height, speed = net.amount("height", start=1.0, scale=1.0), net.amount("speed", scale=1.0)
    y, v = net.place(height), net.place(speed)

    def fall(_t, state, slope):
        slope[y], slope[v] = state[v], -9.81

    def bounce(_t, _which, state):
        state[v] *= -0.5

    script = Scripted(values=lambda _t, state: [state[y]], then=bounce)
    end = 1.25
    run(net, [0.0, end], script=script, more=fall)
    first = math.sqrt(2.0 / 9.81)
    expected = [first * (1.0 + 2.0 * sum(0.5**k for k in range(1, n))) for n in range(1, 6)]
    expected = [t for t in expected if t < end]
    assert len(expected) == 4
    assert script.times("noticed") == pytest.approx(expected, abs=1e-6)


def test_moments_happen_once_each_and_in_turn():
    net, path, power = cooling()
    powers = {0.0: 100.0, 1000.0: 500.0, 1000.5: 0.0, 5000.0: 300.0}

    def do(t, state):
        state[power] = powers[t]

    script = Scripted(moments=[1000.0, 5000.0, 1000.5], do=do)
    answer = run(
        net, [0.0, 999.9, 1000.0, 1000.5, 4999.0, 5000.0, 7200.0], script=script, more=heated(path, power)
    )
    assert script.seen == [("at", t) for t in powers]
    assert answer.rates[:, 1].tolist() == [100.0, 100.0, 500.0, 0.0, 0.0, 300.0, 300.0]
    assert answer.states[-1, path] == pytest.approx(100.0 * 1000.0 + 500.0 * 0.5 + 300.0 * 2200.0, rel=1e-9)
    assert answer.jumps == 4


@given(
    linear_networks(sources=False),
    st.lists(st.integers(1, 14300), min_size=1, max_size=5, unique=True),
    st.data(),
)
def test_a_script_that_sets_power_does_what_a_table_of_steps_does(net, moments, data):
    """Any network, any moments: the same heat from a table and from a number held."""
    moments = sorted(float(t) for t in moments)
    powers = [data.draw(st.floats(-500.0, 3000.0)) for _ in moments]
    node = data.draw(st.integers(0, len(net.capacities) - 1))
    power = net.held("power", start=0.0)
    place, path = net.place(power), len(net.capacities) + 1

    def do(t, state):
        state[place] = dict(zip(moments, powers, strict=True)).get(t, 0.0)

    def more(_t, state, slope):
        slope[node] += state[place] / net.capacities[node]
        slope[path] += state[place]

    times = np.linspace(0.0, net.end, 6)
    script = Scripted(moments=moments, do=do)
    by_script = run(net, times, script=script, more=more).states[:, :-1]
    net.source(node, net.table(tables.steps(moments, powers)), 1.0, 1)
    by_table = run(net, times).states[:, :-1]
    n = len(net.capacities)
    assert by_script[:, :n] == pytest.approx(by_table[:, :n], abs=2e-5)
    assert by_script[:, path] == pytest.approx(by_table[:, path], rel=1e-9, abs=1e-3)
    assert script.times("at") == [0.0, *moments]


def test_a_table_jump_a_moment_and_a_fall_that_meet_are_one_stop():
    net, _, power = cooling()
    meet = reaches(285.0)
    net.pulse(meet, 0, 4e4, 1)
    order = []
    script = Scripted(
        moments=[meet + SHORTEST_STRETCH / 2],
        # The level is reached 0.4 ms before the pulse, at 7.5e-3 K/s.
        values=lambda _t, state: [state[0] - 285.0 - 3e-6],
        do=lambda _t, state: order.append(("at", round(state[0], 2))),
        then=lambda _t, _which, state: order.append(("noticed", round(state[0], 2))),
    )
    answer = run(net, [0.0, net.end], script=script)
    # Lifted by the pulse of 1 K, the node falls a second time.
    assert order == [("at", 300.0), ("at", 286.0), ("noticed", 286.0), ("noticed", 285.0)]
    assert answer.jumps == 3
    assert answer.states[-1, power] == 0.0


@pytest.mark.parametrize("apart", [0.0, 3e-6, -3e-6])
def test_values_that_fall_together_are_all_noticed(apart):
    """3e-6 K at 7.5e-3 K/s is 0.4 ms: closer than the shortest stretch, one stop."""
    net, _, _ = cooling()
    script = Scripted(values=lambda _t, state: [state[0] - 285.0, state[0] - 280.0, state[0] - 285.0 - apart])
    answer = run(net, [0.0, net.end], script=script)
    assert [row[2] for row in script.seen[1:]] == [0, 2, 1]
    assert script.times("noticed") == pytest.approx(
        [reaches(285.0), reaches(285.0), reaches(280.0)], abs=1e-3
    )
    assert answer.jumps == 3


@pytest.mark.parametrize("method", METHODS)
def test_what_nothing_lifts_is_noticed_once_for_each_fall(method):
    """A node under a wave falls through its mean once a period; the script does nothing about it."""
    net, _, _ = cooling(hours=3.0, start=280.0)

    def wave(t, _state, slope):
        slope[0] = 10.0 * 2.0 * math.pi / 1800.0 * math.cos(2.0 * math.pi * t / 1800.0)
        slope[1] = slope[0] * 4e4

    script = Scripted(values=lambda _t, state: [state[0] - 280.0 - 1e-3])
    run(net, [0.0, net.end], Accuracy(method=method, rtol=1e-9, atol=1e-9), script=script, more=wave)
    expected = [900.0 + 1800.0 * k for k in range(6)]
    assert script.times("noticed") == pytest.approx(expected, abs=0.1)


def test_what_is_low_from_the_beginning_has_not_fallen():
    net, _, power = cooling()

    def do(t, state):
        state[power] = {0.0: 0.0, 1000.0: 600.0, 4000.0: 0.0}[t]

    for limit in (310.0, 300.0):  # below it, and just at it
        script = Scripted(moments=[1000.0, 4000.0], values=lambda _t, s, x=limit: [s[0] - x], do=do)
        run(net, [0.0, net.end], script=script)
        assert script.times("noticed") == []


def test_what_rises_after_a_low_beginning_is_watched():
    net, path, power = cooling(start=275.0)

    def do(t, state):
        state[power] = {0.0: 600.0, 2000.0: 0.0}[t]

    script = Scripted(moments=[2000.0], values=lambda _t, state: [state[0] - 280.0], do=do)
    run(net, [0.0, net.end], script=script, more=heated(path, power))
    top = 300.0 - 25.0 * math.exp(-1.0)
    assert script.times("noticed") == pytest.approx([2000.0 + reaches(280.0, top)], abs=1e-3)


def test_a_fall_by_a_pulse_is_noticed_there():
    net, _, power = cooling(start=300.0)
    net.pulse(600.0, 0, -15.0 * 4e4, 1)
    script = Scripted(values=lambda _t, state: [state[0] - 280.0, state[0] - 290.0])
    answer = run(net, [0.0, 600.0, net.end], script=script)
    assert script.seen[1:] == [("noticed", 600.0, 0), ("noticed", 600.0, 1)]
    assert answer.states[1, 0] == pytest.approx(255.0 + 30.0 * math.exp(-0.3), abs=1e-6)
    assert answer.states[1, power] == 0.0


def test_what_noticing_makes_due_at_once_happens_at_once():
    """A rule without delay, one with: the first acts at the same stop, the other a minute later."""
    for delay in (0.0, 60.0):
        net, path, power = cooling()
        script = Scripted(values=lambda _t, state: [state[0] - 285.0])

        def then(t, _which, _state, script=script, delay=delay):
            script.moments.append(t + delay)

        def do(t, state, power=power):
            state[power] = 600.0 if t > 0.0 else 0.0

        script.then, script.do = then, do
        answer = run(net, [0.0, net.end], script=script, more=heated(path, power))
        assert script.times("at") == pytest.approx([0.0, reaches(285.0) + delay], abs=1e-3)
        assert answer.states[-1, path] == pytest.approx(600.0 * (net.end - reaches(285.0) - delay), rel=1e-6)


def test_nothing_happens_at_the_end_any_more():
    net, _, power = cooling(hours=0.5)

    def do(t, state):
        state[power] = t

    end = 1800.0
    script = Scripted(moments=[end - 1.0, end - SHORTEST_STRETCH / 2, end, end + 5.0], do=do)
    answer = run(net, [0.0, end - 1.0, end], script=script)
    assert script.times("at") == [0.0, end - 1.0]
    assert answer.states[:, power].tolist() == [0.0, end - 1.0, end - 1.0]


def test_a_fall_in_the_last_moment_is_not_lost():
    net, _, power = cooling(hours=0.5)

    def then(_t, _which, state):
        state[power] = 1.0

    limit = 270.0 + 30.0 * math.exp(-(1800.0 - SHORTEST_STRETCH / 2) / 2000.0)
    script = Scripted(values=lambda _t, state: [state[0] - limit], then=then)
    answer = run(net, [0.0, 1800.0], script=script)
    assert len(script.times("noticed")) == 1
    assert answer.states[-1, power] == 1.0


def test_reports_change_at_the_stop_itself():
    net, _, power = cooling()

    def then(_t, _which, state):
        state[power] = 5.0

    def stop(times):
        script = Scripted(values=lambda _t, state: [state[0] - 285.0], then=then)
        return script, run(net, times, script=script)

    script, _ = stop([0.0, net.end])
    [moment] = script.times("noticed")
    again, answer = stop([0.0, moment - 1e-6, moment, moment + 1e-6, net.end])
    assert again.times("noticed") == [moment]
    assert answer.states[:, power].tolist() == [0.0, 0.0, 5.0, 5.0, 5.0]
    assert answer.states[2, 0] == pytest.approx(285.0, abs=1e-9)


@pytest.mark.parametrize("method", METHODS)
def test_limits_that_step_down_are_noticed_one_by_one(method):
    """Each fall moves the limit 0.02 K on: a matter of seconds, less than a first step after a stop may take."""
    net, _, _ = cooling(hours=0.5)
    limits = [290.0 - 0.02 * k for k in range(50)]
    passed = []
    script = Scripted(
        values=lambda _t, state: [state[0] - limits[len(passed)]],
        then=lambda t, _which, _state: passed.append(t),
    )
    limits.append(0.0)
    run(net, [0.0, net.end], Accuracy(method, rtol=1e-4, atol=1e-1), script=script)
    assert passed == pytest.approx([reaches(limit) for limit in limits[:-1]], abs=5.0)


def test_nothing_is_computed_beyond_the_end():
    net, _, _ = cooling()
    net.pulse(5400.0, 0, 1e5, 1)
    latest = []
    run(
        net, [0.0, 3600.0], script=Scripted(moments=[5000.0]), more=lambda t, _state, _slope: latest.append(t)
    )
    assert max(latest) <= 3600.0 + 1e-9


def test_work_for_a_quiet_script_is_hardly_more_than_without_one():
    net, _, _ = cooling()
    bare = run(net, [0.0, net.end], Accuracy())
    watched = run(net, [0.0, net.end], Accuracy(), script=Scripted(values=lambda _t, s: [s[0] - 200.0] * 3))
    assert watched.calls == bare.calls


def test_a_script_that_does_not_move_on_is_refused():
    net, _, _ = cooling()

    class Stuck(Scripted):
        def next_after(self, t):
            return t

    with pytest.raises(ValueError, match="must lie later"):
        run(net, [0.0, net.end], script=Stuck())
