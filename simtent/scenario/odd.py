"""What is odd in a scenario, and where it stands: nothing here is a fault, and all of it may be meant."""

from dataclasses import dataclass
from functools import cached_property

from simtent.errors import Fault
from simtent.scenario.archetype import on_archetype
from simtent.scenario.faults import Places
from simtent.scenario.fields import declared_of, keys_of
from simtent.scenario.in_units import in_units
from simtent.scenario.quantity import Quantity
from simtent.scenario.scenario import Scenario
from simtent.scenario.section import Section
from simtent.scenario.tree import Path, without_none
from simtent.units import System


@dataclass(frozen=True, slots=True)
class Oddity:
    """One thing that is allowed, and yet worth a second look.

    what   what is odd, a sentence without its place
    why    why it matters, a sentence
    todo   what to do about it, a sentence
    file   of the key, or where the value came from: "--set"
    line   in that file, counted from 1; None where nothing was given
    key    dotted key
    value  as it was written; None where nothing was given
    """

    what: str
    why: str
    todo: str
    file: str
    line: int | None
    key: str
    value: str | None


@dataclass(frozen=True)
class Look:
    """A scenario that is looked through, and the units to tell it in."""

    scenario: Scenario
    units: System

    @cached_property
    def places(self) -> Places:
        """Where every key was given, archetypes included."""
        whole = on_archetype(self.scenario.tree)
        return Places(without_none(whole), whole, str(self.scenario.path))

    def told(self, section: type[Section], key: str, value: float) -> str:
        """A value in SI, in the unit that people write that field of a section in."""
        declared = declared_of(keys_of(section)[key])
        return in_units(declared, value, self.units) if isinstance(declared, Quantity) else f"{value:g}"

    def odd(self, path: Path, what: str, why: str, todo: str) -> Oddity:
        """An oddity at the place where the key was given, or the table that would hold it."""
        fault = self.places.put(Fault(what), path)
        return Oddity(
            what, why, todo, fault.file or str(self.scenario.path), fault.line, fault.key or "", fault.value
        )
