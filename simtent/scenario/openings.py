"""[shelter.openings] and [shelter.fan]: vents, the gap around the pipe, the door, and a fan that moves air."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span, read_clock
from simtent.scenario.names import Named, name_faults
from simtent.scenario.night import Clock
from simtent.scenario.quantity import Quantity, Words, table_default, text_default
from simtent.scenario.section import Section

Faces = Literal["all round", "wind", "lee"]
TAKEN = (
    "low vent",
    "ridge vent",
    "jack",
    "door",
    "seams",
    "skirt",
)  # names of openings that are there already


def _height(meaning: str, usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=("0 m", "8 m"), usual=usual, meaning=meaning
    )  # fmt: skip


def _side(meaning: str, usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="m", unit_us="ft", allowed=("10 cm", "8 m"), usual=usual, meaning=meaning
    )  # fmt: skip


def _area(meaning: str, allowed: tuple[str, str], usual: tuple[str, str]) -> Quantity:
    return Quantity(kind="area", unit_si="cm2", unit_us="in2", allowed=allowed, usual=usual, meaning=meaning)


class Vent(Section):
    """A vent at one height."""

    area: Annotated[
        float,
        _area(
            "free area of the vent, fully open, mesh taken off", ("0.1 cm2", "2 m2"), ("10 cm2", "600 cm2")
        ),
    ]
    at: Annotated[float, _height("height of the vent's middle above the ground", ("5 cm", "3 m"))]
    open: Annotated[
        float,
        Quantity(
            kind="share", unit_si="%", unit_us="%", allowed=("0 %", "100 %"), usual=("20 %", "100 %"),
            meaning="share of the vent that is open through the night",
        ),
    ] = text_default("100 %")  # fmt: skip
    faces: Annotated[
        Faces,
        Words(
            meaning='the side it is on: "all round" is a quarter to the wind, the rest beside it and in the lee'
        ),
    ] = "all round"


class Jack(Section):
    """The gap around the pipe where it passes the skin."""

    gap: Annotated[
        float,
        _area("area of the gap between the pipe and its jack", ("0 cm2", "500 cm2"), ("2 cm2", "60 cm2")),
    ]
    at: Annotated[
        float | None,
        _height("height of the jack above the ground; without it, the pipe's end inside", ("50 cm", "3 m")),
    ] = None
    through: Annotated[
        Literal["roof", "wall"],
        Words(meaning="what the pipe passes; in a wall the jack needs its height, at"),
    ] = "roof"
    faces: Annotated[
        Literal["wind", "lee"], Words(meaning="the side of the shelter on which the jack is")
    ] = "lee"

    def check_together(self, _span: Span | None) -> None:
        """In a wall it has a height of its own."""
        if self.through == "wall" and self.at is None:
            todo = "Add at = ...: nothing else tells where the pipe passes the wall"
            raise InputError(Fault("the height of the jack is missing", key="at", todo=todo))


class Opened(Section):
    """A time at which the door is opened, and how long it stands open."""

    at: Annotated[str, Clock(meaning="clock time at which the door is opened")]
    for_: Annotated[
        float,
        Field(alias="for"),
        Quantity(
            kind="duration", unit_si="min", unit_us="min", allowed=("1 s", "24 h"), usual=("10 s", "10 min"),
            meaning="how long the door then stands open",
        ),
    ]  # fmt: skip


class Door(Section):
    """The door: shut, but for the times at which it is opened; the leaks of a shut door are seams."""

    width: Annotated[float, _side("width of the opened door", ("50 cm", "1.5 m"))]
    height: Annotated[float, _side("height of the opened door from its sill to its top", ("60 cm", "2 m"))]
    sill: Annotated[
        float, _height("height above the ground at which the opened door begins", ("0 cm", "30 cm"))
    ] = text_default("0 m")
    faces: Annotated[Literal["wind", "lee"], Words(meaning="the side on which the door is")] = "lee"
    open: Annotated[
        tuple[Opened, ...], Words(meaning="when it is opened, and for how long; without it, never")
    ] = ()

    _openings: tuple[tuple[float, float], ...] = PrivateAttr(default=())

    def check_together(self, span: Span | None) -> None:
        """It is shut again before it is opened the next time, and before the night ends."""
        if span is None:
            return
        times = [(span.seconds_at(read_clock(entry.at)), entry.for_, n) for n, entry in enumerate(self.open)]
        faults = [
            Fault("the door is still open when the night ends", key=f"open.{n}.for", todo=_SHORTER)
            for begin, lasts, n in times
            if begin + lasts > span.seconds
        ]
        if faults := [*faults, *self._overlaps(sorted(times))]:
            raise InputError(faults)
        self._openings = tuple(sorted((begin, begin + lasts) for begin, lasts, _ in times))

    @property
    def top(self) -> float:
        """Height of its upper edge above the ground [m]."""
        return self.sill + self.height

    @property
    def openings(self) -> tuple[tuple[float, float], ...]:
        """When it stands open, in the order of time: from and to, seconds from the night's begin [s]."""
        return self._openings

    def _overlaps(self, times: list[tuple[float, float, int]]) -> Iterator[Fault]:
        for (begin, lasts, first), (again, _, n) in pairwise(times):
            if again <= begin + lasts:
                what = f"the door is opened at {self.open[n].at}, and still open since {self.open[first].at}"
                yield Fault(
                    what, key=f"open.{n}.at", todo="Make one opening of both, or let it be shut between"
                )


class Openings(Section):
    """What is open in the skin, apart from its seams."""

    low_vent: Annotated[Vent | None, Words(meaning="the vent low in the wall, by which air comes in")] = None
    ridge_vent: Annotated[Vent | None, Words(meaning="the vent high in the roof, by which air leaves")] = None
    vents: Annotated[
        dict[str, Vent], Named(meaning="further vents by names of my own, any number of them")
    ] = table_default()
    jack: Annotated[Jack | None, Words(meaning="the gap around the pipe where it passes the skin")] = None
    door: Annotated[Door | None, Words(meaning="the door, and when it is opened")] = None

    def check_together(self, _span: Span | None) -> None:
        """Names can be printed, and tell the openings apart."""
        faults = list(name_faults(self.vents, "vent", "vents"))
        for name in self.vents:
            if name.lower() in TAKEN:
                what, todo = f'an opening is called "{name}" already', "Give the vent another name"
                faults.append(Fault(what, key=f"vents.{name}", value=f'"{name}"', todo=todo))
        if faults:
            raise InputError(faults)

    @property
    def every_vent(self) -> dict[str, Vent]:
        """All vents by the name they are shown by."""
        fixed = {"low vent": self.low_vent, "ridge vent": self.ridge_vent}
        return {name: vent for name, vent in fixed.items() if vent is not None} | self.vents


class Fan(Section):
    """[shelter.fan]: runs all night; with heights it carries air, without them it mixes the whole room."""

    flow: Annotated[
        float,
        Quantity(
            kind="flow", unit_si="m3/h", unit_us="cfm", allowed=("0.1 m3/h", "5000 m3/h"),
            usual=("10 m3/h", "400 m3/h"),
            meaning="volume of air that the fan moves",
        ),
    ]  # fmt: skip
    from_: Annotated[
        float | None,
        Field(alias="from"),
        _height("height from which it takes the air; without it the fan mixes", ("1 m", "2.5 m")),
    ] = None
    to: Annotated[
        float | None,
        _height("height to which it carries the air; without it the fan mixes", ("10 cm", "50 cm")),
    ] = None

    def check_together(self, _span: Span | None) -> None:
        """Both heights or none, and two."""
        if (self.from_ is None) != (self.to is None):
            missing = "from" if self.from_ is None else "to"
            todo = f"Add {missing} = ..., or take both heights away: without them the fan mixes"
            raise InputError(Fault("a fan that carries has two heights: from and to", key=missing, todo=todo))
        if self.from_ is not None and self.from_ == self.to:
            todo = "Give two heights, or take both away: without them the fan mixes"
            raise InputError(Fault("the fan carries air to where it takes it from", key="to", todo=todo))


_SHORTER = "Let it be shut before the night ends, or change end under [night]"
