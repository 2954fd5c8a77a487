"""The stove: body, pipe in segments, what stands on it, as nodes; its fire as slots of wood and settings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from simtent.assembly.combustion import FIRE_EMISSIVITY
from simtent.assembly.parameters import (
    Firebox,
    Flue,
    HotFaces,
    HotOuter,
    Places,
    Slots,
    Stove,
    Wood,
    floats,
    indices,
)
from simtent.assembly.room import shares
from simtent.assembly.shape import Bands
from simtent.network.builder import Builder, Carried, Node
from simtent.network.curve import Curve
from simtent.physics import metal
from simtent.physics.burn import free_burn_time
from simtent.physics.constants import ICE_POINT
from simtent.physics.flue import bend_loss
from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat
from simtent.scenario import stove as nouns
from simtent.scenario.scenario import Scenario
from simtent.scenario.wood import Wood as WoodNoun

# Common practice, no source, but where another is named.
HOT_MATTER = 1e5  # J/(K m3 of firebox), so that the fire answers in about a minute
INSIDE_SEGMENTS, OUTSIDE_SEGMENTS = 3, 2
ROUGHNESS = 1e-3  # m, welded steel (EN 13384-1, second-hand)
INLET_LOSS, CAP_LOSS, ARRESTOR_LOSS, BAFFLE_LOSS = 0.5, 1.5, 1.5, 1.0  # from memory; inlet to the flue .5
BAFFLE_FILM = 12.0  # W/(m2 K), on both sides of a plate as large as half the firebox' top; from memory
GLASS_PASSES = 0.3 * FIRE_EMISSIVITY  # share of the fire's radiation let through .3, from memory
CONTACT = 60.0  # W/(m2 K), from the stove's top to what stands on it; from memory
TOP_FACE = 5.0  # faces of a cube that stands on the stove
TOP_EMISSIVITY = 0.9
CHAR_RATE = 3e-4  # 1/s
NEVER = 1e9  # s, the moment at which wood that does not burn catches
NO_NODE = -1
METALS = {"steel": metal.STEEL, "titanium": metal.TITANIUM}
MASS_SCALE, FLOW_SCALE = 1e-2, 1e-5  # kg and kg/s that count as a kelvin does


@dataclass(frozen=True)
class Piece:
    """Wood of one thickness in one load: thickness [m], dry wood [kg], water [kg]."""

    thickness: float
    dry: float
    water: float


@dataclass(frozen=True)
class Hearth:
    """A stove put into the network; its places are known once the network is whole.

    fire, body, top   nodes; top is None where nothing stands on the stove
    inside, outside   nodes of the pipe from the collar up
    amounts           the carried amounts and settings by name
    """

    noun: nouns.Stove
    fire: Node
    body: Node
    top: Node | None
    inside: tuple[Node, ...]
    outside: tuple[Node, ...]
    amounts: Mapping[str, Carried]
    pieces: tuple[Piece, ...]

    @property
    def bottom_of_pipe(self) -> float:
        """Height of the collar above the ground [m]."""
        return self.noun.legs + self.noun.firebox.height

    @property
    def area(self) -> float:
        """Area of the body [m2]."""
        box = self.noun.firebox
        return 2.0 * (box.length * box.width + box.length * box.height + box.width * box.height)

    @property
    def segment_area(self) -> tuple[float, float]:
        """Area of one segment of the pipe inside and outside [m2]."""
        round_pipe = np.pi * self.noun.pipe.diameter
        return (
            round_pipe * self.noun.pipe.inside / INSIDE_SEGMENTS,
            round_pipe * self.noun.pipe.outside / OUTSIDE_SEGMENTS,
        )

    @property
    def top_area(self) -> float:
        """Free faces of what stands on the stove [m2], as a cube."""
        top = self.noun.on_top
        return 0.0 if top is None else TOP_FACE * (top.mass / top.density) ** (2.0 / 3.0)


def build_stove(net: Builder, scenario: Scenario, pieces: Sequence[Piece], start: float) -> Hearth:
    """Add the stove at the start temperature [K], with room for all pieces that may be put on."""
    stove = scenario.stove
    assert stove is not None
    fire = net.node(HOT_MATTER * stove.firebox.volume, start=start, group="stove")
    body = net.node(
        stove.body_mass * heat_at_ice_point(stove.sheet.metal),
        start=start,
        group="stove",
        curve=heat_curve(stove.sheet.metal),
    )
    inside = _pipe(net, stove, stove.pipe.inside / INSIDE_SEGMENTS, INSIDE_SEGMENTS, start)
    outside = _pipe(net, stove, stove.pipe.outside / OUTSIDE_SEGMENTS, OUTSIDE_SEGMENTS, start)
    top = None
    if stove.on_top is not None:
        top = net.node(stove.on_top.mass * stove.on_top.specific_heat, start=start, group="stove")
        net.link(body, top, CONTACT * (stove.on_top.mass / stove.on_top.density) ** (2.0 / 3.0))
    return Hearth(stove, fire, body, top, inside, outside, _amounts(net, len(pieces)), tuple(pieces))


def _pipe(net: Builder, stove: nouns.Stove, length: float, count: int, start: float) -> tuple[Node, ...]:
    sheet = stove.pipe.sheet
    mass = np.pi * stove.pipe.diameter * length * sheet.areal_density
    return tuple(
        net.node(
            mass * heat_at_ice_point(sheet.metal), start=start, group="stove", curve=heat_curve(sheet.metal)
        )
        for _ in range(count)
    )


def _amounts(net: Builder, slots: int) -> dict[str, Carried]:
    """Everything the fire carries; the slots of one kind stand one after another."""
    found: dict[str, Carried] = {}
    for kind in ("water", "dry"):
        for k in range(slots):
            found[f"{kind} {k}"] = net.amount(f"{kind} {k}", scale=MASS_SCALE)
    for name in ("coals", "ash", "burnt"):
        found[name] = net.amount(name, scale=MASS_SCALE)
    found["air"] = net.amount("air", scale=FLOW_SCALE)
    for name in ("inlet", "damper", "door", "lighting", "last load"):
        found[name] = net.held(name, start=0.0)
    for k in range(slots):
        found[f"caught {k}"] = net.held(f"caught {k}", start=NEVER)
    return found


def stove_arrays(
    net: Builder, scenario: Scenario, hearth: Hearth, bands: Bands | None, paths: Mapping[str, int]
) -> Stove:
    """The stove as the right-hand side reads it."""
    wood, stove = scenario.wood, hearth.noun
    assert wood is not None
    box, model = stove.firebox, scenario.model
    return Stove(
        hot=_hot_faces(hearth, bands, paths),
        outer=_hot_outer(hearth, bands is None, paths),
        slots=_slots(net, hearth, model.burn_rate),
        places=_places(net, hearth),
        wood=_wood(wood, model.heat, model.char_rate, model.feedback),
        firebox=Firebox(
            node=hearth.fire,
            body=hearth.body,
            area=model.gas_side * hearth.area,
            baffle=model.gas_side * BAFFLE_FILM * box.length * box.width if stove.baffle else 0.0,
            height=box.height,
            cook=hearth.top if hearth.top is not None and stove.on_top and stove.on_top.water else NO_NODE,
            path_fire=paths["fire"],
            path_unburnt=paths["unburnt"],
            path_drying=paths["drying"],
            path_boiling=paths["boiling"],
        ),
        flue=_flue(hearth, model.gas_side, model.inlet, bands, paths),
    )


def star_faces(hearth: Hearth) -> dict[Node, float]:
    """Weight [m2] of stove and pipe in the exchange of radiation: small bodies see the room's middle alone."""
    stove = hearth.noun
    faces = {hearth.body: stove.emissivity * hearth.area}
    faces |= dict.fromkeys(hearth.inside, stove.emissivity * hearth.segment_area[0])
    if hearth.top is not None:
        faces[hearth.top] = TOP_EMISSIVITY * hearth.top_area
    if stove.glass > 0.0:
        faces[hearth.fire] = GLASS_PASSES * stove.glass
    return faces


def no_stove() -> Stove:
    """The arrays of a night without a stove."""
    none_i, none_f = indices(()), floats(())
    return Stove(
        HotFaces(none_i, none_i, none_f, none_i),
        HotOuter(none_i, none_f, none_f, none_i),
        Slots(none_f, none_f, none_f, none_f, 0, 0, 0),
        Places(*[0] * 10),
        Wood(0.0, 0.0, 0.0, 0.0, 0.0),
        Firebox(NO_NODE, NO_NODE, 0.0, 0.0, 0.0, NO_NODE, 0, 0, 0, 0),
        Flue(none_i, none_f, none_f, none_f, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, none_f, 0.0, 0, 0),
    )


def _hot_faces(hearth: Hearth, bands: Bands | None, paths: Mapping[str, int]) -> HotFaces:
    """Convection inside, by the layers that body and pipe stand in; all of it feeds one plume."""
    if bands is None:
        return HotFaces(indices(()), indices(()), floats(()), indices(()))
    stove, peak = hearth.noun, float(bands.edges[-1])
    low, high = _span_of_body(stove, peak)
    spans = [(hearth.body, hearth.area, low, high, "stove_to_air")]
    if hearth.top is not None:
        spans.append((hearth.top, hearth.top_area, low, high, "stove_to_air"))
    step = stove.pipe.inside / INSIDE_SEGMENTS
    for k, node in enumerate(hearth.inside):
        foot = min(hearth.bottom_of_pipe + k * step, 0.95 * peak)
        spans.append((node, hearth.segment_area[0], foot, min(foot + step, peak), "pipe_to_air"))
    rows = [
        (node, layer, area * float(share), paths[path])
        for node, area, bottom, top, path in spans
        for layer, share in enumerate(shares(bands, bottom, top))
        if share > 0.0
    ]
    nodes, layers, areas, booked = zip(*rows, strict=True)
    return HotFaces(indices(nodes), indices(layers), floats(areas), indices(booked))


def _span_of_body(stove: nouns.Stove, peak: float) -> tuple[float, float]:
    """Heights between which the body stands [m], below the peak whatever its legs."""
    return min(stove.legs, 0.9 * peak), min(stove.collar, 0.95 * peak)


def _hot_outer(hearth: Hearth, open_air: bool, paths: Mapping[str, int]) -> HotOuter:
    """Faces out of doors: the pipe's upper end, and in the open the whole stove."""
    stove = hearth.noun
    inside, outside = hearth.segment_area
    rows = [(node, outside, stove.emissivity * outside, paths["pipe_outside"]) for node in hearth.outside]
    if open_air:
        path = paths["stove_outdoors"]
        convecting = {hearth.body: hearth.area} | dict.fromkeys(hearth.inside, inside)
        if hearth.top is not None:
            convecting[hearth.top] = hearth.top_area
        rows += [
            (node, convecting.get(node, 0.0), weight, path) for node, weight in star_faces(hearth).items()
        ]
    node, area, radiant, path_of = zip(*rows, strict=True)
    return HotOuter(indices(node), floats(area), floats(radiant), indices(path_of))


def _slots(net: Builder, hearth: Hearth, burn_rate: float) -> Slots:
    return Slots(
        floats(piece.thickness for piece in hearth.pieces),
        floats(free_burn_time(piece.thickness) / burn_rate for piece in hearth.pieces),
        floats(piece.dry for piece in hearth.pieces),
        floats(piece.water for piece in hearth.pieces),
        *(net.place(hearth.amounts[f"{kind} 0"]) for kind in ("water", "dry", "caught")),
    )


def _places(net: Builder, hearth: Hearth) -> Places:
    names = ("water 0", "coals", "ash", "burnt", "air", "inlet", "damper", "door", "lighting", "last load")
    return Places(*(net.place(hearth.amounts[name]) for name in names))


def _wood(wood: WoodNoun, heat: float, char_rate: float, feedback: float) -> Wood:
    """What burns; the factor on heat counts for gas and coals alike."""
    return Wood(
        density=wood.species.density,
        gas_heat=heat * gas_heat(wood.species.heating_value, CHAR_SHARE),
        coal_heat=heat * COAL_HEAT,
        coal_rate=char_rate * CHAR_RATE,
        feedback=feedback,
    )


def _flue(
    hearth: Hearth, gas_side: float, inlet: float, bands: Bands | None, paths: Mapping[str, int]
) -> Flue:
    """The way of air and gas; the factor on the inlet counts for what leaks too."""
    stove, pipe = hearth.noun, hearth.noun.pipe
    inside, outside = pipe.inside / INSIDE_SEGMENTS, pipe.outside / OUTSIDE_SEGMENTS
    length = [inside] * INSIDE_SEGMENTS + [outside] * OUTSIDE_SEGMENTS
    loss = [0.0] * len(length)
    loss[0] = INLET_LOSS + sum(bend_loss(angle) for angle in pipe.bends) + BAFFLE_LOSS * stove.baffle
    loss[-1] = 1.0 + (CAP_LOSS if pipe.cap else 0.0) + (ARRESTOR_LOSS if pipe.arrestor else 0.0)
    return Flue(
        node=indices((*hearth.inside, *hearth.outside)),
        length=floats(length),
        rise=floats(length),
        loss=floats(loss),
        whole=pipe.inside + pipe.outside,
        diameter=pipe.diameter,
        roughness=ROUGHNESS,
        gas_side=gas_side,
        opening=inlet * stove.air.opening,
        leak=inlet * stove.air.leak,
        has_damper=0.0 if stove.damper is None else 1.0,
        prescribed=-1.0 if pipe.draft is None else pipe.draft,
        draws=floats(()) if bands is None else shares(bands, *_span_of_body(stove, float(bands.edges[-1]))),
        foot=stove.legs,
        path=paths["flue"],
        path_spill=paths.get("spill", NO_NODE),
    )


def heat_at_ice_point(name: str) -> float:
    """Specific heat of a metal at 0 degC [J/(kg K)]."""
    return METALS[name][0]


@cache
def heat_curve(name: str) -> Curve:
    """How the heat capacity of a metal grows with temperature, as a share of that at 0 degC."""
    c0, c1, c2, c3 = METALS[name]
    return Curve(ICE_POINT, (1.0, c1 / c0, c2 / c0, c3 / c0), ICE_POINT + metal.TOP)
