"""[site] and [levels]: the place, the ground, and the named heights."""

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import RootModel, model_validator

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.materials import Ground, ground, ground_names
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import Quantity, Reader, Words, text_default
from simtent.scenario.section import Section

ALWAYS = ("head", "cot", "floor")
USUAL_LEVELS = {"head": "1.7 m", "waist": "0.9 m", "cot": "45 cm", "floor": "15 cm"}


@dataclass(frozen=True, kw_only=True)
class GroundName(Reader):
    """A name from the table of grounds."""

    def read(self, value: Any, _context: Any = None) -> str:
        """The name, as the table has it."""
        if isinstance(value, str) and value.strip().lower() in ground_names():
            return value.strip().lower()
        names = ground_names()
        raise InputError(Fault("unknown ground", allowed=", ".join(names), todo=nearest(str(value), names)))


class Site(Section):
    """The place and its ground."""

    altitude: Annotated[
        float,
        Quantity(
            kind="length", unit_si="m", unit_us="ft", allowed=("-400 m", "6000 m"), usual=("0 m", "4000 m"),
            meaning="height above sea level; thins the air",
        ),
    ] = text_default("0 m")  # fmt: skip
    ground: Annotated[
        str | None, GroundName(meaning="what the shelter stands on, from the table of grounds")
    ] = None
    ground_start: Annotated[
        float | None,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=("-50 degC", "40 degC"),
            usual=("-25 degC", "10 degC"),
            meaning="temperature of the ground at the begin, the same at every depth",
        ),
    ] = None  # fmt: skip
    snow_density: Annotated[
        float | None,
        Quantity(
            kind="density", unit_si="kg/m3", unit_us="lb/ft3", allowed=("50 kg/m3", "600 kg/m3"),
            usual=("100 kg/m3", "500 kg/m3"),
            meaning="density of the snow, if weighed; its conductivity follows from it",
            source="range of the conductivity law, Sturm et al. 1997, J. Glaciology 43(143), second-hand",
        ),
    ] = None  # fmt: skip

    shelter_from_wind: Annotated[
        Literal["open ground", "edge of timber", "in timber"],
        Words(meaning="what stands around the shelter: how much of the wind's pressure reaches its openings"),
    ] = "edge of timber"

    def check_together(self, _span: Span | None) -> None:
        """Only snow has a snow density."""
        if self.snow_density is not None and self.ground is not None and not ground(self.ground).snow:
            what = f'"{self.ground}" is no snow and has no snow density'
            todo = "Leave snow_density away, or choose a ground of snow"
            raise InputError(Fault(what, key="snow_density", todo=todo))

    @property
    def earth(self) -> Ground:
        """The ground's row of the table, with the density given here if there is one.

        Raises ValueError where a stove burns in the open and no ground is given.
        """
        if self.ground is None:
            raise ValueError("the site has a ground only under a shelter")
        return ground(self.ground, self.snow_density)


Height = Annotated[
    float,
    Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=("1 cm", "10 m"), usual=("10 cm", "2 m"),
        meaning="height of a named level above the ground; head, cot and floor are always there",
    ),
]  # fmt: skip


class Levels(RootModel[dict[str, Height]]):
    """Named heights above the ground [m]."""

    @model_validator(mode="after")
    def _from_the_top(self) -> "Levels":
        ordered = sorted(self.root.items(), key=lambda item: (-item[1], item[0]))
        self.root.clear()
        self.root.update(ordered)
        return self
