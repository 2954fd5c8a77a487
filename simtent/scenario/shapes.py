"""[shelter] in each of its shapes: sizes from outside of the fabric, heights from the ground."""

from abc import abstractmethod
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Annotated, Any, Literal

from simtent.errors import Fault, InputError
from simtent.geometry import curved, hub, tapered, upright
from simtent.geometry.face import Shape
from simtent.scenario.clock import Span
from simtent.scenario.fabric import SKIRT_LEAKS, Contents, FloorLayers, SkinLayers
from simtent.scenario.materials import shelter_names
from simtent.scenario.nearest import nearest
from simtent.scenario.openings import Fan, Openings
from simtent.scenario.quantity import Count, Quantity, Reader, Words, table_default, text_default
from simtent.scenario.section import Section
from simtent.scenario.windows import Window

Profile = tuple[tuple[float, float], ...]
STEPS_OF_A_CURVE = 24  # of a profile


def _size(meaning: str, allowed: tuple[str, str], usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=allowed, usual=usual, meaning=meaning
    )  # fmt: skip


SHAPE = Words(
    meaning='"box": upright walls, flat roof; "wall tent": walls, or none, under a ridge; "bell": round wall, or none, '
    'and cone; "pyramid": straight sides to a tip; "hub": pop-up walls pushed out in their middle; "dome": half a '
    'round body; "tunnel": an arch with upright ends'
)
WALL = _size(
    "height of the upright walls; 0 where the roof begins at the ground", ("0 m", "5 m"), ("0 m", "2 m")
)
PEAK = _size("height of the highest point above the ground", ("50 cm", "8 m"), ("1.2 m", "4.5 m"))
DIAMETER = _size("diameter of the floor", ("50 cm", "15 m"), ("2.5 m", "7 m"))


@dataclass(frozen=True, kw_only=True)
class ShelterName(Reader):
    """A name from the table of shelters."""

    def read(self, value: Any, _context: Any = None) -> str:
        """The name, as the table has it."""
        names = shelter_names()
        if isinstance(value, str) and value.strip().lower() in names:
            return value.strip().lower()
        raise InputError(Fault("unknown shelter", allowed=", ".join(names), todo=nearest(str(value), names)))


class AnyShelter(Section):
    """What every shelter has."""

    like: Annotated[
        str | None,
        ShelterName(
            meaning="a shelter of the table that fills in what is not given: shape, sizes, skin, skirt, vents, "
            "levels and model.leak_area"
        ),
    ] = None
    shape: Annotated[str, SHAPE]
    skin: Annotated[SkinLayers, Words(meaning="the layers of walls and roof")]
    window: Annotated[
        tuple[Window, ...], Words(meaning="panes in the skin, of other layers than the part they lie in")
    ] = ()
    skirt: Annotated[
        Literal["snow", "weighted", "loose", "sewn"] | None,
        Words(
            meaning='what closes the edge of the floor: "snow" or sod banked up, "weighted" by stones, logs or '
            'sandbags, "loose", or "sewn" to the floor; model.leak_below_skirt, if given, is taken in its place',
        ),
    ] = None
    floor: Annotated[FloorLayers, Words(meaning="what lies on the ground")] = table_default()
    openings: Annotated[Openings, Words(meaning="vents, the pipe's jack and the door")] = table_default()
    fan: Annotated[Fan | None, Words(meaning="a fan that carries air up or down, or mixes it")] = None
    contents: Annotated[Contents, Words(meaning="gear and bedding")] = table_default()

    @property
    @abstractmethod
    def outline(self) -> Shape:
        """Its shape as functions of height."""

    @property
    def eaves(self) -> float:
        """Height at which the roof begins [m]."""
        return 0.0

    @property
    def profile(self) -> Profile:
        """A section through the peak from the ground up: heights [m], and half its width over that at the floor."""
        walls = ((self.eaves, 1.0),) if self.eaves else ()
        return ((0.0, 1.0), *walls, (self.outline.peak, 0.0))

    @property
    def leak_below_skirt(self) -> float:
        """Leakage area at 4 Pa along the floor's edge, by its skirt [m2]."""
        return SKIRT_LEAKS[self.skirt] * self.perimeter if self.skirt else 0.0

    @property
    def floor_area(self) -> float:
        """Area of the floor [m2]."""
        return self.outline.floor_area

    @property
    def perimeter(self) -> float:
        """Length of the floor's edge [m]."""
        return self.outline.perimeter


class _Oblong(AnyShelter):
    length: Annotated[
        float, _size("length of the floor; ridge or arch runs along it", ("50 cm", "30 m"), ("2 m", "8 m"))
    ]
    width: Annotated[float, _size("width of the floor", ("50 cm", "30 m"), ("2 m", "6 m"))]


class Box(_Oblong):
    """Upright walls and a flat roof."""

    shape: Annotated[Literal["box"], SHAPE]
    height: Annotated[float, _size("height of the roof above the ground", ("50 cm", "8 m"), ("1.5 m", "3 m"))]

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return upright.box(self.length, self.width, self.height)

    @property
    def peak(self) -> float:
        """Height of the roof [m]."""
        return self.height

    @property
    def eaves(self) -> float:
        """As `AnyShelter.eaves`."""
        return self.height

    @property
    def profile(self) -> Profile:
        """As `AnyShelter.profile`."""
        return ((0.0, 1.0), (self.height, 1.0))


class WallTent(_Oblong):
    """Upright walls, or none, under two equal slopes that meet in a ridge along the length."""

    shape: Annotated[Literal["wall tent"], SHAPE]
    wall: Annotated[float, WALL] = text_default("0 m")
    ridge: Annotated[float, _size("height of the ridge above the ground", ("50 cm", "8 m"), ("1.5 m", "4 m"))]

    def check_together(self, _span: Span | None) -> None:
        """The ridge is above the wall."""
        _refuse_flat("ridge", self.ridge, self.wall)

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return upright.wall_tent(self.length, self.width, self.wall, self.ridge)

    @property
    def peak(self) -> float:
        """Height of the ridge [m]."""
        return self.ridge

    @property
    def eaves(self) -> float:
        """As `AnyShelter.eaves`."""
        return self.wall


class Bell(AnyShelter):
    """A round upright wall, or none, under a cone."""

    shape: Annotated[Literal["bell"], SHAPE]
    diameter: Annotated[float, DIAMETER]
    wall: Annotated[float, WALL] = text_default("0 m")
    peak: Annotated[float, PEAK]

    def check_together(self, _span: Span | None) -> None:
        """The tip is above the wall."""
        _refuse_flat("peak", self.peak, self.wall)

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return tapered.bell(self.diameter, self.wall, self.peak)

    @property
    def eaves(self) -> float:
        """As `AnyShelter.eaves`."""
        return self.wall


class Pyramid(AnyShelter):
    """Straight sides that lean to a tip from the ground, or from upright walls."""

    shape: Annotated[Literal["pyramid"], SHAPE]
    width: Annotated[
        float, _size("width of the floor, measured across it", ("50 cm", "15 m"), ("1.5 m", "7 m"))
    ]
    length: Annotated[
        float | None,
        _size("length of the floor of four sides; without it, as wide", ("50 cm", "15 m"), ("1.5 m", "7 m")),
    ] = None
    sides: Annotated[
        int,
        Count(
            allowed=(3, 24), usual=(4, 8),
            meaning="number of sides; other than four they are equal, and width is across their inscribed circle",
        ),
    ] = 4  # fmt: skip
    wall: Annotated[float, WALL] = text_default("0 m")
    peak: Annotated[float, PEAK]

    def check_together(self, _span: Span | None) -> None:
        """The tip is above the wall; only four sides may differ."""
        _refuse_flat("peak", self.peak, self.wall)
        if self.sides != 4 and self.length is not None:
            todo = 'Leave it out (in an overlay: length = "none"): width is across the circle that touches all sides'
            what = f"{self.sides} sides are equal, and the floor has no length of its own"
            raise InputError(Fault(what, key="length", todo=todo))

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        if self.sides == 4:
            return tapered.pyramid(self.width, self.length or self.width, self.wall, self.peak)
        return tapered.regular_pyramid(self.sides, self.width, self.wall, self.peak)

    @property
    def eaves(self) -> float:
        """As `AnyShelter.eaves`."""
        return self.wall


class Hub(AnyShelter):
    """A pop-up shelter: equal walls, each pushed out in its middle by a hub, under flat triangles."""

    shape: Annotated[Literal["hub"], SHAPE]
    sides: Annotated[int, Count(allowed=(3, 16), usual=(4, 6), meaning="number of walls, all equal")]
    width: Annotated[
        float, _size("width across the floor, from wall to wall", ("50 cm", "15 m"), ("1.5 m", "4 m"))
    ]
    wall: Annotated[float, _size("height of the eaves above the ground", ("10 cm", "5 m"), ("1.2 m", "2 m"))]
    peak: Annotated[float, PEAK]
    pushed_out: Annotated[
        float, _size("how far its hub pushes out the middle of each wall", ("0 m", "1 m"), ("10 cm", "40 cm"))
    ]

    def check_together(self, _span: Span | None) -> None:
        """The tip is above the eaves."""
        _refuse_flat("peak", self.peak, self.wall)

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return hub.hub(self.sides, self.width, self.wall, self.peak, self.pushed_out)

    @property
    def eaves(self) -> float:
        """As `AnyShelter.eaves`."""
        return self.wall

    @property
    def profile(self) -> Profile:
        """As `AnyShelter.profile`, through the hubs."""
        bulge = 1.0 + 2.0 * self.pushed_out / self.width
        return ((0.0, 1.0), (self.wall / 2.0, bulge), (self.wall, 1.0), (self.peak, 0.0))


class Dome(AnyShelter):
    """Half a spheroid: half an ellipse turned round the upright axis."""

    shape: Annotated[Literal["dome"], SHAPE]
    diameter: Annotated[float, DIAMETER]
    peak: Annotated[float, PEAK]

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return curved.dome(self.diameter, self.peak)

    @property
    def profile(self) -> Profile:
        """As `AnyShelter.profile`."""
        return _half_ellipse(self.peak)


class Tunnel(_Oblong):
    """Half an ellipse pushed along the length, between two upright ends."""

    shape: Annotated[Literal["tunnel"], SHAPE]
    peak: Annotated[float, PEAK]

    @property
    def outline(self) -> Shape:
        """As `AnyShelter.outline`."""
        return curved.tunnel(self.length, self.width, self.peak)

    @property
    def profile(self) -> Profile:
        """As `AnyShelter.profile`."""
        return _half_ellipse(self.peak)


def _half_ellipse(peak: float) -> Profile:
    turns = [pi / 2.0 * step / STEPS_OF_A_CURVE for step in range(STEPS_OF_A_CURVE)]
    return (*((peak * sin(turn), cos(turn)) for turn in turns), (peak, 0.0))


def _refuse_flat(key: str, top: float, wall: float) -> None:
    if top <= wall:
        todo = f"Let {key} be higher than wall; both count from the ground"
        raise InputError(Fault(f"the {key} is not above the wall", key=key, todo=todo))
