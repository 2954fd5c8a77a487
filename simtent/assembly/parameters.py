"""What the shelter's right-hand side needs besides the plain network: arrays and numbers only.

All temperatures stand in one vector: nodes, then the boundaries outdoors and sky. Air layers are the first
nodes, from the floor up.
"""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from simtent.network.arrays import Array, Indices, Network

BURIED, SURFACE, LAYER, OWN = (
    0,
    1,
    2,
    3,
)  # what a node's temperature moves: no air | currents | all air | the fire too


class Films(NamedTuple):
    """Convection between surfaces and the air of their layer."""

    air: Indices
    node: Indices
    area: Array  # m2
    tilt: Array  # cosine between the normal into the room and straight up
    path: Indices


class OuterFaces(NamedTuple):
    """Outer faces, to the outdoor air, the sky and the surroundings."""

    node: Indices
    area: Array  # m2
    sky_share: Array  # share of the sky in what the face sees
    emissivity: Array
    path_air: int
    path_sky: int


class Gaps(NamedTuple):
    """Air gaps between two skins."""

    inner: Indices
    outer: Indices
    area: Array  # m2
    thickness: Array  # m
    tilt: Array  # of the inner face, as in Films
    emissivity: Array  # of the pair of faces


class Column(NamedTuple):
    """The layers of air, one on top of another."""

    edges: Array  # m, one more than there are layers
    area: Array  # m2, of the section between layer k and k + 1
    distance: Array  # m, between their centres
    mixing: float  # factor on their mixing
    stirring: float  # W m/K, by which a fan mixes


class Openings(NamedTuple):
    """Openings cut into elements: each in one layer, at one height, on the windward side or in the lee."""

    layer: Indices
    height: Array  # m
    strength: Array  # kg/s over the roots of density and of pressure to the exponent
    exponent: Array
    wind: Array  # pressure coefficient
    table: Indices  # share that is open; -1: as it is
    path: int


class Plumes(NamedTuple):
    """Plumes by their row, and the layers that each rises through."""

    climb: Array  # [plume, layer] m, that it rises freely
    base: Array  # [plume, layer] share of the way from its virtual origin to the top of its source
    diameter: Array  # m, of the source
    entrainment: Array  # factor on the growth of a flow to the power 3/5
    equal: Array  # number of equal plumes


class Feeds(NamedTuple):
    """Heat given to plumes from tables."""

    plume: Indices
    layer: Indices
    table: Indices
    share: Array
    path: Indices


class Fan(NamedTuple):
    """A fan that carries air from one layer to another."""

    flow: float  # kg/s
    source: int
    target: int


class Room(NamedTuple):
    """How the air of the room moves."""

    column: Column
    openings: Openings
    plumes: Plumes
    feeds: Feeds
    fan: Fan


class Star(NamedTuple):
    """Exchange by radiation inside, through one middle that also takes a source's radiant heat.

    The room's surfaces come first, stove and pipe after them.
    """

    node: Indices
    area: Array  # m2, the weight of each surface
    room: int  # how many of them are the room's
    table: int  # of a known source's power (-1: none)
    share: float  # of that power which is radiant
    path: int  # radiant heat of the source, or of stove and pipe


class HotFaces(NamedTuple):
    """Convection of stove and pipe inside, to the plume that rises from them, in a layer."""

    node: Indices
    air: Indices
    area: Array  # m2
    path: Indices


class HotOuter(NamedTuple):
    """Stove and pipe out of doors: convection in the wind, long waves to the sky and the surroundings."""

    node: Indices
    area: Array  # m2, that convects
    radiant: Array  # m2, area times emissivity
    path: Indices


class Slots(NamedTuple):
    """Wood by load and size: the wood of one load that is of one thickness lies in one slot.

    The states of all slots stand one after another: water [kg], dry wood [kg], moment it caught [s].
    """

    thickness: Array  # m
    burn_time: Array  # s, burning freely
    dry: Array  # kg, as put on
    water: Array  # kg, as put on
    first_water: int
    first_dry: int
    first_caught: int


class Places(NamedTuple):
    """Where amounts and settings of the fire stand in the state."""

    first: int  # amount of all
    coals: int  # kg
    ash: int  # kg
    burnt: int  # kg, all that went up the flue of what was wood and water
    air: int  # kg/s, air that flows in to the fire
    inlet: int  # share of the full opening
    damper: int  # share open
    door: int  # m2, opening of the stove's door
    lighting: int  # W, of match and tinder
    last_load: int  # kg dry, of the last load


class Wood(NamedTuple):
    """What burns, and how willingly."""

    density: float  # kg/m3, dry
    gas_heat: float  # J/kg of the gas that dry wood gives off
    coal_heat: float  # J/kg
    coal_rate: float  # 1/s, at which coals burn in plenty of air
    feedback: float  # floor of the flame feedback


class Firebox(NamedTuple):
    """The fire's surroundings: nodes, areas, and how they exchange heat with it."""

    node: int  # hot matter of the fire; -1: there is no stove
    body: int
    area: float  # m2, of the metal around the fire, for radiation and convection, times the factor on the gas side
    baffle: float  # W/(m2 K) x m2 of gas that sweeps a baffle
    height: float  # m
    cook: int  # node of what stands on the stove, if it is water that may boil; -1: none
    path_fire: int
    path_unburnt: int
    path_drying: int
    path_boiling: int


class Flue(NamedTuple):
    """Air inlet, pipe and draught."""

    node: Indices  # of each segment, from the collar up
    length: Array  # m
    rise: Array  # m
    loss: Array  # sum of single losses in each segment, without the damper
    whole: float  # m, length of the whole pipe
    diameter: float  # m
    roughness: float  # m
    gas_side: float  # factor on the heat that gas gives to the pipe
    opening: float  # m2, of the air inlet
    leak: float  # m2, open when the inlet is shut
    has_damper: float  # 1 or 0
    prescribed: float  # Pa, draught at the collar; -1: it follows from the gas
    draws: Array  # share of its air from each layer; empty in the open
    foot: float  # m, height at which its column of gas begins and it draws
    path: int
    path_spill: int


class Stove(NamedTuple):
    """A stove with its fire, or an empty one with node -1."""

    hot: HotFaces
    outer: HotOuter
    slots: Slots
    places: Places
    wood: Wood
    firebox: Firebox
    flue: Flue


class Damp(NamedTuple):
    """Vapour and water in a room, or none where there are no masses; what stands in the state is given by its place.

    The amounts of one kind stand one after another: of vapour by layer, of ice and liquid by face of `Films`.
    """

    mass: Array  # kg of air in each layer
    first: int  # kg, vapour of the lowest layer
    ice: int  # kg, on the first face
    liquid: int  # kg, on the first face
    wet: int  # kg, water left in the first wet thing
    bag: int  # kg, that stayed in sleeping bags
    entered: int  # kg, with air from outdoors
    left: int  # kg, with air that left
    sleepers: int  # kg, given off by sleepers
    dripped: int  # kg, run off or dripped
    path: int
    endless: Array  # 1 for a face of snow or ice that does not run out, else 0
    holds: Array  # kg/m2 of water that a face holds; more runs off
    below: Array  # share of what runs off that each face takes
    passes: Array  # kg/(s m2 Pa) of vapour that each face lets through, outer film included
    breath: Array  # kg/s, breathed out into each layer
    skin: Array  # kg/s, given off into the sleeping bags of each layer
    bag_area: Array  # m2, of the sleeping bags in each layer
    bag_over: float  # K by which their shells are warmer than the air
    wet_layer: Indices
    wet_area: Array  # m2


class Weather(NamedTuple):
    """Places of outdoor air and sky in the vector of temperatures, and tables of the rest."""

    outdoors: int
    sky: int
    wind: int
    humidity: int
    cloud: int
    pressure: float  # Pa
    density_ratio: float  # over that at sea level


class Shelter(NamedTuple):
    """A shelter as numbers."""

    net: Network
    weather: Weather
    films: Films
    outer: OuterFaces
    gaps: Gaps
    room: Room
    star: Star
    stove: Stove
    damp: Damp
    felt: Indices  # of each node: BURIED, SURFACE, LAYER or OWN


def indices(values: Iterable[int]) -> Indices:
    """Whole numbers as an array."""
    return np.array(list(values), np.int64)


def floats(values: Iterable[float]) -> Array:
    """Real numbers as an array."""
    return np.array(list(values), np.float64)
