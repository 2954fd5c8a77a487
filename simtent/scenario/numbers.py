"""Dotted keys that a section names, looked up among the sections of the same scenario before it is whole."""

from collections.abc import Mapping
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

from pydantic import BaseModel

from simtent.errors import Fault, InputError
from simtent.scenario.faults import Places
from simtent.scenario.fields import SECTIONS
from simtent.scenario.free import Free, free, unit_and_kind
from simtent.scenario.quantity import Factor
from simtent.scenario.site import Levels
from simtent.scenario.toml_lines import dotted_key
from simtent.units import scale, to_si

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario


MAY_BE_AWAY = ("shelter", "heat", "stove", "wood", "stoking", "damp")


class Numbers:
    """The numbers of a scenario by their keys, as far as its sections are valid."""

    def __init__(self, parts: Mapping[str, BaseModel], places: Places) -> None:
        sections = {name: parts.get(name) for name in SECTIONS}
        levels = sections["levels"]
        seen = sections | {"levels": levels.root if isinstance(levels, Levels) else {}}
        self.scenario = cast("Scenario", SimpleNamespace(**seen))
        self._looked_up: dict[str, Free | Fault | None] = {}
        self._faulty = {name for name in SECTIONS if name in places.given.nodes and name not in parts}

    def at(self, key: str) -> Free | Fault | None:
        """The number at a key, or what is wrong with the key; None where its section is faulty itself."""
        if key not in self._looked_up:
            self._looked_up[key] = self._look_up(key)
        return self._looked_up[key]

    def _look_up(self, key: str) -> Free | Fault | None:
        try:
            if dotted_key(key)[0] in self._faulty:
                return None
            return free(self.scenario, key)
        except (ValueError, IndexError):
            todo = 'Write for example "model.walls"'
            return Fault("this is no dotted key", value=key, todo=todo)
        except InputError as error:
            fault = error.faults[0]
            return Fault(fault.what, value=key, todo=fault.todo)


def is_away(scenario: "Scenario", key: str) -> bool:
    """Whether the key's table may be left out, and is: what logs said of it plays no part then."""
    try:
        name = dotted_key(key)[0]
    except (ValueError, IndexError):
        return False
    return name in MAY_BE_AWAY and getattr(scenario, name) is None


def in_unit(it: Free, written: str | float) -> float:
    """A value of a number, as it stands in its own field, in the unit of that number; InputError if it is none."""
    if isinstance(it.declared, Factor):
        return it.declared.read(_plain(written))
    value = it.declared.read(written, None)
    factor, zero = scale(*unit_and_kind(it.declared))
    return (value - zero) / factor


def added(it: Free, written: str | float) -> float:
    """What is added to a number, in its unit: of a temperature a difference; InputError if it is none."""
    if isinstance(it.declared, Factor):
        return float(_plain(written))
    _, kind = unit_and_kind(it.declared)
    kind = "temperature_difference" if kind == "temperature" else kind
    text = written if isinstance(written, str) else f"{written!r}"
    return to_si(text, kind) / scale(*unit_and_kind(it.declared))[0]


def _plain(written: str | float) -> float:
    """A plain number, also one in quotes."""
    try:
        return float(written)
    except ValueError:
        todo = "Write it without unit"
        raise InputError(Fault("a plain number is wanted", todo=todo)) from None
