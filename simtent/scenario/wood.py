"""[wood]: species, moisture, and the kinds of pieces at hand."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import pi
from typing import Annotated, Any

from simtent.errors import Fault, InputError
from simtent.scenario.clock import Span
from simtent.scenario.materials import Species, species, species_names
from simtent.scenario.names import Named, name_faults
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import IN_RANGE, Quantity, Reader, Spread
from simtent.scenario.section import Section
from simtent.units import to_si

WITH_BASIS = re.compile(r"(.*?)\s*\b(wet|dry)\b\s*(?:basis)?", re.IGNORECASE | re.DOTALL)
PLAIN_NUMBER = re.compile(r"[0-9]+\.?[0-9]*")
# Of the moist wood; green wood has half, wood out of water more; common practice, no source.
WETTEST = 0.6


@dataclass(frozen=True, kw_only=True)
class SpeciesName(Reader):
    """A name from the table of woods."""

    def read(self, value: Any, _context: Any = None) -> Species:
        """The row of the table."""
        names = species_names()
        if isinstance(value, str) and value.strip().lower() in names:
            return species(value.strip().lower())
        todo = nearest(str(value), names) or 'Take "softwood" or "hardwood" where the kind is not known'
        raise InputError(Fault("unknown species", allowed=", ".join(names), todo=todo))


@dataclass(frozen=True, kw_only=True)
class Moisture(Reader):
    """Moisture of wood with its basis, "18 % wet" or "22 % dry"; held as the share of the moist wood."""

    usual: tuple[str, str]
    prior: Spread | None = None

    def read(self, value: Any, _context: Any = None) -> float:
        """Water over moist wood; InputError without a basis, with both readings."""
        found = WITH_BASIS.fullmatch(value.strip()) if isinstance(value, str) else None
        if found is None:
            raise InputError(_without_basis(value))
        share = _share(found[1], found[2].lower())
        if found[2].lower() == "dry" and share > 0.0:
            share /= 1.0 + share
        if not 0.0 <= share <= WETTEST:
            raise InputError(Fault("out of range", allowed=self.range_text(), todo=IN_RANGE))
        return share

    def range_text(self) -> str:
        """The allowed range on both bases."""
        return f"0 % to {100 * WETTEST:g} % wet, 0 % to {100 * WETTEST / (1 - WETTEST):g} % dry"


def _share(text: str, basis: str) -> float:
    """The share before the word of its basis; a missing % gets its own message."""
    try:
        return to_si(text, "share")
    except InputError as error:
        if not PLAIN_NUMBER.fullmatch(text):
            raise
        todo = f'Write "{text} % {basis}"'
        raise InputError(replace(fault, todo=todo) for fault in error.faults) from None


def _without_basis(value: Any) -> Fault:
    """A moisture that does not say of what it is a share; both readings shown, each on the other basis."""
    todo = 'Write for example "18 % wet" (of the moist wood) or "22 % dry" (over the dry wood)'
    nothing_read = Fault("a moisture with its basis is wanted", todo=todo)
    if not isinstance(value, str):
        return nothing_read
    plain = value.strip()
    try:
        share = to_si(plain, "share")
    except InputError:
        return nothing_read
    if not 0.0 <= share < 1.0:
        return nothing_read
    as_dry, as_wet = (100.0 * other for other in (share / (1.0 - share), share / (1.0 + share)))
    todo = (
        f'Write "{plain} wet" if it is the water in the moist wood (that is {as_dry:.1f} % dry), or '
        f'"{plain} dry" if it is the water over the dry wood, as most meters show it (that is {as_wet:.1f} % wet)'
    )
    return Fault(f'"{plain}" does not say on which basis', todo=todo)


class Piece(Section):
    """One kind of pieces, round or split."""

    thick: Annotated[
        float,
        Quantity(
            kind="length", unit_si="mm", unit_us="in", allowed=("3 mm", "40 cm"), usual=("10 mm", "12 cm"),
            prior=Spread.relative(0.1),
            meaning="thickness of such a piece; of a split one, of a round one with the same section",
        ),
    ]  # fmt: skip
    long: Annotated[
        float,
        Quantity(
            kind="length", unit_si="cm", unit_us="in", allowed=("2 cm", "1.2 m"), usual=("15 cm", "50 cm"),
            prior=Spread.relative(0.05),
            meaning="length of such a piece",
        ),
    ]  # fmt: skip
    mass: Annotated[
        float | None,
        Quantity(
            kind="mass", unit_si="g", unit_us="lb", allowed=("1 g", "50 kg"), usual=("20 g", "3 kg"),
            prior=Spread.relative(0.1),
            meaning="mass of one piece as it is, moist, if weighed: it beats the size",
        ),
    ] = None  # fmt: skip


class Wood(Section):
    """The wood at hand."""

    species: Annotated[Species, SpeciesName(meaning="kind of wood, from the table of woods")]
    moisture: Annotated[
        float,
        Moisture(
            usual=("12 % wet", "30 % wet"),
            prior=Spread.factor(
                1.2, "own choice; wood of stove tests has 16 to 20 % (CSA B415.1, second-hand)"
            ),
            meaning="moisture of the wood, with its basis: wet or dry",
        ),
    ]
    pieces: Annotated[dict[str, Piece], Named(meaning="the kinds of pieces at hand, under names of my own")]
    at_hand: Annotated[
        float | None,
        Quantity(
            kind="mass", unit_si="kg", unit_us="lb", allowed=("100 g", "5000 kg"), usual=("5 kg", "500 kg"),
            meaning="wood that there is for the night, as it is, moist; without it, as much as is asked for",
        ),
    ] = None  # fmt: skip

    def check_together(self, _span: Span | None) -> None:
        """There are pieces, and their names can be printed."""
        faults = [*name_faults(self.pieces, "piece", "pieces")]
        if not self.pieces:
            todo = 'Write at least one, for example pieces.split = { thick = "8 cm", long = "35 cm" }'
            faults.append(Fault("there is no kind of pieces", key="pieces", todo=todo))
        if faults:
            raise InputError(faults)

    def piece_mass(self, name: str) -> float:
        """Mass of one piece, moist [kg]: as weighed, else by its size as a round one."""
        piece = self.pieces[name]
        if piece.mass is not None:
            return piece.mass
        return pi / 4.0 * piece.thick**2 * piece.long * self.species.density / (1.0 - self.moisture)

    def volume_of(self, mass: float) -> float:
        """Volume of a mass of moist wood [m3]."""
        return mass * (1.0 - self.moisture) / self.species.density

    def load_masses(self, pieces: Iterable[tuple[str, int | float]]) -> dict[str, float]:
        """Mass by kind of pieces, moist [kg], of counts and masses; a whole number counts pieces."""
        return {
            name: amount * self.piece_mass(name) if isinstance(amount, int) else amount
            for name, amount in pieces
        }
