"""[stove]: its body, pipe, air inlet and damper."""

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.hardware import Bends, OnTop, OnTopText, Sheet, SheetText
from simtent.scenario.materials import stove_names
from simtent.scenario.names import Named, name_faults
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import Factor, Quantity, Reader, Spread, Words, text_default
from simtent.scenario.section import Section
from simtent.scenario.stands import STANDS, Stands

FITTINGS = 1.2  # body with door, legs and seams over its bare sheet; common practice, no source


def _length(meaning: str, allowed: tuple[str, str], usual: tuple[str, str]) -> Quantity:
    return Quantity(
        kind="length", unit_si="cm", unit_us="in", allowed=allowed, usual=usual, meaning=meaning
    )  # fmt: skip


def _area(
    meaning: str, allowed: tuple[str, str], usual: tuple[str, str], prior: Spread | None = None
) -> Quantity:
    return Quantity(
        kind="area", unit_si="cm2", unit_us="in2", allowed=allowed, usual=usual, prior=prior, meaning=meaning
    )  # fmt: skip


def _share(meaning: str) -> Quantity:
    return Quantity(
        kind="share", unit_si="%", unit_us="%", allowed=("0 %", "100 %"), prior=Spread.factor(1.3), meaning=meaning
    )  # fmt: skip


Mark = Annotated[float, _share("share of the full opening at this mark of the lever")]


@dataclass(frozen=True, kw_only=True)
class StoveName(Reader):
    """A name from the table of stoves."""

    def read(self, value: Any, _context: Any = None) -> str:
        """The name, as the table has it."""
        names = stove_names()
        if isinstance(value, str) and value.strip().lower() in names:
            return value.strip().lower()
        raise InputError(Fault("unknown stove", allowed=", ".join(names), todo=nearest(str(value), names)))


class Firebox(Section):
    """[stove.firebox]: its inner sizes."""

    length: Annotated[
        float,
        _length("inner length of the firebox, along which wood lies", ("8 cm", "1.2 m"), ("20 cm", "60 cm")),
    ]
    width: Annotated[float, _length("inner width of the firebox", ("5 cm", "80 cm"), ("12 cm", "35 cm"))]
    height: Annotated[float, _length("inner height of the firebox", ("5 cm", "80 cm"), ("12 cm", "35 cm"))]

    @property
    def volume(self) -> float:
        """Volume [m3]."""
        return self.length * self.width * self.height

    @property
    def area(self) -> float:
        """Area of its six sides [m2]."""
        return 2.0 * (self.length * self.width + self.length * self.height + self.width * self.height)


class Pipe(Section):
    """[stove.pipe]: from the collar to the open end."""

    diameter: Annotated[float, _length("inner diameter of the pipe", ("4 cm", "25 cm"), ("6 cm", "15 cm"))]
    inside: Annotated[
        float, _length("length of the pipe from the stove to the roof", ("10 cm", "8 m"), ("60 cm", "3 m"))
    ]
    outside: Annotated[
        float, _length("length of the pipe above the roof", ("5 cm", "8 m"), ("30 cm", "1.5 m"))
    ]
    sheet: Annotated[Sheet, SheetText(meaning="sheet metal of the pipe")] = text_default("0.5 mm steel")
    bends: Annotated[tuple[float, ...], Bends(meaning="angles by which the pipe turns")] = ()
    cap: Annotated[bool, Words(meaning="whether a rain cap sits on the end")] = False
    arrestor: Annotated[bool, Words(meaning="whether a spark arrestor sits in the end")] = False
    draft: Annotated[
        float | None,
        Quantity(
            kind="pressure", unit_si="Pa", unit_us="in WC", allowed=("0 Pa", "60 Pa"), usual=("5 Pa", "20 Pa"),
            prior=Spread.relative(0.15),
            meaning="draught at the collar, held as on a test bench; without it, it follows from the hot gas",
        ),
    ] = None  # fmt: skip


class Air(Section):
    """[stove.air]: the inlet and the marks on its lever."""

    opening: Annotated[
        float,
        _area(
            "area of all air inlets, full open",
            ("0.5 cm2", "300 cm2"),
            ("3 cm2", "40 cm2"),
            Spread.relative(0.2),
        ),
    ]
    marks: Annotated[
        dict[str, Mark], Named(meaning="the marks on my lever, each with its share of the opening")
    ]
    leak: Annotated[
        float,
        _area(
            "area still open when the air is shut",
            ("0 cm2", "50 cm2"),
            ("0.5 cm2", "4 cm2"),
            Spread.factor(2.0),
        ),
    ] = text_default("1.5 cm2")
    least_when_asleep: Annotated[
        str | None, Words(meaning="the lowest mark of the air while anyone sleeps: the maker's, or mine")
    ] = None

    def check_together(self, _span: Span | None) -> None:
        """There are marks, and the least is one of them."""
        _check_marks(self.marks, self.least_when_asleep)


class Damper(Section):
    """[stove.damper]: the plate in the pipe and the marks on its lever."""

    marks: Annotated[
        dict[str, Mark], Named(meaning="the marks on its lever, each with the share it leaves open")
    ]
    least_when_asleep: Annotated[
        str | None, Words(meaning="the lowest mark of the damper while anyone sleeps: the maker's, or mine")
    ] = None

    def check_together(self, _span: Span | None) -> None:
        """There are marks, and the least is one of them."""
        _check_marks(self.marks, self.least_when_asleep)


def _away(meaning: str) -> Quantity:
    return Quantity(
        kind="length", unit_si="cm", unit_us="in", allowed=("0 cm", "5 m"), usual=("30 cm", "3 m"), meaning=meaning
    )  # fmt: skip


class Place(Section):
    """[stove.place]: how far things that burn are from the stove's body, measured to the nearest of it."""

    from_wall: Annotated[float | None, _away("from the stove's side to the nearest wall of fabric")] = None
    from_roof: Annotated[float | None, _away("from the stove's top to the fabric above it")] = None
    from_bed: Annotated[
        float | None,
        _away("from the stove to the nearest bedding; what is felt of its radiation is what arrives there"),
    ] = None
    from_wood: Annotated[float | None, _away("from the stove to the wood that is stacked by it")] = None


class Stove(Section):
    """The stove."""

    like: Annotated[
        str | None, StoveName(meaning="a stove from the table of stoves; it fills what is not given here")
    ] = None
    firebox: Annotated[Firebox, Words(meaning="inner sizes of the firebox")]
    sheet: Annotated[Sheet, SheetText(meaning="sheet metal of the body")]
    mass: Annotated[
        float | None,
        Quantity(
            kind="mass", unit_si="kg", unit_us="lb", allowed=("200 g", "200 kg"), usual=("1 kg", "30 kg"),
            prior=Spread.relative(0.1),
            meaning="weighed mass of the body without pipe; without it, it follows from size and sheet",
        ),
    ] = None  # fmt: skip
    glass: Annotated[
        float, _area("area of glass in the door", ("0 cm2", "3000 cm2"), ("0 cm2", "500 cm2"))
    ] = text_default("0 m2")
    baffle: Annotated[bool, Words(meaning="whether a plate under the top leads the gas around")] = False
    on_top: Annotated[OnTop | None, OnTopText(meaning="water or stones that stand on the stove")] = None
    legs: Annotated[
        float, _length("height of the firebox' bottom above the ground", ("0 cm", "1.5 m"), ("5 cm", "40 cm"))
    ] = text_default("15 cm")
    stands: Annotated[Stands, STANDS] = "free"
    place: Annotated[
        Place | None, Words(meaning="distances to what burns; what is not given is told to be kept")
    ] = None
    under: Annotated[
        Literal["nothing", "board", "board and sheet metal"],
        Words(meaning="what lies between the legs and the ground"),
    ] = "nothing"
    emissivity: Annotated[
        float,
        Factor(
            allowed=(0.1, 1.0),
            usual=(0.5, 0.95),
            prior=Spread.relative(
                0.08,
                "oxidised steel .78 to .98, lacquer .92 to .98: common practice (thermal-imaging tables)",
            ),
            meaning="long-wave emissivity of the outside of stove and pipe",
            source="oxidised steel .78 to .82, heat-resistant lacquer .92: common practice (thermal-imaging tables)",
        ),
    ] = 0.85
    pipe: Annotated[Pipe, Words(meaning="the pipe; without one no fire draws")]
    air: Annotated[Air, Words(meaning="the air inlet and the marks on its lever")]
    damper: Annotated[
        Damper | None, Words(meaning="the plate in the pipe; without it nothing narrows the pipe")
    ] = None

    @classmethod
    def key_faults(cls, keys: Set[str]) -> Iterator[Fault]:
        """A pipe is there."""
        if "pipe" not in keys:
            what = "a damper without a pipe to sit in" if "damper" in keys else "a stove without a pipe"
            todo = "Add [stove.pipe] with diameter, inside and outside: without a pipe the smoke stays where people are"
            yield Fault(what, key="pipe", todo=todo)

    def check_together(self, _span: Span | None) -> None:
        """The glass fits into a side of the firebox."""
        box = self.firebox
        largest = max(box.length * box.width, box.length * box.height, box.width * box.height)
        if self.glass > largest:
            todo = "Correct the area, or the sizes of the firebox"
            raise InputError(Fault("the glass is larger than a side of the firebox", key="glass", todo=todo))

    @property
    def body_mass(self) -> float:
        """Mass of the body without pipe [kg]: as weighed, else from its sheet, with door, legs and seams."""
        return self.firebox.area * self.sheet.areal_density * FITTINGS if self.mass is None else self.mass

    @property
    def collar(self) -> float:
        """Height above the ground at which the pipe begins [m]."""
        return self.legs + self.firebox.height

    def share_of_air(self, mark: str) -> float:
        """Share of the full opening at a mark of the air; KeyError if there is none."""
        return self.air.marks[mark]

    def share_of_damper(self, mark: str) -> float:
        """Share that the damper leaves open at a mark; KeyError without it."""
        return (self.damper.marks if self.damper else {})[mark]


def _check_marks(marks: Mapping[str, float], least: str | None) -> None:
    faults = [*name_faults(marks, "mark", "marks")]
    if not marks:
        todo = 'Write at least one, for example marks = { low = "20 %", open = "100 %" }'
        faults.append(Fault("the lever has no mark", key="marks", todo=todo))
    elif least is not None and least not in marks:
        known = ", ".join(marks)
        faults.append(
            Fault(
                f'unknown mark "{least}"', key="least_when_asleep", allowed=known, todo=nearest(least, marks)
            )
        )
    if faults:
        raise InputError(faults)
