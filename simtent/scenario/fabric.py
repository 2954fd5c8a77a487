"""[shelter.skin], [shelter.floor] and [shelter.contents]: what a shelter is made of, lies on and holds."""

from typing import Annotated

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.layers import Layer, OneLayer, Skin
from simtent.scenario.quantity import Quantity, Spread, text_default
from simtent.scenario.section import Section

PARTS = ("wall", "roof")
# Leakage area at 4 Pa per metre of the floor's edge [m2/m]. Assumptions, from no source: to be replaced by a measured
# model.leak_below_skirt.
SKIRT_LEAKS = {"snow": 0.0, "sewn": 0.0, "weighted": 1e-4, "loose": 5e-4}


class SkinLayers(Section):
    """[shelter.skin]: layers from the outside in, of walls and roof each, or of all alike."""

    wall: Annotated[
        tuple[Layer, ...] | None,
        Skin(meaning="layers of the upright walls, from the outside in; ends and gables are walls"),
    ] = None
    roof: Annotated[
        tuple[Layer, ...] | None,
        Skin(meaning="layers of the roof, from the outside in; whatever leans to a tip or ridge is roof"),
    ] = None
    all: Annotated[
        tuple[Layer, ...] | None,
        Skin(meaning="layers of walls and roof alike, from the outside in, in place of wall and roof"),
    ] = None

    def check_together(self, _span: Span | None) -> None:
        """Nothing besides `all`."""
        besides = [part for part in PARTS if self.all is not None and getattr(self, part) is not None]
        if besides:
            todo = f"Keep all, or {' and '.join(besides)}"
            raise InputError(
                Fault(f'"all" stands for walls and roof, and {part} is given besides', key=part, todo=todo)
                for part in besides
            )

    def of(self, part: str) -> tuple[Layer, ...]:
        """Layers of a part from the outside in; none if nothing is given."""
        given: tuple[Layer, ...] | None = self.wall if part == "wall" else self.roof
        return self.all or given or ()


class FloorLayers(Section):
    """[shelter.floor]: what lies on the ground; from the top: mat, cover, board."""

    cover: Annotated[
        Layer | None, OneLayer(meaning="groundsheet over the whole floor", such="vinyl groundsheet")
    ] = None
    board: Annotated[
        Layer | None,
        OneLayer(meaning="boards or plywood over the whole floor, under the cover", such="20 mm plywood"),
    ] = None
    mat: Annotated[Layer | None, OneLayer(meaning="mat on top, under the beds")] = None
    mat_area: Annotated[
        float | None,
        Quantity(
            kind="area", unit_si="m2", unit_us="ft2", allowed=("0.1 m2", "150 m2"), usual=("1 m2", "20 m2"),
            meaning="area of the mat; without it, the whole floor",
        ),
    ] = None  # fmt: skip

    raised: Annotated[
        float | None,
        Quantity(
            kind="length", unit_si="cm", unit_us="in", allowed=("5 cm", "5 m"), usual=("10 cm", "1 m"),
            meaning="height of open air under a floor on a platform; without it the floor lies on the ground; other "
            "heights count from the floor",
        ),
    ] = None  # fmt: skip

    def check_together(self, _span: Span | None) -> None:
        """An area needs a mat, a platform a board."""
        faults = []
        if self.mat_area is not None and self.mat is None:
            todo = "Name the mat, or leave it out"
            faults.append(Fault("mat_area without a mat", key="mat_area", todo=todo))
        if self.raised is not None and self.board is None:
            todo = 'Add what it is made of, board = "3/4 in plywood", or leave raised out'
            faults.append(Fault("a raised floor without a board", key="raised", todo=todo))
        if faults:
            raise InputError(faults)


class Contents(Section):
    """[shelter.contents]: gear, bedding and people as one mass that stores heat."""

    mass: Annotated[
        float,
        Quantity(
            kind="mass", unit_si="kg", unit_us="lb", allowed=("0 kg", "2000 kg"), usual=("5 kg", "150 kg"),
            prior=Spread.factor(1.5),
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
        float,
        Quantity(
            kind="length", unit_si="m", unit_us="ft", allowed=("5 cm", "5 m"), usual=("20 cm", "1 m"),
            meaning="it stands below this height",
        ),
    ] = text_default("50 cm")  # fmt: skip
