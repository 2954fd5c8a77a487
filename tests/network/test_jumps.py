"""Jumps: nothing is stepped over, nothing is seen too early, and what a jump adds is booked."""

import numpy as np
import pytest

from simtent.errors import SolveError
from simtent.network import Accuracy, Builder, network_rhs, solve, tables
from simtent.network.ledger import entered, residual, stored
from tests.network.plain import run


def quiet_room(power: tables.Table, hours: float = 6.0) -> Builder:
    net = Builder(end=hours * 3600.0)
    outside = net.boundary(tables.constant(0.0))
    room = net.node(600.0, start=0.0, group="room")
    net.link(outside, room, 1.0, net.path("loss", crossing=True))
    net.source(room, net.table(power), 1.0, net.path("gain", crossing=True))
    return net


@pytest.mark.parametrize("method", ["LSODA", "BDF", "Radau", "RK45"])
def test_a_minute_in_six_quiet_hours_is_not_missed(method):
    """y' = (-y + 100 [20000 < t < 20060]) / 600 from 0: 0.73076 at 21600 s (physics.md OD5, closed form)."""
    net = quiet_room(tables.steps([0.0, 20000.0, 20060.0], [0.0, 100.0, 0.0]))
    got = run(net, [0.0, 21600.0], Accuracy(method=method, rtol=1e-8, atol=1e-8))
    expected = 100.0 * (1.0 - np.exp(-60.0 / 600.0)) * np.exp(-(21600.0 - 20060.0) / 600.0)
    assert expected == pytest.approx(0.73076, abs=1e-4)
    assert got.states[-1, 0] == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize("build", [tables.lines, tables.smooth])
def test_heat_of_a_shaped_source_is_its_integral(build):
    times, values = [0.0, 1800.0, 5400.0, 9000.0], [0.0, 900.0, 300.0, 0.0]
    net = quiet_room(build(times, values), hours=3.0)
    got = run(net, [0.0, net.end])
    integral = sum(
        (b - a) * (u + v) / 2 for a, b, u, v in zip(times, times[1:], values, values[1:], strict=False)
    )
    assert got.states[-1, -1] == pytest.approx(integral, rel=1e-7)  # a smoothstep has its chord's integral


def test_rates_at_a_step_are_those_after_it():
    net = quiet_room(tables.steps([3600.0, 7200.0], [100.0, 0.0]))
    got = run(net, [0.0, 3599.0, 3600.0, 7199.0, 7200.0, net.end])
    assert got.rates[:, 1].tolist() == [0.0, 0.0, 100.0, 100.0, 0.0, 0.0]


def test_a_repeated_time_is_a_jump_of_a_line():
    table = tables.lines([0.0, 100.0, 100.0, 200.0], [1.0, 2.0, 5.0, 6.0])
    assert [table.value(t) for t in (-5.0, 50.0, 99.999999, 100.0, 150.0, 900.0)] == pytest.approx(
        [1.0, 1.5, 2.0, 5.0, 5.5, 6.0], abs=1e-6
    )
    assert len(table.breaks()) == 3  # where the line begins, at the jump, where the last value holds


def test_smooth_tables_do_not_stop_the_solver():
    table = tables.smooth([-3600.0, 20000.0, 60000.0], [260.0, 270.0, 255.0])
    assert table.breaks() == ()
    values = [table.value(t) for t in np.linspace(-3600.0, 60000.0, 500)]
    assert min(values) >= 255.0 - 1e-9
    assert max(values) <= 270.0 + 1e-9


def test_a_pulse_warms_its_node_and_is_booked():
    net = Builder(end=3600.0)
    room = net.node(1000.0, start=280.0, group="room")
    path = net.path("brought in", crossing=True)
    net.pulse(0.0, room, 2000.0, path)
    net.pulse(1800.0, room, 5000.0, path)
    got = run(net, [0.0, 900.0, 1800.0, 3600.0])
    assert got.states[:, 0].tolist() == pytest.approx([282.0, 282.0, 287.0, 287.0])
    assert entered(net, got.states)["brought in"].tolist() == [2000.0, 2000.0, 7000.0, 7000.0]
    assert stored(net, got.states)["room"].tolist() == pytest.approx([2000.0, 2000.0, 7000.0, 7000.0])


def test_a_run_may_end_before_the_last_jump():
    net = quiet_room(tables.steps([3600.0, 7200.0, 9000.0], [100.0, 0.0, 50.0]))
    whole = run(net, [0.0, 5400.0, net.end])
    short = run(net, [0.0, 5400.0])
    assert short.states[-1, 0] == pytest.approx(whole.states[1, 0], rel=1e-6)
    arrays, start = net.freeze()
    with pytest.raises(ValueError, match="before the first jump"):
        solve(
            lambda t, y, rows: network_rhs(t, y, arrays, rows),
            arrays,
            start,
            net.jump_times(),
            np.array([-1.0, 5.0]),
            Accuracy(),
        )


def test_jumps_within_a_millisecond_happen_together():
    net = quiet_room(tables.steps([1800.0, 3600.0], [100.0, 0.0]))
    net.pulse(1800.0 + 1e-5, 0, 600.0, 1)
    assert net.jump_times().tolist() == [0.0, 1800.0, 3600.0]
    got = run(net, [0.0, 1800.0, net.end])
    assert got.rates[1, 1] == 100.0
    assert got.states[1, 0] == pytest.approx(1.0)


def test_work_does_not_grow_with_quiet_hours():
    short = run(quiet_room(tables.steps([0.0, 600.0], [100.0, 0.0]), 6.0), [0.0, 6 * 3600.0], Accuracy())
    long = run(quiet_room(tables.steps([0.0, 600.0], [100.0, 0.0]), 60.0), [0.0, 60 * 3600.0], Accuracy())
    assert long.calls < 2 * short.calls
    assert short.calls < 400


def test_the_ledger_sees_a_lost_joule():
    net = quiet_room(tables.steps([0.0], [100.0]))
    got = run(net, [0.0, net.end])
    broken = got.states.copy()
    broken[-1, 0] += 0.001  # 0.6 J of 2 MJ
    assert residual(net, got.states) < 1e-10
    assert residual(net, broken) > 1e-7


def test_a_right_hand_side_that_is_no_number_is_an_error():
    net = quiet_room(tables.steps([0.0], [100.0]))
    arrays, start = net.freeze()

    def broken(t, y, rows):
        return network_rhs(t, y, arrays, rows) * (np.nan if t > 3600.0 else 1.0)

    with pytest.raises(SolveError, match=r"gave up between 0\.00 h and 6\.00 h"), np.errstate(all="ignore"):
        solve(broken, arrays, start, net.jump_times(), np.array([0.0, net.end]), Accuracy())


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda net: net.node(0.0, start=280.0, group="x"), "capacity above 0"),
        (lambda net: net.link(-1, 0, 1.0), "crossing path"),
        (lambda net: net.link(0, 1, 1.0, 0), "crossing path"),
        (lambda net: net.link(0, -1, 1.0, 0), "stands first"),
        (lambda net: net.source(0, 0, 1.0, 1), "crossing path"),
        (lambda net: net.stream(0, 1, 1.0, 1), "crossing path"),
        (lambda net: net.pulse(0.0, 0, 1.0, 1), "crossing path"),
        (lambda net: net.pulse(1.0, 0, 1.0, 0), "outside the run"),
        (lambda net: net.pulse(-0.1, 0, 1.0, 0), "outside the run"),
        (lambda net: net.path("loss", crossing=True), "exists already"),
    ],
)
def test_the_builder_refuses_what_the_ledger_could_not_book(wrong, words):
    net = Builder(end=1.0)
    net.boundary(tables.constant(0.0))
    net.node(1.0, start=0.0, group="a")
    net.node(1.0, start=0.0, group="a")
    net.path("loss", crossing=True)
    net.path("inner", crossing=False)
    with pytest.raises(ValueError, match=words):
        wrong(net)
