"""From the scenario's nouns to a network: nodes, links and tables, and the arrays its right-hand side reads."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from simtent.assembly import envelope, room
from simtent.assembly import shape as shapes
from simtent.assembly.drivers import driver
from simtent.assembly.envelope import Strip
from simtent.assembly.ground import Earth, Floor, add_edge, build_floors
from simtent.assembly.parameters import Shelter, Star, Weather, floats, indices
from simtent.assembly.shape import Bands, Shape
from simtent.network.arrays import Array
from simtent.network.builder import Builder, Node
from simtent.physics.air import standard_pressure
from simtent.physics.ground import snow_conductivity
from simtent.scenario.scenario import Scenario

# Every path, and whether it brings heat in from outside the nodes.
PATHS = {
    "source_convective": True,
    "source_radiant": True,
    "people": True,
    "wall_to_air": False,
    "roof_to_air": False,
    "floor_to_air": False,
    "contents_to_air": False,
    "leakage": True,
    "outside_convection": True,
    "sky_radiation": True,
    "ground_edge": True,
}


@dataclass(frozen=True)
class Model:
    """A shelter ready to be solved.

    net           the builder: names, groups and capacities of nodes, names of paths
    shelter       the arrays that the right-hand side reads
    start         start state: temperatures [K], paths [J]
    bands         the air layers, which are the first nodes
    surfaces      nodes that are reported as surfaces, by name
    ground_tops   nodes at the top of the ground
    """

    net: Builder
    shelter: Shelter
    start: Array
    bands: Bands
    surfaces: dict[str, Node]
    ground_tops: tuple[Node, ...]


def outline(scenario: Scenario) -> Shape:
    """Shape of the scenario's shelter."""
    shelter = scenario.shelter
    if shelter.shape == "box":
        return shapes.box(shelter.length, shelter.width, shelter.height)
    if shelter.shape == "wall tent":
        return shapes.wall_tent(shelter.length, shelter.width, shelter.wall, shelter.ridge)
    return shapes.bell(shelter.diameter, shelter.wall, shelter.peak)


def assemble(scenario: Scenario) -> Model:
    """Build the network of a scenario."""
    shape = outline(scenario)
    bands = shapes.cut(shape, shapes.edges_growing_upward(shape.peak, scenario.model.layers))
    pressure = standard_pressure(scenario.site.altitude)
    net = Builder(end=scenario.night.seconds)
    air = scenario.outdoors.track("air")
    inside = scenario.night.inside_at_start
    start = driver(air).value(0.0) if inside is None else inside
    layers = room.build_air(net, bands, pressure, start)
    paths = {name: net.path(name, crossing=crossing) for name, crossing in PATHS.items()}
    outdoors = net.boundary(driver(air))
    sky = net.boundary(None)  # follows from air, humidity and cloud
    skins = {"wall": scenario.shelter.skin.wall[::-1], "roof": scenario.shelter.skin.roof[::-1]}
    strips = envelope.build_strips(net, shape, bands, skins, scenario.model.walls, start)
    earth = _earth(scenario)
    floors = build_floors(net, scenario, earth, shape.floor_area, start)
    add_edge(net, outdoors, paths["ground_edge"], floors, earth, shape.perimeter)
    room.build_contents(net, scenario, bands, layers, start, paths["contents_to_air"])
    room.build_people(net, scenario, bands, layers, paths["people"])
    power = room.build_source(net, scenario, bands, layers, paths["source_convective"])
    wind, humidity, cloud = (
        net.table(driver(scenario.outdoors.track(name))) for name in ("wind", "humidity", "cloud")
    )
    network, state = net.freeze()
    weather = Weather(
        net.index(outdoors),
        net.index(sky),
        wind,
        humidity,
        cloud,
        pressure,
        pressure / standard_pressure(0.0),
    )
    shelter = Shelter(
        net=network,
        weather=weather,
        films=envelope.films(strips, floors, paths),
        outer=envelope.outer_faces(strips, paths),
        gaps=envelope.gaps(strips),
        mixing=room.mixing(bands, scenario.model.mixing),
        star=_star(strips, floors, power, scenario.heat.radiant_share, paths),
        leaks=envelope.leaks(strips, bands, scenario.model.leak_area, shape.peak, paths["leakage"]),
    )
    return Model(net, shelter, state, bands, _surfaces(strips, floors), tuple(f.ground_top for f in floors))


def _earth(scenario: Scenario) -> Earth:
    """The ground; snow of a given density conducts by its density."""
    site, ground = scenario.site, scenario.site.earth
    conductivity = ground.conductivity if site.snow_density is None else snow_conductivity(site.snow_density)
    return Earth(conductivity, ground.density * ground.specific_heat, ground.emissivity, site.ground_start)


def _star(
    strips: Sequence[Strip], floors: Sequence[Floor], power: int, share: float, paths: Mapping[str, int]
) -> Star:
    weights = envelope.star_weights(strips, floors)
    return Star(indices(weights), floats(weights.values()), power, share, paths["source_radiant"])


def _surfaces(strips: Sequence[Strip], floors: Sequence[Floor]) -> dict[str, Node]:
    """Inner faces by layer from the floor up, then outer faces, then the floor."""
    names: dict[str, Node] = {}
    for side in ("inner", "outer"):
        for strip in strips:
            name = f"{strip.part} {strip.band + 1}"
            names[name if side == "inner" else f"outer {name}"] = getattr(strip.stack, side)
    if len(floors) == 1:
        return names | {"floor": floors[0].top}
    return names | {"floor mat": floors[0].top, "floor": floors[1].top}
