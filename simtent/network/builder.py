"""Put a network together piece by piece, then freeze it into arrays.

>>> from simtent.network import tables
>>> net = Builder(end=3600.0)
>>> outside = net.boundary(tables.constant(263.15))
>>> room = net.node(5e4, start=283.15, group="room")
>>> loss = net.path("loss", crossing=True)
>>> net.link(outside, room, 90.0, loss)
>>> frozen, start = net.freeze()
>>> frozen.capacity.tolist(), start.tolist()
([50000.0], [283.15, 0.0])
"""

from dataclasses import dataclass, field

import numpy as np

from simtent.network.arrays import Array, Curves, Indices, Jumps, Links, Melts, Network, Sources, Tables
from simtent.network.curve import Curve
from simtent.network.melt import Melt
from simtent.network.tables import Table

Node = int
NO_PATH = -1
NO_TABLE = -1
SHORTEST_STRETCH = 1e-3  # s; jumps closer than this happen together, for no solver can walk between them


@dataclass(frozen=True)
class Carried:
    """Handle of a number that the state carries besides the heat: an amount, or one held between jumps."""

    number: int
    held: bool


@dataclass
class Builder:
    """Collects the pieces of a network over the time from 0 to `end` [s].

    Nodes count up from 0, boundaries down from -1 until the network is frozen. `starts` holds the start state of
    each node: its temperature [K], or what its curve or its melting makes of it; `melts` how each node melts that does.
    """

    end: float
    capacities: list[float] = field(default_factory=list)
    starts: list[float] = field(default_factory=list)
    groups: list[str] = field(default_factory=list)
    boundaries: list[int] = field(default_factory=list)
    path_names: list[str] = field(default_factory=list)
    crossings: list[bool] = field(default_factory=list)
    amounts: dict[str, tuple[float, float]] = field(default_factory=dict)  # start and scale
    helds: dict[str, float] = field(default_factory=dict)  # start
    melts: dict[int, Melt] = field(default_factory=dict)
    _curves: list[tuple[int, Curve]] = field(default_factory=list)
    _tables: list[Table] = field(default_factory=list)
    _links: list[tuple[int, int, float, int]] = field(default_factory=list)
    _rays: list[tuple[int, int, float, int]] = field(default_factory=list)
    _streams: list[tuple[int, int, float, int]] = field(default_factory=list)
    _sources: list[tuple[int, int, float, int]] = field(default_factory=list)
    _pulses: list[tuple[float, int, float, int]] = field(default_factory=list)

    def node(
        self,
        capacity: float,
        *,
        start: float,
        group: str,
        curve: Curve | None = None,
        melt: Melt | None = None,
    ) -> Node:
        """Add a node of heat capacity [J/K] and start temperature [K]; the ledger sums storage by group.

        With a curve the capacity is the one at relative capacity 1, of a node that melts the frozen one.
        """
        if not capacity > 0.0:
            raise ValueError(f"a node needs a capacity above 0 J/K, got {capacity}")
        if curve is not None and melt is not None:
            raise ValueError("a node has a curve or melts, not both")
        node = len(self.capacities)
        self.capacities.append(capacity)
        self.groups.append(group)
        law = curve or melt
        self.starts.append(start if law is None else law.state(start))
        if curve is not None:
            self._curves.append((node, curve))
        if melt is not None:
            self.melts[node] = melt
        return node

    def amount(self, name: str, *, start: float = 0.0, scale: float) -> Carried:
        """Add an amount that is integrated with the state; `scale` of it counts as much as one kelvin does."""
        if not scale > 0.0:
            raise ValueError(f"an amount needs a scale above 0, got {scale}")
        self._new(name)
        self.amounts[name] = start, scale
        return Carried(len(self.amounts) - 1, held=False)

    def held(self, name: str, *, start: float) -> Carried:
        """Add a number that changes only where a script changes it."""
        self._new(name)
        self.helds[name] = start
        return Carried(len(self.helds) - 1, held=True)

    def boundary(self, temperature: Table | None) -> Node:
        """Add a boundary whose temperature [K] follows a table, or is set by a right-hand side of its own."""
        self.boundaries.append(NO_TABLE if temperature is None else self.table(temperature))
        return -len(self.boundaries)

    def table(self, table: Table) -> int:
        """Add a table and return its number."""
        self._tables.append(table)
        return len(self._tables) - 1

    def path(self, name: str, *, crossing: bool) -> int:
        """Add a named path; a crossing path brings heat in from outside the nodes (positive inward)."""
        if name in self.path_names:
            raise ValueError(f"the path {name!r} exists already")
        self.path_names.append(name)
        self.crossings.append(crossing)
        return len(self.path_names) - 1

    def link(self, i: Node, j: Node, conductance: float, path: int = NO_PATH) -> None:
        """Join i and j by a conductance [W/K]; a boundary, if any, comes first."""
        self._booked(i, j, path)
        self._links.append((i, j, conductance, path))

    def ray(self, i: Node, j: Node, k: float, path: int = NO_PATH) -> None:
        """Join i and j by radiation, k (T_i^4 - T_j^4) with k [W/K4]."""
        self._booked(i, j, path)
        self._rays.append((i, j, k, path))

    def stream(self, i: Node, j: Node, capacity_flow: float, path: int) -> None:
        """Let a stream of capacity flow [W/K] run from i into j; its path must be a crossing one."""
        if not self.crossings[path]:
            raise ValueError("a stream needs a crossing path: the ledger counts it as heat brought in")
        self._streams.append((i, j, capacity_flow, path))

    def source(self, node: Node, table: int, share: float, path: int) -> None:
        """Give a node its share of a table's power [W]."""
        if not self.crossings[path]:
            raise ValueError("a source needs a crossing path")
        self._sources.append((node, table, share, path))

    def pulse(self, time: float, node: Node, heat: float, path: int) -> None:
        """Add heat [J] to a node at one moment [s], from 0 up to but not including the end."""
        if not 0.0 <= time < self.end - SHORTEST_STRETCH:
            raise ValueError(f"a pulse at {time} s lies outside the run, 0 to {self.end} s")
        if not self.crossings[path]:
            raise ValueError("a pulse needs a crossing path")
        self._pulses.append((time, node, heat, path))

    def jump_times(self) -> Array:
        """Moments [s] at which the solver is stopped: 0, and every break and pulse before the end."""
        times = {time for time, *_ in self._pulses}
        for table in self._tables:
            times.update(float(table.starts[row]) for row in table.breaks())
        kept = [0.0]
        for time in sorted(times):
            if kept[-1] + SHORTEST_STRETCH < time < self.end - SHORTEST_STRETCH:
                kept.append(time)
        return np.array(kept)

    def freeze(self) -> tuple[Network, Array]:
        """Return the network as arrays, and its start state: nodes [K], paths [J] at 0, amounts, held numbers."""
        jumps = self.jump_times()
        network = Network(
            capacity=np.array(self.capacities),
            curves=self._frozen_curves(),
            melts=Melts(
                np.array(list(self.melts), np.int64),
                np.array([melt.row() for melt in self.melts.values()], float).reshape(-1, 5),
            ),
            paths=len(self.path_names),
            amounts=len(self.amounts),
            scale=np.array([scale for _, scale in self.amounts.values()] + [0.0] * len(self.helds)),
            boundary_table=np.array(self.boundaries, np.int64),
            links=self._frozen(self._links),
            rays=self._frozen(self._rays),
            streams=self._frozen(self._streams),
            sources=Sources(
                np.array([source[0] for source in self._sources], np.int64),
                np.array([source[1] for source in self._sources], np.int64),
                np.array([source[2] for source in self._sources], float),
                np.array([source[3] for source in self._sources], np.int64),
            ),
            tables=Tables(
                np.concatenate([t.starts for t in self._tables] + [np.array([self.end])]),
                np.concatenate([t.cubics for t in self._tables] + [np.zeros((0, 4))]),
            ),
            jumps=Jumps(
                self._rows_after(jumps),
                np.array(
                    [int(np.searchsorted(jumps, p[0], side="right")) - 1 for p in self._pulses], np.int64
                ),
                np.array([p[1] for p in self._pulses], np.int64),
                np.array([p[2] for p in self._pulses], float),
                np.array([p[3] for p in self._pulses], np.int64),
            ),
        )
        carried = [start for start, _ in self.amounts.values()] + list(self.helds.values())
        return network, np.array(self.starts + [0.0] * len(self.path_names) + carried)

    def index(self, node: Node) -> int:
        """Index of a node or boundary in the vector of temperatures."""
        return node if node >= 0 else len(self.capacities) - 1 - node

    def place(self, carried: Carried) -> int:
        """Index of an amount or held number in the state, once every node, path and amount has been added."""
        first = len(self.capacities) + len(self.path_names)
        return first + (len(self.amounts) if carried.held else 0) + carried.number

    def _new(self, name: str) -> None:
        if name in self.amounts or name in self.helds:
            raise ValueError(f"the amount {name!r} exists already")

    def _frozen_curves(self) -> Curves:
        return Curves(
            np.array([node for node, _ in self._curves], np.int64),
            np.array([curve.row() for _, curve in self._curves], float).reshape(-1, 11),
        )

    def _frozen(self, rows: list[tuple[int, int, float, int]]) -> Links:
        return Links(
            np.array([self.index(row[0]) for row in rows], np.int64),
            np.array([self.index(row[1]) for row in rows], np.int64),
            np.array([row[2] for row in rows], float),
            np.array([row[3] for row in rows], np.int64),
        )

    def _rows_after(self, jumps: Array) -> Indices:
        """For each jump and table the first and last row in force until the next break of that table."""
        offsets = np.concatenate(([0], np.cumsum([len(t.starts) for t in self._tables]))).astype(np.int64)
        out = np.zeros((len(jumps), len(self._tables), 2), np.int64)
        for k, table in enumerate(self._tables):
            bounds = np.array([0, *table.breaks(), len(table.starts)])
            at = np.searchsorted(table.starts[bounds[1:-1]], jumps + SHORTEST_STRETCH, side="right")
            out[:, k, 0] = offsets[k] + bounds[at]
            out[:, k, 1] = offsets[k] + bounds[at + 1] - 1
        return out

    def _booked(self, i: Node, j: Node, path: int) -> None:
        if j < 0:
            raise ValueError("a boundary stands first in a link, so that its path counts heat inward")
        crossing = path != NO_PATH and self.crossings[path]
        if crossing != (i < 0):
            raise ValueError("a link from a boundary needs a crossing path, any other link must not have one")
