"""From the scenario's nouns to a network: nodes, links and tables, and the arrays its right-hand side reads."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from simtent.assembly.drivers import driver
from simtent.assembly.ground import ground_paths
from simtent.assembly.house import House, furnish, house_parts, open_air, raise_house, room_air
from simtent.assembly.loads import Woodpile, stack_wood
from simtent.assembly.parameters import BURIED, LAYER, OWN, SURFACE, Films, Shelter, Weather
from simtent.assembly.stove import Hearth, build_stove, no_stove, stove_arrays
from simtent.assembly.wet import add_water, damp_arrays, no_damp
from simtent.handle import handle
from simtent.network.arrays import Array, Indices
from simtent.network.builder import NO_TABLE, Builder
from simtent.physics.air import standard_pressure
from simtent.scenario.scenario import Scenario

# Every path, and whether it brings heat in from outside the nodes.
ROOM_PATHS = {
    "people": True,
    "wall_to_air": False,
    "roof_to_air": False,
    "floor_to_air": False,
    "contents_to_air": False,
    "leakage": True,
    "outside_convection": True,
    "sky_radiation": True,
}
WINDOW_PATHS = {"window_to_air": False}
SUN_PATHS = {"sun": True}
SOURCE_PATHS = {"source_convective": True, "source_radiant": True}
FIRE_PATHS = {
    "fire": True,
    "unburnt": True,
    "drying": True,
    "flue": True,
    "pipe_outside": True,
    "boiling": True,
}
INSIDE_PATHS = {"stove_to_air": False, "pipe_to_air": False, "stove_radiation": False, "spill": False}
OPEN_PATHS = {"stove_outdoors": True}
DAMP_PATHS = {"condensation": True}


@dataclass(frozen=True)
class Model:
    """A night ready to be solved.

    net       the builder: names, groups and capacities of nodes, names of paths
    shelter   the arrays that the right-hand side reads
    start     start state: temperatures [K], heat along paths [J], amounts and settings
    house     the shelter, its air layers the first nodes; None where a stove stands in the open
    hearth    the stove; None where the heat is known
    pile      the wood that may be burnt in it
    """

    net: Builder
    shelter: Shelter
    start: Array
    house: House | None
    hearth: Hearth | None
    pile: Woodpile | None


def assemble(scenario: Scenario) -> Model:
    """Build the network of a scenario."""
    net = Builder(end=scenario.night.seconds)
    pressure = standard_pressure(scenario.site.altitude)
    air, inside = scenario.outdoors.track("air"), scenario.night.inside_at_start
    start = driver(air).value(0.0) if inside is None else inside
    noun = scenario.shelter
    house = None if noun is None else raise_house(net, scenario, noun, pressure, start)
    paths = {name: net.path(name, crossing=crossing) for name, crossing in _paths(scenario, house).items()}
    outdoors = net.boundary(driver(air))
    sky = net.boundary(None)  # follows from air, humidity and cloud
    wind, humidity, cloud = (
        net.table(driver(scenario.outdoors.track(name))) for name in ("wind", "humidity", "cloud")
    )
    power = furnish(net, scenario, noun, house, outdoors, start, paths) if noun and house else NO_TABLE
    pile = stack_wood(scenario) if scenario.stove else None
    hearth = build_stove(net, scenario, pile.pieces, start) if pile else None
    parts = open_air()
    if house:
        air_parts = room_air(net, scenario, house, power, pressure, start, paths)
        parts = house_parts(scenario, house, air_parts, power, hearth, paths)
    water = add_water(net, scenario, house, parts.films, pressure) if house and scenario.damp else None
    network, state = net.freeze()
    bands = house.bands if house else None
    whole = Shelter(
        net=network,
        weather=Weather(
            net.index(outdoors),
            net.index(sky),
            wind,
            humidity,
            cloud,
            pressure,
            pressure / standard_pressure(0.0),
        ),
        films=parts.films,
        outer=parts.outer,
        gaps=parts.gaps,
        room=parts.room,
        star=parts.star,
        stove=stove_arrays(net, scenario, hearth, bands, paths) if hearth else no_stove(),
        damp=damp_arrays(net, scenario, house, parts.films, water, pressure, paths)
        if house and water
        else no_damp(),
        felt=_felt(len(net.capacities), house, parts.films, hearth),
    )
    return Model(net, handle(whole), state, house, hearth, pile)


def _felt(nodes: int, house: House | None, films: Films, hearth: Hearth | None) -> Indices:
    """What the temperature of each node moves."""
    felt = np.full(nodes, BURIED, np.int64)
    felt[films.node] = SURFACE
    if house is not None:
        felt[house.layers] = LAYER
    if hearth is not None:
        felt[[hearth.fire, hearth.body, *hearth.inside, *hearth.outside]] = OWN
        if hearth.top is not None:
            felt[hearth.top] = OWN
    return felt


def _paths(scenario: Scenario, house: House | None) -> Mapping[str, bool]:
    """The paths that this scenario has."""
    room = ROOM_PATHS | (ground_paths(house.earth) if house else {})
    if scenario.shelter is not None and scenario.shelter.window:
        room |= WINDOW_PATHS
    if scenario.shelter is not None and scenario.site.latitude is not None:
        room |= SUN_PATHS
    if scenario.damp is not None:
        room |= DAMP_PATHS
    if scenario.stove is None:
        return SOURCE_PATHS | room
    return FIRE_PATHS | (OPEN_PATHS if scenario.shelter is None else INSIDE_PATHS | room)
