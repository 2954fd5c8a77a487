"""The shelter itself put into the network: air, skin, floor, contents, people, a known source of heat."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from simtent.assembly import envelope, openings, plumes, room, sun
from simtent.assembly import shape as shapes
from simtent.assembly.drivers import release
from simtent.assembly.earth import Earth, earth_of
from simtent.assembly.envelope import Strip
from simtent.assembly.ground import Floor, build_floors, join_ground
from simtent.assembly.openings import Element
from simtent.assembly.parameters import (
    Column,
    Fan,
    Films,
    Gaps,
    Openings,
    OuterFaces,
    Plumes,
    Room,
    Star,
    floats,
    indices,
)
from simtent.assembly.patches import build_patches
from simtent.assembly.shape import Bands
from simtent.assembly.stove import Hearth, star_faces
from simtent.geometry.face import Shape
from simtent.network.arrays import Indices
from simtent.network.builder import NO_TABLE, Builder, Node
from simtent.scenario import shelter as nouns
from simtent.scenario.scenario import Scenario


@dataclass(frozen=True)
class House:
    """A shelter whose nodes stand in the network.

    shape    its outline
    bands    the outline cut into layers of air
    layers   nodes of the air, from the floor up
    strips   walls, roof and windows
    floors   parts of the floor
    earth    the ground under it; None where its floor stands above open air
    elements pieces of its openings
    """

    shape: Shape
    bands: Bands
    layers: list[Node]
    strips: list[Strip]
    floors: list[Floor]
    earth: Earth | None
    elements: tuple[Element, ...]

    @property
    def openings(self) -> tuple[str, ...]:
        """Names of its openings, each side apart."""
        return openings.groups(self.elements)[0]

    @property
    def element_group(self) -> Indices:
        """For every element the place of its opening among `openings`."""
        return openings.groups(self.elements)[1]

    @property
    def surfaces(self) -> dict[str, Node]:
        """Inner faces by layer from the floor up, then outer faces, then the floor."""
        names: dict[str, Node] = {}
        for side in ("inner", "outer"):
            for strip in self.strips:
                name = strip.name if side == "inner" else f"outer {strip.name}"
                names[name] = getattr(strip.stack, side)
        if len(self.floors) == 1:
            return names | {"floor": self.floors[0].top}
        return names | {"floor mat": self.floors[0].top, "floor": self.floors[1].top}


@dataclass(frozen=True)
class Parts:
    """What the right-hand side reads of a shelter."""

    films: Films
    outer: OuterFaces
    gaps: Gaps
    room: Room
    star: Star


def raise_house(
    net: Builder, scenario: Scenario, shelter: nouns.Shelter, pressure: float, start: float
) -> House:
    """Add the nodes of air, skin and floor; the air first, all at the start temperature [K]."""
    shape = shelter.outline
    bands = shapes.cut(shape, shapes.edges_growing_upward(shape.peak, scenario.model.layers))
    layers = room.build_air(net, bands, pressure, start)
    patches = build_patches(shape, bands, shelter.skin, shelter.window)
    strips = envelope.build_strips(net, patches, scenario.model.walls, start)
    earth = None if shelter.floor.raised else earth_of(scenario.site, scenario.model.ground)
    floors = build_floors(net, shelter.floor, earth, shape.floor_area, start)
    elements = openings.build_elements(net, scenario, strips, bands, shape)
    return House(shape, bands, layers, strips, floors, earth, elements)


def furnish(
    net: Builder,
    scenario: Scenario,
    shelter: nouns.Shelter,
    house: House,
    outdoors: Node,
    start: float,
    paths: Mapping[str, int],
) -> int:
    """Add the floor's edge, contents and a known source; return the table of its power, if any."""
    join_ground(net, outdoors, paths, house.floors, house.earth, house.shape.perimeter)
    if "sun" in paths:
        sun.shine(net, scenario, house.strips, house.floors, paths["sun"])
    room.build_contents(net, shelter.contents, house.bands, house.layers, start, paths["contents_to_air"])
    if scenario.heat is None:
        return NO_TABLE
    return net.table(release(scenario.heat.track(), scenario.model.heat))


def house_parts(
    scenario: Scenario, house: House, air: Room, power: int, hearth: Hearth | None, paths: Mapping[str, int]
) -> Parts:
    """A shelter as the right-hand side reads it."""
    return Parts(
        films=envelope.films(house.strips, house.floors, paths),
        outer=envelope.outer_faces(house.strips, paths),
        gaps=envelope.gaps(house.strips),
        room=air,
        star=_star(scenario, house, power, hearth, paths),
    )


def room_air(
    net: Builder,
    scenario: Scenario,
    house: House,
    power: int,
    pressure: float,
    start: float,
    paths: Mapping[str, int],
) -> Room:
    """How the air of the room moves, as the right-hand side reads it."""
    fan, stirring = plumes.build_fan(scenario, house.bands, start, pressure)
    return Room(
        plumes.column(house.bands, scenario.model.mixing, stirring),
        openings.opening_arrays(house.elements, paths["leakage"]),
        plumes.build_plumes(scenario, house.bands),
        plumes.build_feeds(net, scenario, house.bands, power, paths),
        fan,
    )


def open_air() -> Parts:
    """No shelter: a stove that burns in the open."""
    i, f = indices(()), floats(())
    return Parts(
        films=Films(i, i, f, f, i),
        outer=OuterFaces(i, f, f, f, 0, 0),
        gaps=Gaps(i, i, f, f, f, f),
        room=Room(
            Column(f, f, f, 1.0, 0.0),
            Openings(i, f, f, f, f, i, 0),
            Plumes(np.zeros((0, 0)), np.zeros((0, 0)), f, f, f),
            plumes.no_feeds(),
            Fan(0.0, 0, 0),
        ),
        star=Star(i, f, 0, NO_TABLE, 0.0, 0),
    )


def _star(
    scenario: Scenario, house: House, power: int, hearth: Hearth | None, paths: Mapping[str, int]
) -> Star:
    weights = envelope.star_weights(house.strips, house.floors)
    faces = {} if hearth is None else star_faces(hearth)
    share = 0.0 if scenario.heat is None else scenario.heat.radiant_share
    path = paths["source_radiant" if hearth is None else "stove_radiation"]
    area = np.concatenate((floats(weights.values()), floats(faces.values())))
    return Star(indices((*weights, *faces)), area, len(weights), power, share, path)
