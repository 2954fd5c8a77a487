"""Whole rooms from published suites, built from plain network parts alone."""

import numpy as np
import pytest

from simtent.network import Accuracy, Builder, network_rhs, tables
from tests.network.plain import run

# VDI 6007-1 (second-hand: the standard's tables through the Modelica Buildings Library), rooms and hourly means.
ROOMS = {  # R_E, R_rem [K/W], C_E [J/K], R_I [K/W], C_I [J/K]
    "heavy": (0.00436791293674, 0.03895919557, 1600848.94, 0.000595693407511, 14836354.6282),
    "light": (0.00404935160802, 0.039330865, 47900.0, 0.003237138, 7297100.0),
}
DAY_1 = {
    1: "22 22 22 22 22 22 27.7 27.9 28.1 28.4 28.6 28.8 29 29.2 29.4 29.6 29.8 30 24.5 24.5 24.5 24.5 24.5 24.5",
    2: "22 22 22 22 22 22 22.6 22.9 23.1 23.3 23.5 23.7 23.9 24.1 24.3 24.6 24.8 25 24.5 24.5 24.5 24.5 24.5 24.5",
    3: "22 22 22 22 22 22 30.2 30.8 31.2 31.6 32 32.4 32.8 33.2 33.6 34 34.3 34.7 26.9 26.7 26.7 26.6 26.6 26.6",
}
DAY_10 = {
    1: "37.7 37.6 37.5 37.5 37.4 37.3 43 43.2 43.3 43.5 43.6 43.8 43.9 44.1 44.3 44.4 44.6 44.7 39.1 39.1 39 38.9 "
    "38.9 38.8",
    2: "37.7 37.7 37.6 37.5 37.5 37.4 38 38.2 38.3 38.5 38.6 38.8 38.9 39.1 39.2 39.4 39.5 39.7 39.2 39.1 39.1 39 "
    "38.9 38.9",
    3: "43.7 43.5 43.4 43.2 43 42.9 50.9 51.3 51.6 51.8 52.1 52.3 52.5 52.8 53 53.3 53.5 53.7 45.8 45.4 45.3 45.1 "
    "44.9 44.7",
}


def room(case: int, days: int) -> Builder:
    """Two-capacity room with a massless air node, here of 1 J/K."""
    r_e, r_rem, c_e, r_i, c_i = ROOMS["light" if case == 3 else "heavy"]
    net = Builder(end=days * 86400.0)
    outside = net.boundary(tables.constant(295.15))
    loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    start = 295.15
    air = net.node(1.0, start=start, group="air")
    outer_face = net.node(1.0, start=start, group="face")
    inner_face = net.node(1.0, start=start, group="face")
    outer_mass = net.node(c_e, start=start, group="mass")
    inner_mass = net.node(c_i, start=start, group="mass")
    net.link(outside, outer_mass, 1.0 / (1.0 / (25.0 * 10.5) + r_rem), loss)
    net.link(outer_mass, outer_face, 1.0 / r_e)
    net.link(inner_mass, inner_face, 1.0 / r_i)
    net.link(outer_face, air, 2.7 * 10.5)
    net.link(inner_face, air, 2.24 * 75.5)
    net.link(outer_face, inner_face, 5.0 * 10.5)
    on = [day * 86400.0 + hour * 3600.0 for day in range(days) for hour in (6, 18)]
    table = net.table(tables.steps(on, [1000.0, 0.0] * days))
    if case == 2:
        net.source(outer_face, table, 10.5 / 86.0, gain)
        net.source(inner_face, table, 75.5 / 86.0, gain)
    else:
        net.source(air, table, 1.0, gain)
    return net


@pytest.mark.parametrize("case", [1, 2, 3])
def test_vdi_6007_rooms(case):
    """Allowed by the standard: 0.1 K (0.15 K with its rounding), tenth day included."""
    net = room(case, 10)
    times = np.concatenate([day * 86400.0 + np.arange(0, 86401, 120.0) for day in (0, 9)])
    times = np.unique(np.append(times, [0.0, net.end]))
    got = run(net, times, Accuracy(rtol=1e-8, atol=1e-6))
    for day, table in ((1, DAY_1), (10, DAY_10)):
        start = (day - 1) * 86400.0
        for hour, printed in enumerate(table[case].split(), start=1):
            inside = (times > start + (hour - 1) * 3600.0) & (times <= start + hour * 3600.0)
            assert got.states[inside, 0].mean() - 273.15 == pytest.approx(float(printed), abs=0.15)


def test_two_explicit_steps_by_hand():
    """physics.md WS9, closed form, held here as the right-hand side's slope: 1 kW into 0.6 MJ/K is 0.1 K a minute."""
    net = Builder(end=60.0)
    cold = net.boundary(tables.constant(173.15))
    path, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
    a, b, c = (net.node(size, start=283.15, group="mass") for size in (11e6, 2.5e6, 0.6e6))
    net.link(cold, a, 100.0, path)
    net.link(a, b, 500.0)
    net.link(b, c, 800.0)
    net.source(c, net.table(tables.constant(1000.0)), 1.0, gain)
    arrays, start = net.freeze()
    slope = network_rhs(0.0, start, arrays, arrays.jumps.rows[0].copy())
    assert slope[:3] * 60.0 == pytest.approx([-100.0 * 110.0 * 60.0 / 11e6, 0.0, 0.1], abs=1e-12)
