"""How much wood was put on, as people note it: "3 split + 1 stick", "split=3, stick=1", "4.1 kg", "9 lb", "?".

How unsure a mass is, as standard deviation of its logarithm, is own choice, common practice, no source.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.scenario.turns import MASS_ALLOWED, MOST_PIECES
from simtent.scenario.wood import Wood
from simtent.units import show, to_si

WEIGHED, KIND_WEIGHED, COUNTED, UNKNOWN = (
    0.02,
    0.1,
    0.2,
    0.5,
)  # on a scale; kinds weighed once; by size; nobody knows
ABOUT = (
    2.0  # "~" makes the first three wider by this factor, and a weight at least as unsure as counted pieces
)
_UNKNOWN = ("?", "some", "unknown")
_EXAMPLE = 'Write "3 split + 1 stick", "4.1 kg", or "?" where nobody knows'
_BOTH = re.compile(r"(.+?)\s*\(([^()]+)\)")
_COUNT = re.compile(r"(?i)(\d+)\s*(?:[x\u00d7*](?![a-z]))?\s*(\D.*)|(.*\D)\s*[=:]?\s*(\d+)")
_OF_KIND = re.compile(r"(.+?)\s*=\s*(.+)")


@dataclass(frozen=True, slots=True)
class Amount:
    """Wood of one load.

    pieces  counts (whole numbers) or masses [kg] by kinds of pieces; None where only the sum is known
    mass    the sum, as it was put on [kg]; None where nobody knows
    unsure  standard deviation of the mass's logarithm
    """

    pieces: Mapping[str, float] | None
    mass: float | None
    unsure: float


def amount_from_text(text: str, wood: Wood | None) -> Amount:
    """Read a load; InputError for what is none, with the nearest known kind of pieces.

    wood  the scenario's; None where it has none: then only masses can be read
    """
    plain = " ".join(text.split())
    if plain.casefold() in _UNKNOWN:
        return Amount(None, None, UNKNOWN)
    about = plain.startswith("~") or plain.endswith("?")
    plain = plain.lstrip("~").rstrip("?").strip()
    weighed = plain
    counted: Amount | None = None
    if found := _BOTH.fullmatch(plain):
        counted, weighed = _pieces(found[1], wood), found[2]
    if re.fullmatch(r"[\d.,]+", weighed):
        todo = f'Write "{weighed} kg" or "{weighed} lb" for a mass, "{weighed} split" for a count of pieces'
        raise InputError(Fault(f"{weighed} has no unit", todo=todo))
    mass = _mass(weighed)
    if counted and mass is None:
        raise InputError(
            Fault(f'"{weighed}" is no mass', todo='Write "3 split (4.1 kg)" where they were weighed too')
        )
    amount = (
        _pieces(plain, wood) if mass is None else Amount(counted.pieces if counted else None, mass, WEIGHED)
    )
    return Amount(amount.pieces, amount.mass, _wider(amount.unsure)) if about else amount


def _wider(unsure: float) -> float:
    return max(COUNTED, ABOUT * unsure)


def _mass(text: str) -> float | None:
    """A mass with its unit [kg]; None for another text, InputError out of range."""
    if not re.match(r"[+-]?[\d.,½¼¾]", text):
        return None
    try:
        mass = to_si(re.sub(r"^(\d+),(\d{1,2})(?=\D)", r"\1.\2", text), "mass")
    except InputError:
        return None
    low, high = MASS_ALLOWED
    if not low <= mass <= high:
        allowed = f"{show(low, 'mass', 'si')} to {show(high, 'mass', 'si')}"
        raise InputError(Fault("the load is out of range", allowed=allowed, todo="Correct number or unit"))
    return mass


def _pieces(text: str, wood: Wood | None) -> Amount:
    """Pieces of one kind or several."""
    if wood is None:
        raise InputError(
            Fault("the scenario of that night has no wood", todo="Leave it out, or write it as a remark")
        )
    pieces: dict[str, int | float] = {}
    faults: list[Fault] = []
    for part in _parts(text):
        try:
            name, amount = _part(part, wood)
        except InputError as error:
            faults += error.faults
            continue
        if name in pieces:
            faults.append(
                Fault(f'"{name}" stands there twice', todo="Write one number for each kind of pieces")
            )
        pieces[name] = amount
    if faults:
        raise InputError(faults)
    masses = wood.load_masses(pieces.items())
    return Amount(pieces, sum(masses.values()), _unsure(pieces, masses, wood))


def _parts(text: str) -> Iterator[str]:
    """The kinds of a load: parted by plus, comma, semicolon, & or "and"; a decimal comma parts nothing."""
    for part in re.split(r"\s*(?:\+|;|&|,(?!\d)|(?<!\d),|\band\b)\s*", text.strip()):
        if part:
            yield part


def _part(text: str, wood: Wood) -> tuple[str, int | float]:
    """One kind of pieces and how many, or how much [kg]."""
    if (of_kind := _OF_KIND.fullmatch(text)) and (mass := _mass(of_kind[2])) is not None:
        return _kind(of_kind[1], wood), mass
    found = _COUNT.fullmatch(text)
    if not found:
        raise InputError(Fault(f'"{text}" is no load', allowed=_known(wood), todo=_EXAMPLE))
    count, name = int(found[1] or found[4]), (found[2] or found[3]).strip(" =:")
    if (words := re.fullmatch(r"([\d.,]*\s*[A-Za-z]+)\s+(.+)", text)) and name not in wood.pieces:
        mass = _mass(words[1])
        if mass is not None:
            return _kind(words[2], wood), mass
    if not 1 <= count <= MOST_PIECES:
        raise InputError(
            Fault(f"{count} pieces", allowed=f"1 to {MOST_PIECES} pieces", todo="Correct the number")
        )
    return _kind(name, wood), count


def _kind(text: str, wood: Wood) -> str:
    """The kind of pieces as the scenario names it; another case and a plural are understood."""
    name = text.strip().removeprefix("of ")
    lower = {it.casefold(): it for it in wood.pieces}
    for tried in (name.casefold(), name.casefold().removesuffix("s"), name.casefold().removesuffix("es")):
        if tried in lower:
            return name if name in wood.pieces else lower[tried]
    todo = nearest(name, wood.pieces) or "Use one of these names of [wood.pieces], or write the mass"
    raise InputError(Fault(f'unknown pieces "{name}"', allowed=_known(wood), todo=todo))


def _known(wood: Wood) -> str:
    return ", ".join(wood.pieces)


def _unsure(pieces: Mapping[str, int | float], masses: Mapping[str, float], wood: Wood) -> float:
    """How unsure the sum is: by each kind's own, weighted by mass, since a scale or a size is off for all of a kind."""
    total = sum(masses.values())
    return sum(masses[name] / total * _of_kind(amount, wood, name) for name, amount in pieces.items())


def _of_kind(amount: float, wood: Wood, name: str) -> float:
    if not isinstance(amount, int):
        return WEIGHED
    return COUNTED if wood.pieces[name].mass is None else KIND_WEIGHED
