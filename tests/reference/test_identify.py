"""Numbers that others planted or measured, found from their readings by `simtent.identify`.

The synthetic set is a node between two driven temperatures, simulated by others. The bench device is taken as two
heated nodes that exchange heat, each with a loss, one lag for both sensors, and a temperature around that was not
measured (prior 294 K, some 2 K); errors remember, so that the fit is not the one of least squares.
"""

from functools import lru_cache, partial
from pathlib import Path

import numpy as np
import pytest

from simtent.identify import Built, Column, Parameter, Prior, Problem, fit, lagged, unidentified
from simtent.network import Builder, tables

from .claims import EXACTLY, PUBLISHED, at_most, case, claims, percent
from .sources import MODESTPY, TCLAB

SUBJECT = "A node between two temperatures; two heaters"
DATA = Path(__file__).parents[1] / "data"
PARTS = ("loss1", "loss2", "coupling", "gain1", "gain2")
planted = partial(claims, source=MODESTPY, provenance=PUBLISHED, laws=[fit])


@lru_cache
def between_two():
    given = np.loadtxt(DATA / "modestpy_synthetic" / "inputs.csv", delimiter=",", skiprows=1)
    times, readings = np.loadtxt(DATA / "modestpy_synthetic" / "result.csv", delimiter=",", skiprows=1).T
    driven = [tables.lines(given[:, 0], given[:, k]) for k in (1, 2)]

    def build(values):
        net = Builder(end=times[-1])
        node = net.node(values["C"], start=readings[0], group="node")
        for name, table in zip(("R1", "R2"), driven, strict=True):
            net.link(net.boundary(table), node, 1.0 / values[name], net.path(name, crossing=True))
        return Built(net, {"T": node})

    sought = (Parameter("R1", 1.0), Parameter("R2", 1.0), Parameter("C", 1000.0))
    return fit(Problem(sought, build, (Column("T", times, readings, 0.001),)), starts=2)


@lru_cache
def two_heaters():
    rows = np.loadtxt(DATA / "tclab" / "energy_balance_mimo_data.txt", delimiter=",", skiprows=1)
    times, readings = rows[:, 0], rows[:, 3:5] + 273.15
    heat = [tables.steps(times, rows[:, k]) for k in (1, 2)]

    def build(values):
        net = Builder(end=times[-1])
        around = net.boundary(tables.constant(values["around"]))
        loss, gain = net.path("loss", crossing=True), net.path("gain", crossing=True)
        nodes = [net.node(1.0, start=readings[0, k], group="node") for k in (0, 1)]
        for k, node in enumerate(nodes):
            net.link(around, node, values[f"loss{k + 1}"], loss)
            net.source(node, net.table(heat[k]), values[f"gain{k + 1}"], gain)
        net.link(*nodes, values["coupling"])
        seen = {
            f"T{k + 1}": lagged(net, node, values["lag"], readings[0, k], f"T{k + 1}")
            for k, node in enumerate(nodes)
        }
        return Built(net, seen)

    sought = (*(Parameter(name, 0.003) for name in PARTS), Parameter("lag", 10.0))
    around = Parameter("around", 294.0, prior=Prior(294.0, 0.007))
    columns = tuple(Column(f"T{k + 1}", times, readings[:, k], 0.1) for k in (0, 1))
    return fit(Problem((*sought, around), build, columns), starts=1)


@planted(
    "Time constants of a node between two driven temperatures",
    unit="s",
    allowed=percent(1.0),
    cases=[case("to the first", 200.0, "R1"), case("to the second", 500.0, "R2")],
)
def test_time_constants(resistance):
    return between_two().product(**{resistance: 1.0, "C": 1.0})[0]


@planted(
    "The same: its three numbers have no values of their own",
    allowed=EXACTLY,
    cases=[case("all three told, with the two products that can be found", True)],
)
def test_not_separately():
    (told,) = unidentified(between_two()).confounded
    return told.names == ("R1", "R2", "C") and told.products == ("R1*C", "R2*C")


@claims(
    "Two heaters on a bench, 10 min by the second: root of the mean squared error",
    TCLAB,
    PUBLISHED,
    unit="K",
    allowed=at_most(0.6),
    laws=[fit, lagged],
    digits=2,
    marks=[pytest.mark.slow],
    cases=[case("first sensor", None, "T1"), case("second sensor", None, "T2", allowed=at_most(0.9))],
)
def test_two_heaters(sensor):
    return two_heaters().rmse[sensor]
