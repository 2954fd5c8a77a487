"""What is to be fitted: parameters, the network they make, and the readings of some of its nodes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from simtent.identify.parameter import Parameter
from simtent.network import Builder
from simtent.network.arrays import Array

LEAST_READINGS = (
    3  # over the number of parameters: deviation and memory of the errors are found from them too
)


@dataclass(frozen=True)
class Built:
    """A network, and which of its nodes each column of readings belongs to."""

    net: Builder
    seen: Mapping[str, int]


Build = Callable[[Mapping[str, float]], Built]


@dataclass(frozen=True)
class Column:
    """Readings of one node.

    name     as `Built.seen` calls it
    times    [m] s, rising, within the network's run
    values   [m] K
    noise    least standard deviation of an error [K], such as the sensor's own; the fit finds it larger, never smaller
    """

    name: str
    times: Array
    values: Array
    noise: float

    def __post_init__(self) -> None:
        """Refuse readings that are no series."""
        times, values = np.asarray(self.times, float), np.asarray(self.values, float)
        if times.ndim != 1 or times.shape != values.shape or times.size < LEAST_READINGS:
            raise ValueError(f"{self.name}: as many times as values are needed, {LEAST_READINGS} at least")
        if not (np.all(np.isfinite(times)) and np.all(np.isfinite(values)) and np.all(np.diff(times) > 0.0)):
            raise ValueError(f"{self.name}: times must rise, and all readings be numbers; leave gaps out")
        if not 0.0 < self.noise < np.inf:
            raise ValueError(f"{self.name}: the noise must lie above 0 K, got {self.noise}")
        object.__setattr__(self, "times", times)
        object.__setattr__(self, "values", values)


@dataclass(frozen=True)
class Problem:
    """Parameters, the function that builds a network of their values by name, and columns of readings."""

    parameters: tuple[Parameter, ...]
    build: Build
    columns: tuple[Column, ...]

    def __post_init__(self) -> None:
        """Refuse names that stand twice, and fewer readings than could tell anything."""
        names = [one.name for one in self.parameters]
        columns = [one.name for one in self.columns]
        if len(set(names)) < len(names) or len(set(columns)) < len(columns):
            raise ValueError(f"each name must stand once: {names}, {columns}")
        if not names or not columns:
            raise ValueError("a fit needs a parameter and a column of readings")
        readings = sum(one.times.size for one in self.columns)
        if readings < len(names) + LEAST_READINGS:
            raise ValueError(f"{readings} readings are too few for {len(names)} parameters")

    def built(self, logs: Array) -> Built:
        """Build the network from the natural logarithms of its parameters, shape [p]."""
        built = self.build(self.named(logs))
        for column in self.columns:
            if not 0 <= built.seen.get(column.name, -1) < len(built.net.capacities):
                raise ValueError(f"the network names no node for the readings {column.name!r}")
            if column.times[0] < 0.0 or column.times[-1] > built.net.end:
                raise ValueError(f"{column.name}: readings outside the network's run, 0 to {built.net.end} s")
        return built

    def named(self, logs: Array) -> dict[str, float]:
        """Values of the parameters by name."""
        return {one.name: float(np.exp(x)) for one, x in zip(self.parameters, logs, strict=True)}


def lagged(net: Builder, node: int, lag: float, start: float, name: str) -> int:
    """Add a sensor that follows a node with a first-order lag [s] from its start [K], and takes no heat from it.

    A stream of 1/lag W/K into a node of 1 J/K is that law; `name` names the sensor's path and group.
    """
    if not lag > 0.0:
        raise ValueError(f"a sensor's lag lies above 0 s, got {lag}")
    sensor = net.node(1.0, start=start, group=name)
    net.stream(node, sensor, 1.0 / lag, net.path(name, crossing=True))
    return sensor
