"""The usual changes, as their table has them, and those that apply to a scenario as its variants."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

from simtent.comparing.applied import replacements
from simtent.comparing.carried import carried
from simtent.errors import Fault, InputError
from simtent.scenario.free import value_at
from simtent.scenario.nearest import nearest
from simtent.scenario.scenario import Scenario
from simtent.scenario.toml_lines import dotted_key
from simtent.scenario.varied import Variant, of_changes
from simtent.units import System

FILE = Path(__file__).parents[1] / "materials" / "usual_changes.toml"
Sign = Literal["warmer", "colder", "either"]


@dataclass(frozen=True)
class Usual:
    """A row of the table, see `materials/usual_changes.toml`."""

    name: str
    words: str
    cot: Sign
    floor: Sign
    why: str
    source: str
    words_us: str = ""
    needs: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    leaks: bool = False
    steel: bool = False
    stands: tuple[str, ...] = ()
    wetter: float = 0.0
    drier: float = 1.0
    set: Mapping[str, Any] = field(default_factory=dict)
    times: Mapping[str, float] = field(default_factory=dict)
    plus: Mapping[str, str] = field(default_factory=dict)
    plus_count: Mapping[str, int] = field(default_factory=dict)
    keep: tuple[str, ...] = ()
    line: tuple[str, ...] = ()
    swap: Mapping[str, str] = field(default_factory=dict)
    kg: float | None = None
    kg_swapped: float = 0.0
    per: str = ""

    def told(self, system: System) -> str:
        """What it is, in the units of people of here or there."""
        return self.words_us if system == "us" and self.words_us else self.words


@dataclass(frozen=True)
class Applied:
    """A usual change of a scenario: the row, the variant, and what has to be carried [kg]; None if nothing counts."""

    usual: Usual
    variant: Variant
    mass: float | None


@cache
def usual_changes() -> Mapping[str, Usual]:
    """All rows of the table by their names."""
    rows = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {
        name: Usual(name, **{key: _fixed(value) for key, value in row.items()}) for name, row in rows.items()
    }


def applied(scenario: Scenario) -> tuple[Applied, ...]:
    """The usual changes that apply to a scenario, in the order of the table."""
    return tuple(_applied(scenario))


def named(name: str) -> Usual:
    """A row by its name; InputError if there is none."""
    rows = usual_changes()
    if name in rows:
        return rows[name]
    todo = nearest(name, rows) or "Take one of these names"
    raise InputError(Fault("no usual change has this name", value=name, allowed=", ".join(rows), todo=todo))


def like_usual(scenario: Scenario, variant: Variant) -> Usual | None:
    """The usual change that sets the same keys, where that can pull either way; None where there is none.

    Another thickness of mat, say, has the reason of the mat in the table. What a variant takes away has not.
    """
    keys = {change.split(" = ")[0]: change for change in variant.changes}
    for row in usual_changes().values():
        more = row.times or row.plus or row.plus_count or row.line or row.swap
        if more or row.cot != "either" or set(row.set) != set(keys) or not _applies(row, scenario):
            continue
        if all(change.endswith('= "none"') == (row.set[key] == "none") for key, change in keys.items()):
            return row
    return None


def _applied(scenario: Scenario) -> Iterator[Applied]:
    for row in usual_changes().values():
        if not _applies(row, scenario):
            continue
        changes = replacements(row, scenario)
        if not changes:
            continue
        try:
            variant = of_changes(scenario, row.name, changes)
        except InputError:  # it does not go together with something that this scenario says
            continue
        if not variant.same:
            yield Applied(row, variant, carried(row, scenario, variant.scenario))


def _applies(row: Usual, scenario: Scenario) -> bool:
    def there(key: str) -> bool:
        return value_at(scenario, tuple(dotted_key(key))) is not None

    stove, wood = scenario.stove, scenario.wood
    return (
        all(map(there, row.needs))
        and not any(map(there, row.lacks))
        and (not row.leaks or scenario.leak_below_skirt > 0.0)
        and (not row.steel or (stove is not None and stove.sheet.metal == "steel"))
        and (not row.stands or (stove is not None and stove.stands in row.stands))
        and (wood is None or row.wetter <= wood.moisture <= row.drier)
    )


def _fixed(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
