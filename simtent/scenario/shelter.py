"""[shelter]: its shape, skin, floor, openings and contents."""

from math import pi
from typing import Annotated, Literal

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.layers import Layer, OneLayer, Skin
from simtent.scenario.openings import Fan, Openings
from simtent.scenario.quantity import Quantity, Words, table_default, text_default
from simtent.scenario.section import Section


def _size(meaning: str, allowed: tuple[str, str], usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=allowed, usual=usual, meaning=meaning
    )  # fmt: skip


SHAPE = Words(
    meaning='"box": upright walls, flat roof; "wall tent": walls under a ridge; "bell": round wall and cone'
)


class SkinLayers(Section):
    """[shelter.skin]: layers from the outside in."""

    wall: Annotated[tuple[Layer, ...], Skin(meaning="layers of the upright walls, from the outside in")]
    roof: Annotated[tuple[Layer, ...], Skin(meaning="layers of the roof, from the outside in")]


class FloorLayers(Section):
    """[shelter.floor]: what lies on the ground; from the top: mat, cover, board."""

    cover: Annotated[Layer | None, OneLayer(meaning="groundsheet over the whole floor")] = None
    board: Annotated[
        Layer | None, OneLayer(meaning="boards or plywood over the whole floor, under the cover")
    ] = None
    mat: Annotated[Layer | None, OneLayer(meaning="mat on top, under the beds")] = None
    mat_area: Annotated[
        float | None,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.1 m2", "150 m2"), usual=("1 m2", "20 m2"),
            meaning="area of the mat; without it, the whole floor",
        ),
    ] = None  # fmt: skip

    def check_together(self, _span: Span | None) -> None:
        """An area needs a mat."""
        if self.mat_area is not None and self.mat is None:
            raise InputError(
                Fault("mat_area without a mat", key="mat_area", todo="Name the mat, or leave it away")
            )


class Contents(Section):
    """[shelter.contents]: gear, bedding and people as one mass that stores heat."""

    mass: Annotated[
        float,
        Quantity(
            kind="mass", unit_si="kg", unit_us="lb", allowed=("0 kg", "2000 kg"), usual=("5 kg", "150 kg"),
            meaning="mass of gear and bedding that warms and cools with the air",
        ),
    ] = text_default("30 kg")  # fmt: skip
    area: Annotated[
        float,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.01 m2", "200 m2"), usual=("1 m2", "15 m2"),
            meaning="surface by which it exchanges heat",
        ),
    ] = text_default("4 m2")  # fmt: skip
    height: Annotated[
        float, _size("it stands below this height", ("5 cm", "5 m"), ("20 cm", "1 m"))
    ] = text_default("50 cm")  # fmt: skip


class _Shelter(Section):
    shape: Annotated[str, SHAPE]
    skin: Annotated[SkinLayers, Words(meaning="the layers of walls and roof")]
    floor: Annotated[FloorLayers, Words(meaning="what lies on the ground")] = table_default()
    openings: Annotated[Openings, Words(meaning="vents, the pipe's jack and the door")] = table_default()
    fan: Annotated[Fan | None, Words(meaning="a fan that carries air up or down, or mixes it")] = None
    contents: Annotated[Contents, Words(meaning="gear and bedding")] = table_default()


class _Oblong(_Shelter):
    length: Annotated[
        float, _size("length of the floor; a ridge runs along it", ("50 cm", "30 m"), ("2 m", "8 m"))
    ]
    width: Annotated[float, _size("width of the floor", ("50 cm", "30 m"), ("2 m", "6 m"))]

    @property
    def floor_area(self) -> float:
        """Area of the floor [m2]."""
        return self.length * self.width

    @property
    def perimeter(self) -> float:
        """Length of the floor's edge [m]."""
        return 2.0 * (self.length + self.width)


class Box(_Oblong):
    """Upright walls and a flat roof."""

    shape: Annotated[Literal["box"], SHAPE]
    height: Annotated[float, _size("height of the roof above the ground", ("50 cm", "8 m"), ("1.5 m", "3 m"))]

    @property
    def peak(self) -> float:
        """Height of the roof [m]."""
        return self.height


class WallTent(_Oblong):
    """Upright walls under two equal slopes that meet in a ridge along the length."""

    shape: Annotated[Literal["wall tent"], SHAPE]
    wall: Annotated[float, _size("height of the upright side walls", ("10 cm", "5 m"), ("30 cm", "2 m"))]
    ridge: Annotated[float, _size("height of the ridge above the ground", ("50 cm", "8 m"), ("1.5 m", "4 m"))]

    def check_together(self, _span: Span | None) -> None:
        """The ridge is above the wall."""
        _refuse_flat("ridge", self.ridge, self.wall)

    @property
    def peak(self) -> float:
        """Height of the ridge [m]."""
        return self.ridge


class Bell(_Shelter):
    """A round upright wall under a cone."""

    shape: Annotated[Literal["bell"], SHAPE]
    diameter: Annotated[float, _size("diameter of the floor", ("50 cm", "15 m"), ("2.5 m", "7 m"))]
    wall: Annotated[float, _size("height of the upright wall", ("10 cm", "5 m"), ("30 cm", "2 m"))]
    peak: Annotated[float, _size("height of the tip above the ground", ("50 cm", "8 m"), ("1.8 m", "4.5 m"))]

    def check_together(self, _span: Span | None) -> None:
        """The tip is above the wall."""
        _refuse_flat("peak", self.peak, self.wall)

    @property
    def floor_area(self) -> float:
        """Area of the floor [m2]."""
        return pi / 4.0 * self.diameter**2

    @property
    def perimeter(self) -> float:
        """Length of the floor's edge [m]."""
        return pi * self.diameter


Shelter = Box | WallTent | Bell
SHAPES: dict[str, type[Shelter]] = {"box": Box, "wall tent": WallTent, "bell": Bell}


def _refuse_flat(key: str, top: float, wall: float) -> None:
    if top <= wall:
        todo = f"Let {key} be higher than wall; both count from the ground"
        raise InputError(Fault(f"the {key} is not above the wall", key=key, todo=todo))
