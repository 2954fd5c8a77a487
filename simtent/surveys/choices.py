"""[choices] of a study file: factors whose levels change several keys at once, each level under a name of its own."""

from collections.abc import Iterator, Sequence
from typing import Any

from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import Node, Table, dotted, plain
from simtent.scenario.tree import Path as Keys
from simtent.surveys.factors import Choice, Level
from simtent.surveys.given import Given
from simtent.surveys.levels import fits, whole_paths

TODO = 'Write [choices.NAME], and below it level = { a.key = "value" }; an empty { } is the scenario as it is'


def choices_of(found: Given, bases: Sequence[Scenario]) -> list[Choice]:
    """The factors of [choices]; what is wrong with them is noted."""
    made = []
    for name, node in found.table("choices").nodes.items():
        levels = list(_levels(found, name, node, bases))
        if levels and isinstance(node, Table) and len(levels) == len(node.nodes):
            made.append(Choice(name, tuple(levels)))
    return made


def _levels(found: Given, name: str, node: Node, bases: Sequence[Scenario]) -> Iterator[Level]:
    if not isinstance(node, Table) or not node.nodes:
        found.refuse(("choices", name), "a choice without levels", todo=TODO)
        return
    for label, level in node.nodes.items():
        place = ("choices", name, label)
        if not isinstance(level, Table):
            found.refuse(place, "a level that changes no key", todo=TODO)
            continue
        changes = {
            dotted(keys): plain(whole_paths(keys, it, found.path.parent)) for keys, it in _keys(level, ())
        }
        fit = [fits(found, place, level, changes, base) for base in bases]
        if all(fit):
            yield Level(label, changes)


def _keys(table: Table, above: Keys) -> Iterator[tuple[Keys, Any]]:
    """What a level changes, by the keys of a scenario."""
    for key, node in table.nodes.items():
        if isinstance(node, Table) and node.nodes:
            yield from _keys(node, (*above, key))
        else:
            yield (*above, key), node
