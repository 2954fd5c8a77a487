"""A heated room, its wall and a sensor that lags, with numbers that are known since they were planted."""

import numpy as np

from simtent.identify import Built, Column, Parameter, Problem, lagged
from simtent.identify.model import predicted
from simtent.network import Builder, tables

HOURS = 10.0
START = 280.0
TRUTH = {"air": 6e4, "loss": 40.0, "wall": 8e5, "film": 150.0, "lag": 120.0}
HEAT = tables.steps([600.0, 7200.0, 14400.0, 21600.0], [1500.0, 0.0, 2500.0, 0.0])
OUTSIDE = tables.lines([0.0, 18000.0, 36000.0], [270.0, 262.0, 266.0])


def room(values):
    """Build it; numbers that `values` does not name are the planted ones."""
    v = TRUTH | dict(values)
    net = Builder(end=HOURS * 3600.0)
    outside = net.boundary(OUTSIDE)
    air = net.node(v["air"], start=START, group="air")
    wall = net.node(v["wall"], start=START, group="wall")
    net.link(air, wall, v["film"])
    net.link(outside, air, v["loss"], net.path("loss", crossing=True))
    net.source(air, net.table(HEAT), 1.0, net.path("heat", crossing=True))
    return Built(net, {"sensor": lagged(net, air, v["lag"], START, "sensor"), "wall": wall})


def problem(
    names, step=120.0, columns=("sensor",), noise=0.02, off=1.3, build=room, truth=TRUTH, priors=None
):
    """Readings without any error of a network whose numbers are the truth, sought from `off` times the truth."""
    times = np.arange(0.0, HOURS * 3600.0 + 1.0, step)
    parameters = tuple(Parameter(n, truth[n] * off, prior=(priors or {}).get(n)) for n in names)
    empty = tuple(Column(name, times, np.zeros(times.size), noise) for name in columns)
    bare = Problem(parameters, build, empty)
    told = predicted(bare, np.log([truth[n] for n in names]))
    return Problem(
        parameters, build, tuple(Column(c.name, times, v, noise) for c, v in zip(empty, told, strict=True))
    )


def with_errors(one, deviation, memory, seed):
    """The same problem with errors that remember: a first-order autoregression drawn by seed."""
    chance = np.random.default_rng(seed)
    columns = []
    for column in one.columns:
        kept = np.exp(-np.diff(column.times) / memory)
        error = [chance.standard_normal()]
        for k in kept:
            error.append(k * error[-1] + np.sqrt(1.0 - k**2) * chance.standard_normal())
        values = column.values + deviation * np.array(error)
        columns.append(Column(column.name, column.times, values, column.noise))
    return Problem(one.parameters, one.build, tuple(columns))
