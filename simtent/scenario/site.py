"""[site] and [levels]: the place, the ground, and the named heights."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import RootModel, model_validator

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.daylight import Latitude
from simtent.scenario.materials import Ground, ground, ground_names
from simtent.scenario.nearest import nearest
from simtent.scenario.night import Clock
from simtent.scenario.quantity import Quantity, Reader, Spread, Words, text_default
from simtent.scenario.section import Section

ALWAYS = ("head", "cot", "floor")
ICE_POINT = 273.15  # K
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


class Below(Section):
    """One known temperature in the ground."""

    depth: Annotated[
        float,
        Quantity(
            kind="length", unit_si="cm", unit_us="in", allowed=("1 cm", "10 m"), usual=("5 cm", "2 m"),
            meaning="depth below the surface, of the snow if there is any",
        ),
    ]  # fmt: skip
    temperature: Annotated[
        float,
        Quantity(
            kind="temperature", unit_si="degC", unit_us="degF", allowed=("-50 degC", "40 degC"),
            usual=("-15 degC", "4 degC"),
            prior=Spread.kelvins(2.0),
            meaning="temperature there at the begin",
        ),
    ]  # fmt: skip


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
            prior=Spread.kelvins(2.0),
            meaning="temperature of the ground's surface at the begin; the same at every depth unless "
            "ground_below says otherwise; in ice over water straight up to 0 degC",
        ),
    ] = None  # fmt: skip
    ground_below: Annotated[
        tuple[Below, ...] | None,
        Words(
            meaning="temperatures deeper down at the begin, straight between them and constant below the last"
        ),
    ] = None
    snow_density: Annotated[
        float | None,
        Quantity(
            kind="density", unit_si="kg/m3", unit_us="lb/ft3", allowed=("50 kg/m3", "600 kg/m3"),
            usual=("100 kg/m3", "500 kg/m3"),
            prior=Spread.relative(0.1),
            meaning="density of the snow, if weighed; its conductivity follows from it",
            source="range of the conductivity law, Sturm et al. 1997, J. Glaciology 43(143), second-hand",
        ),
    ] = None  # fmt: skip
    snow_depth: Annotated[
        float | None,
        Quantity(
            kind="length", unit_si="cm", unit_us="in", allowed=("2 cm", "10 m"), usual=("5 cm", "2 m"),
            meaning="depth of the snow over under_snow; without it, snow all the way down",
        ),
    ] = None  # fmt: skip
    under_snow: Annotated[
        str | None, GroundName(meaning="what lies under the snow, from the table of grounds")
    ] = None
    ice_thickness: Annotated[
        float | None,
        Quantity(
            kind="length", unit_si="cm", unit_us="in", allowed=("5 cm", "3 m"), usual=("15 cm", "1.5 m"),
            meaning="thickness of ice over water, which holds it at 0 degC below and makes it neither thicker nor "
            "thinner; whether it carries is another matter",
        ),
    ] = None  # fmt: skip
    latitude: Annotated[
        float | None,
        Latitude(
            kind="angle", unit_si="deg", unit_us="deg", allowed=("-90 deg", "90 deg"), usual=("-55 deg", "72 deg"),
            meaning="latitude, south negative or with an S; with it the sun shines by day, as over open, level ground "
            "without a shadow; without it there is no sun",
        ),
    ] = None  # fmt: skip
    solar_noon: Annotated[
        str | None,
        Clock(
            in_night=False,
            meaning="clock time on the evening's date at which the sun stands highest; without it, 12:00 of the zone's "
            "standard time",
        ),
    ] = None
    shelter_from_wind: Annotated[
        Literal["open ground", "edge of timber", "in timber"],
        Words(meaning="what stands around the shelter: how much of the wind's pressure reaches its openings"),
    ] = "edge of timber"

    def check_together(self, _span: Span | None) -> None:
        """What goes with the ground that is named, and what with no other."""
        faults = [*self._snow_faults(), *self._ice_faults(), *self._depth_faults(), *self._warm_faults()]
        faults += self._sun_faults()
        if faults:
            raise InputError(faults)

    def _snow_faults(self) -> Iterator[Fault]:
        snow = self.ground is None or ground(self.ground).snow
        for key in ("snow_density", "snow_depth", "under_snow"):
            if getattr(self, key) is not None and not snow:
                what = f'"{self.ground}" is no snow and has no {key.replace("_", " ")}'
                yield Fault(what, key=key, todo=f"Leave {key} out, or choose a ground of snow")
        if (self.snow_depth is None) != (self.under_snow is None):
            given, other = (
                ("snow_depth", "under_snow") if self.under_snow is None else ("under_snow", "snow_depth")
            )
            todo = f"Add {other}, or leave both out for snow all the way down"
            yield Fault(f"{given} without {other}", key=given, todo=todo)
        if self.under_snow is not None and ground(self.under_snow).snow:
            todo = "Name what lies under all of it, or leave snow_depth and under_snow out"
            yield Fault("snow under snow", key="under_snow", todo=todo)

    def _ice_faults(self) -> Iterator[Fault]:
        if self.over_water and self.ice_thickness is None:
            todo = 'Add ice_thickness = "40 cm", as measured through a hole'
            key = "ground" if self.under_snow is None else "under_snow"
            yield Fault("ice over water without its thickness", key=key, todo=todo)
        if self.ice_thickness is not None and not self.over_water and self.ground is not None:
            todo = 'Leave it out, or choose "lake ice" as the ground'
            yield Fault("no water lies under this ground", key="ice_thickness", todo=todo)
        if self.over_water and self.ground_below is not None:
            todo = "Leave ground_below out: from ground_start it goes straight to 0 degC at the water"
            yield Fault("temperatures within ice over water", key="ground_below", todo=todo)

    def _depth_faults(self) -> Iterator[Fault]:
        if self.ground_below is None:
            return
        if not self.ground_below:
            todo = 'Write at least one entry, { depth = "30 cm", temperature = "-2 degC" }, or leave it out'
            yield Fault("the list has no entry", key="ground_below", todo=todo)
        for number, (above, it) in enumerate(pairwise(self.ground_below)):
            if it.depth <= above.depth:
                todo = "Write the entries from the surface down"
                yield Fault(
                    "not deeper than the entry before", key=f"ground_below.{number + 1}.depth", todo=todo
                )
                return

    def _warm_faults(self) -> Iterator[Fault]:
        """Snow and ice are never warmer than 0 degC."""
        if self.ground is None or not self.earth.ice:
            return
        allowed, todo = "up to 0 degC", "Correct it, or the ground; snow about to melt has 0 degC"
        if self.ground_start is not None and self.ground_start > ICE_POINT:
            yield Fault(
                f"{self.ground} warmer than it can be", key="ground_start", allowed=allowed, todo=todo
            )
        for number, it in enumerate(self.ground_below or ()):
            deep = self.snow_depth is not None and it.depth > self.snow_depth
            if it.temperature > ICE_POINT and not (deep and self.buried and not self.buried.ice):
                key = f"ground_below.{number}.temperature"
                yield Fault(f"{self.ground} warmer than it can be", key=key, allowed=allowed, todo=todo)

    def _sun_faults(self) -> Iterator[Fault]:
        if self.solar_noon is not None and self.latitude is None:
            todo = 'Add latitude = "47 deg N", or leave solar_noon out for a night without sun'
            yield Fault("a solar noon without a latitude", key="solar_noon", todo=todo)

    @property
    def earth(self) -> Ground:
        """The ground's row of the table, with the density given here if there is one.

        Raises ValueError where a stove burns in the open and no ground is given.
        """
        if self.ground is None:
            raise ValueError("the site has a ground only under a shelter")
        return ground(self.ground, self.snow_density)

    @property
    def buried(self) -> Ground | None:
        """What lies under the snow, where that is not snow all the way down."""
        return None if self.under_snow is None else ground(self.under_snow)

    @property
    def over_water(self) -> bool:
        """Whether ice over water is the ground, or lies under the snow."""
        return any(name is not None and ground(name).over_water for name in (self.ground, self.under_snow))


Height = Annotated[
    float,
    Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=("1 cm", "10 m"), usual=("5 cm", "2 m"),
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
