"""Numbers of a scenario that may be moved: found by their dotted key, written back as text that reads alike."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

from simtent.errors import Fault, InputError
from simtent.scenario.fields import declared_at
from simtent.scenario.nearest import nearest
from simtent.scenario.quantity import Factor, Quantity
from simtent.scenario.section import Section
from simtent.scenario.toml_lines import dotted_key
from simtent.scenario.wood import WETTEST, Moisture
from simtent.units import scale

if TYPE_CHECKING:  # its sections are looked at, also before there is a scenario
    from simtent.scenario.scenario import Scenario

SECTIONS = (
    "levels", "site", "outdoors", "shelter", "heat", "stove", "wood", "stoking", "crew", "model", "what_if",
    "instruments",
)  # fmt: skip
PURE = "1"  # the unit of a plain number
TEN_KELVIN = 10.0

Movable: TypeAlias = Quantity | Factor | Moisture


class Moved(Protocol):
    """Anything that puts a number into a scenario."""

    @property
    def name(self) -> str:
        """What it is called."""
        ...

    @property
    def unit(self) -> str:
        """What it is counted in."""
        ...

    @property
    def number(self) -> float:
        """Where it stands."""
        ...

    @property
    def size(self) -> float:
        """What counts as a large change of it."""
        ...

    def replacement(self, number: float) -> Mapping[str, Any]:
        """What puts another number in its place, by dotted keys."""
        ...


@dataclass(frozen=True)
class Free:
    """A number of a scenario, in the unit in which its field is usually written.

    name    its dotted key
    unit    "1" for a plain number
    number  as it is now
    size    what counts as a large change of it: itself, ten kelvin, or of what is 0 the largest usual one
    beside  what has to be said again with it: a table of names, given, takes the place of an archetype's
    """

    name: str
    declared: Movable
    unit: str
    number: float
    size: float
    beside: Mapping[str, str]

    def replacement(self, number: float) -> Mapping[str, Any]:
        """What puts another number in its place."""
        text = repr(number) if self.unit == PURE else f"{number!r} {self.unit}"
        return {**self.beside, self.name: text}


def free(scenario: "Scenario", key: str) -> Free:
    """The number of a scenario at a dotted key; InputError where there is none that can be moved.

    A number that was left out counts as what stands in for it, if it is a leak, a stove's mass or a piece's.
    """
    shape = scenario.shelter.shape if scenario.shelter else None
    try:
        path = tuple(dotted_key(key))
        declared, value = declared_at(path, shape), value_at(scenario, path)
        value = _stands_in(scenario, path) if value is None else value
    except (ValueError, IndexError):  # no dotted key
        path, declared, value = (), None, None
    if not isinstance(declared, Movable) or not isinstance(value, float):
        todo = nearest(key, free_keys(scenario)) or "Take the dotted key of a number that the scenario has"
        raise InputError(Fault("this is no number that can be moved", key=key, todo=todo))
    unit = _unit(declared)
    factor, zero = (1.0, 0.0) if isinstance(declared, Factor) else scale(*unit_and_kind(declared))
    number, size = (value - zero) / factor, _size(declared, value) / factor
    return Free(key, declared, unit, number, size, _beside(scenario, path, declared))


def free_keys(scenario: "Scenario") -> list[str]:
    """The dotted keys of all numbers of a scenario that can be moved, entries of lists apart."""
    shape = scenario.shelter.shape if scenario.shelter else None
    return [
        ".".join(path)
        for name in SECTIONS
        for path in _numbers(getattr(scenario, name, None), (name,))
        if isinstance(declared_at(path, shape), Movable)
    ]


def unit_and_kind(declared: Quantity | Moisture) -> tuple[str, str]:
    """The unit without its basis, and the kind."""
    return ("%", "share") if isinstance(declared, Moisture) else (declared.unit_si, declared.kind)


def _unit(declared: Movable) -> str:
    if isinstance(declared, Factor):
        return PURE
    return "% wet" if isinstance(declared, Moisture) else declared.unit_si


def _size(declared: Movable, value: float) -> float:
    """In SI."""
    if isinstance(declared, Quantity) and declared.kind.startswith("temperature"):
        return TEN_KELVIN
    if value != 0.0:
        return abs(value)
    if isinstance(declared, Moisture):
        return WETTEST
    text = declared.usual or declared.allowed
    most = text[1] if text else 1.0
    return declared.read(most) if isinstance(declared, Quantity) else float(most)


def _beside(scenario: "Scenario", path: tuple[str, ...], declared: Movable) -> Mapping[str, str]:
    """What stands beside a number in a table by names of the user's own."""
    above = value_at(scenario, path[:-1])
    if not isinstance(above, Mapping) or isinstance(declared, Moisture):
        return {}
    return {".".join((*path[:-1], name)): declared.text(value) for name, value in above.items()}


def _stands_in(scenario: "Scenario", path: tuple[str, ...]) -> float | None:
    """What a scenario takes for a number that was left out [SI]; None where it takes none."""
    match path:
        case ("model", "leak_below_skirt"):
            return scenario.shelter.leak_below_skirt if scenario.shelter else 0.0
        case ("stove", "mass"):
            return scenario.stove.body_mass if scenario.stove else None
        case ("wood", "pieces", name, "mass"):
            known = scenario.wood is not None and name in scenario.wood.pieces
            return scenario.wood.piece_mass(name) if scenario.wood and known else None
    return None


def value_at(scenario: "Scenario", path: tuple[str, ...]) -> Any:
    """What stands at a path; None where nothing does."""
    it: Any = getattr(scenario, path[0], None) if path[0] in SECTIONS else None
    for part in path[1:]:
        it = it.get(part) if isinstance(it, Mapping) else getattr(it, _name(it, part), None)
    return it


def _name(it: Any, key: str) -> str:
    """The name in Python of a key: `from` is none, so `from_` stands for it."""
    if isinstance(it, Section):
        return next((name for name, info in type(it).model_fields.items() if info.alias == key), key)
    return key


def _numbers(it: Any, path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Paths of all numbers below a path."""
    if isinstance(it, float):
        yield path
    elif isinstance(it, Section):
        for name, info in type(it).model_fields.items():
            yield from _numbers(getattr(it, name), (*path, info.alias or name))
    elif isinstance(it, Mapping):
        for key, inner in it.items():
            yield from _numbers(inner, (*path, key))
