"""Seams, skirt, vents, door and the gap around the pipe, cut into elements with a layer, a height and a side."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from simtent.assembly.envelope import Strip
from simtent.assembly.parameters import Openings, floats, indices
from simtent.assembly.shape import Bands
from simtent.geometry.face import STEEP, Shape
from simtent.network import tables
from simtent.network.arrays import Indices
from simtent.network.builder import NO_TABLE, Builder
from simtent.physics.opening import (
    DISCHARGE,
    LEAK_EXPONENT,
    ORIFICE_EXPONENT,
    leak_strength,
    orifice_strength,
)
from simtent.scenario import openings as nouns
from simtent.scenario.fabric import PARTS
from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Stove

# Pressure coefficients of low buildings, mean over a face: windward wall; mean of the two sides and the lee wall.
# From memory of ventilation guides: square house of up to three storeys, open, semi-sheltered, sheltered.
COEFFICIENTS = {"open ground": (0.7, -0.4), "edge of timber": (0.4, -0.27), "in timber": (0.2, -0.25)}
ROOF_TO_WIND = -0.2  # between -0.5 of a low roof's slope and 0.2 of a steep one's; from memory
WALL_TO_WIND = 0.25  # share of the walls that faces the wind: one of four
ROOF_FACING = 0.5
FLAT = 1.0 - 1e-9  # cosine from which a roof lies flat, so that it leaks at its height alone
SIDES = {
    "all round": (("windward", WALL_TO_WIND), ("lee", 1.0 - WALL_TO_WIND)),
    "wind": (("windward", 1.0),),
    "lee": (("lee", 1.0),),
}


@dataclass(frozen=True)
class Element:
    """A piece of an opening.

    name       of the opening, with its side
    layer      number of the layer of air it opens into
    height     above the ground [m]
    strength   as `physics.opening` has it
    exponent   of the pressure [-]
    wind       pressure coefficient [-]
    table      share that is open; NO_TABLE where nothing moves it
    """

    name: str
    layer: int
    height: float
    strength: float
    exponent: float
    wind: float
    table: int = NO_TABLE


@dataclass(frozen=True)
class Skin:
    """Where elements come to lie: the layers, the shape, and the wind's coefficients.

    To the wind what is steep counts as a wall and what is flatter than 45 deg as a roof, whatever its name.
    """

    bands: Bands
    shape: Shape
    exposure: str

    def layer(self, height: float) -> int:
        """Number of the layer at a height [m]; the upper edge of a layer belongs to it."""
        found = int(np.searchsorted(self.bands.edges, height, side="left")) - 1
        return min(max(found, 0), self.bands.centres.size - 1)

    def coefficient(self, side: str, height: float, parts: tuple[str, ...] = PARTS) -> float:
        """Pressure coefficient of a side at a height [m], of the steepest that is there."""
        return self.leaning(side, self.shape.steepest_at(height, parts))

    def leaning(self, side: str, tilt_up: float) -> float:
        """Pressure coefficient of what leans so on a side."""
        windward, lee = COEFFICIENTS[self.exposure]
        if side == "lee":
            return lee
        return windward if tilt_up <= STEEP else ROOF_TO_WIND


def build_elements(
    net: Builder, scenario: Scenario, strips: Sequence[Strip], bands: Bands, shape: Shape
) -> tuple[Element, ...]:
    """All elements of a shelter, opening by opening."""
    shelter = scenario.shelter
    assert shelter is not None
    skin = Skin(bands, shape, scenario.site.shelter_from_wind)
    given = shelter.openings
    return (
        *_seams(skin, strips, scenario.model.leak_area),
        *_skirt(skin, scenario.leak_below_skirt),
        *(element for name, vent in given.every_vent.items() for element in _vent(skin, name, vent)),
        *(_jack(skin, given.jack, scenario.stove) if given.jack else ()),
        *(_door(net, skin, given.door) if given.door and given.door.openings else ()),
    )


def opening_arrays(elements: Sequence[Element], path: int) -> Openings:
    """Elements as the right-hand side reads them."""
    return Openings(
        indices(element.layer for element in elements),
        floats(element.height for element in elements),
        floats(element.strength for element in elements),
        floats(element.exponent for element in elements),
        floats(element.wind for element in elements),
        indices(element.table for element in elements),
        path,
    )


def groups(elements: Sequence[Element]) -> tuple[tuple[str, ...], Indices]:
    """Names of the openings, each once, and for every element the place of its own among them."""
    names = tuple(dict.fromkeys(element.name for element in elements))
    return names, indices(names.index(element.name) for element in elements)


def _seams(skin: Skin, strips: Sequence[Strip], area: float) -> Iterator[Element]:
    """Leakage spread evenly over the skin, a quarter of what is steep and half of what is flat to the wind."""
    whole = sum(strip.area for strip in strips)
    for side in ("windward", "lee"):
        for strip in strips:
            facing = WALL_TO_WIND if strip.patch.tilt_up <= STEEP else ROOF_FACING
            share = facing if side == "windward" else 1.0 - facing
            edges, centres = skin.bands.edges, skin.bands.centres
            height = float(
                edges[strip.patch.band + 1] if strip.patch.tilt_up > FLAT else centres[strip.patch.band]
            )
            strength = leak_strength(area * share * strip.area / whole)
            wind = skin.leaning(side, strip.patch.tilt_up)
            yield Element(f"seams, {side}", strip.patch.band, height, strength, LEAK_EXPONENT, wind)


def _skirt(skin: Skin, area: float) -> Iterator[Element]:
    """Leakage along the floor's edge."""
    if area == 0.0:
        return
    for side, share in (("windward", WALL_TO_WIND), ("lee", 1.0 - WALL_TO_WIND)):
        wind = skin.coefficient(side, 0.0)
        yield Element(f"skirt, {side}", 0, 0.0, leak_strength(area * share), LEAK_EXPONENT, wind)


def _vent(skin: Skin, name: str, vent: nouns.Vent) -> Iterator[Element]:
    if vent.open == 0.0:
        return
    for side, share in SIDES[vent.faces]:
        strength = orifice_strength(vent.area * vent.open * share, DISCHARGE)
        wind, layer = skin.coefficient(side, vent.at), skin.layer(vent.at)
        yield Element(f"{name}, {side}", layer, vent.at, strength, ORIFICE_EXPONENT, wind)


def _jack(skin: Skin, jack: nouns.Jack, stove: Stove | None) -> Iterator[Element]:
    """The gap around the pipe, on one side of roof or wall."""
    if jack.gap == 0.0:
        return
    height = jack.at
    if height is None:
        assert stove is not None  # without a stove the scenario asks for the height
        height = min(stove.collar + stove.pipe.inside, float(skin.bands.edges[-1]))
    strength = orifice_strength(jack.gap, DISCHARGE)
    wind = skin.coefficient(SIDES[jack.faces][0][0], height, (jack.through,))
    yield Element("jack", skin.layer(height), height, strength, ORIFICE_EXPONENT, wind)


def _door(net: Builder, skin: Skin, door: nouns.Door) -> Iterator[Element]:
    """The door's opening in slices, one in each layer, shut but for the times it is opened."""
    moments = [moment for times in door.openings for moment in times]
    shares = [float(k % 2 == 0) for k in range(len(moments))]
    table = net.table(tables.steps(moments, shares))
    side = SIDES[door.faces][0][0]
    edges = skin.bands.edges
    for layer in range(skin.bands.centres.size):
        low, high = max(float(edges[layer]), door.sill), min(float(edges[layer + 1]), door.top)
        if high <= low:
            continue
        middle = (low + high) / 2.0
        strength = orifice_strength(door.width * (high - low), DISCHARGE)
        wind = skin.coefficient(side, middle)
        yield Element(f"door, {side}", layer, middle, strength, ORIFICE_EXPONENT, wind, table)
