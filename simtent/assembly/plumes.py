"""What rises in the room and from where: the stove or a known source, the sleepers; and a fan."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from simtent.assembly.parameters import Column, Fan, Feeds, Plumes, floats, indices
from simtent.assembly.room import shares, within
from simtent.assembly.shape import Bands
from simtent.network import tables
from simtent.network.arrays import Array
from simtent.network.builder import Builder
from simtent.physics.air import air_density
from simtent.physics.constants import CP_AIR
from simtent.physics.plume import CORNER, FREE, WALL
from simtent.scenario.heat import Heat
from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Stove

STANDS = {"free": FREE, "at a wall": WALL, "in a corner": CORNER}
HEARTH, SLEEPERS = 0, 1  # rows of the plumes

# Common practice, no source.
SOURCE_DIAMETER, SOURCE_DEPTH = (
    0.4,
    0.4,
)  # m, of a known source: seen from above, and the part beside which air gathers
SLEEPER_DIAMETER = 0.6  # m, of a circle as large as a person who lies
SLEEPER_BELOW, SLEEPER_ABOVE = 0.1, 0.25  # m, that a person who lies reaches below and above the cot's height


@dataclass(frozen=True)
class Source:
    """What a plume rises from.

    low, high    heights between which air gathers around it [m]
    ceiling      height up to which it rises freely [m]; beyond, a plume follows the roof and draws nothing in
    diameter     seen from above [m]
    stands       factor on its flow, by the walls beside it [-]
    count        of equal sources
    """

    low: float
    high: float
    ceiling: float
    diameter: float
    stands: float = FREE
    count: int = 1


def build_plumes(scenario: Scenario, bands: Bands) -> Plumes:
    """Plume of the stove or the known source, then those of the sleepers."""
    peak, cot = float(bands.edges[-1]), scenario.levels["cot"]
    if scenario.stove is not None:
        hearth = _of_stove(scenario.stove, peak)
    else:
        assert scenario.heat is not None
        hearth = _of_heat(scenario.heat, peak)
    sleeper = Source(
        max(cot - SLEEPER_BELOW, 0.0),
        min(cot + SLEEPER_ABOVE, peak),
        peak,
        SLEEPER_DIAMETER,
        count=max(scenario.crew.asleep, 1),
    )
    sources = (hearth, sleeper)
    return Plumes(
        np.array([within(bands, source.high, source.ceiling) for source in sources]),
        np.array([shares(bands, source.low, source.high) for source in sources]),
        floats(source.diameter for source in sources),
        floats(source.stands**0.6 for source in sources),
        floats(source.count for source in sources),
    )


def build_feeds(
    net: Builder, scenario: Scenario, bands: Bands, power: int, paths: Mapping[str, int]
) -> Feeds:
    """Heat of a known source, by the table of its power, and of the sleepers."""
    rows = list[tuple[int, int, int, float, int]]()
    heat, crew, peak = scenario.heat, scenario.crew, float(bands.edges[-1])
    if heat is not None:
        span = shares(bands, heat.from_height, heat.to_height)
        convective, path = 1.0 - heat.radiant_share, paths["source_convective"]
        rows += [(HEARTH, k, power, convective * share, path) for k, share in _filled(span)]
    if crew.asleep:
        cot = scenario.levels["cot"]
        span = shares(bands, max(cot - SLEEPER_BELOW, 0.0), min(cot + SLEEPER_ABOVE, peak))
        table = net.table(tables.constant(crew.asleep * crew.heat_each))
        rows += [(SLEEPERS, k, table, share, paths["people"]) for k, share in _filled(span)]
    plume, layer, table_of, share_of, path_of = zip(*rows, strict=True) if rows else ((),) * 5
    return Feeds(indices(plume), indices(layer), indices(table_of), floats(share_of), indices(path_of))


def build_fan(scenario: Scenario, bands: Bands, inside: float, pressure: float) -> tuple[Fan, float]:
    """A fan that carries air as dense as at the start [K], and by how much one that mixes stirs the room [W m/K].

    A mixing fan exchanges its flow between the lower and the upper half of the room, whose middles lie half its
    height apart; written for any gradient, as a conductivity times the section.
    """
    fan = None if scenario.shelter is None else scenario.shelter.fan
    if fan is None:
        return Fan(0.0, 0, 0), 0.0
    flow = fan.flow * air_density(inside, pressure)
    if fan.from_ is None or fan.to is None:
        return Fan(0.0, 0, 0), CP_AIR * flow * float(bands.edges[-1]) / 2.0
    source, target = (int(np.searchsorted(bands.edges, height)) - 1 for height in (fan.from_, fan.to))
    return Fan(flow, max(source, 0), max(target, 0)), 0.0


def column(bands: Bands, mixing: float, stirring: float) -> Column:
    """The layers of air as the right-hand side reads them."""
    return Column(bands.edges, floats(bands.section), np.diff(bands.centres), mixing, stirring)


def no_feeds() -> Feeds:
    """Nothing fed to a plume from a table."""
    return Feeds(indices(()), indices(()), indices(()), floats(()), indices(()))


def _of_stove(stove: Stove, peak: float) -> Source:
    """A stove gathers air from its legs to its top; its plume rises along the pipe to where that meets the roof."""
    top = min(stove.collar, 0.95 * peak)
    plan = stove.firebox.length * stove.firebox.width
    return Source(
        low=min(stove.legs, 0.9 * peak),
        high=top,
        ceiling=min(stove.collar + stove.pipe.inside, peak),
        diameter=float(np.sqrt(4.0 * plan / np.pi)),
        stands=STANDS[stove.stands],
    )


def _of_heat(heat: Heat, peak: float) -> Source:
    top = min(heat.from_height + SOURCE_DEPTH, heat.to_height)
    return Source(heat.from_height, top, peak, SOURCE_DIAMETER, STANDS[heat.stands])


def _filled(span: Array) -> Iterator[tuple[int, float]]:
    return ((layer, float(share)) for layer, share in enumerate(span) if share > 0.0)
