"""[factors] of a study file made into factors: lists of levels, spans of numbers, what is believed of a number."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.beliefs import belief
from simtent.scenario.fields import path_fields
from simtent.scenario.free import Free, free
from simtent.scenario.numbers import in_unit
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.tree import NONE, Items, Leaf, Node, Table, change_at, dotted, merge, plain
from simtent.scenario.tree import Path as Keys
from simtent.surveys.factors import FEWEST_STEPS, Choice, Factor, Level, Span
from simtent.surveys.given import Given

SPAN = ("from", "to", "steps")
SPREAD = "spread"
MOST_STEPS = 1000
FORMS = (
    'Write a list of levels, { from = "...", to = "...", steps = 5 }, or "spread" for what is believed of it'
)


def factors_of(found: Given, bases: Sequence[Scenario], *, grid: bool) -> list[Factor]:
    """The factors of [factors]; what is wrong with them is noted."""
    made = []
    for keys, node in _leaves(found.table("factors"), ()):
        factor = _factor(found, keys, node, bases, grid=grid)
        if factor is not None:
            made.append(factor)
    return made


def _leaves(table: Table, above: Keys) -> Iterator[tuple[Keys, Node]]:
    """Every factor with its key: TOML makes tables of a dotted one. An empty table is a factor, to be refused."""
    for key, node in table.nodes.items():
        if isinstance(node, Table) and not set(node.nodes) <= set(SPAN):
            yield from _leaves(node, (*above, key))
        else:
            yield (*above, key), node


def _factor(found: Given, keys: Keys, node: Node, bases: Sequence[Scenario], *, grid: bool) -> Factor | None:
    """One factor, or nothing, its faults noted."""
    place = ("factors", *keys)
    if isinstance(node, Items):
        return _choice(found, keys, node, bases)
    if isinstance(node, Leaf) and node.value != SPREAD:
        found.refuse(place, "a factor is wanted", todo=FORMS)
        return None
    try:
        it = free(bases[0], dotted(keys))
        span = _span(found, place, node, it, grid=grid) if isinstance(node, Table) else _spread(bases[0], it)
    except InputError as error:
        found.at(place, error.faults)
        return None
    if span is None:
        return None
    ends = [_fits(found, place, node, span.at(end).changes, bases) for end in (0.0, 1.0)]
    return span if all(ends) else None


def _choice(found: Given, keys: Keys, node: Items, bases: Sequence[Scenario]) -> Choice | None:
    place, key = ("factors", *keys), dotted(keys)
    if not node.nodes:
        found.refuse(
            place, "a factor without a level", todo="Give at least one level, or leave the factor out"
        )
        return None
    levels, fit = [], True
    for number, level in enumerate(node.nodes):
        value = plain(whole_paths(keys, level, found.path.parent))
        levels.append(Level(label(value), {key: value}))
        fit = _fits(found, (*place, number), level, {key: value}, bases) and fit
    if len({level.label for level in levels}) < len(levels):
        found.refuse(place, "the same level twice", todo="Give each level once")
        return None
    return Choice(key, tuple(levels)) if fit else None


def label(value: Any) -> str:
    """What a level is called: a text as it stands, else as TOML has it."""
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str)


def whole_paths(keys: Keys, node: Node, folder: Path) -> Node:
    """A level, in which files are named from the study file's folder, with their whole paths."""

    def whole(leaf: Leaf) -> Leaf:
        own = not isinstance(leaf.value, str) or leaf.value == NONE
        return leaf if own else replace(leaf, value=str((folder / leaf.value).absolute()))

    table = _nested(keys, node)
    for field in path_fields():
        table = change_at(table, field, whole)
    for key in keys:
        node = table.nodes[str(key)] if isinstance(table, Table) else node
        table = node if isinstance(node, Table) else Table()
    return node


def _nested(keys: Keys, node: Node) -> Table:
    """A node as it stands in a scenario."""
    *above, last = (str(key) for key in keys)
    table = Table({last: node}, node.origin)
    for key in reversed(above):
        table = Table({key: table}, node.origin)
    return table


def _span(found: Given, place: Keys, node: Table, it: Free, *, grid: bool) -> Span | None:
    ends, begun = [], len(found.faults)
    for name in ("from", "to"):
        written = plain(node.nodes[name]) if name in node.nodes else None
        if written is None:
            found.refuse(place, f"a span without `{name}`", todo=FORMS)
            continue
        try:
            ends.append(in_unit(it, written))
        except InputError as error:
            found.at((*place, name), error.faults)
    steps = plain(node.nodes["steps"]) if "steps" in node.nodes else None
    if steps is None and grid:
        found.refuse(place, "a grid wants to know how many levels", todo="Add steps = 5, or list the levels")
    if steps is not None and not (isinstance(steps, int) and FEWEST_STEPS <= steps <= MOST_STEPS):
        allowed = f"{FEWEST_STEPS} to {MOST_STEPS}"
        found.refuse(
            (*place, "steps"), "a number of levels is wanted", allowed, "Write for example steps = 5"
        )
    if len(found.faults) > begun:
        return None
    if ends[0] == ends[1]:
        found.refuse(
            place, "a span from a number to itself", todo="Give it another end, or put it into [fixed]"
        )
        return None
    return Span(it, ends[0], ends[1], steps or FEWEST_STEPS)


def _spread(base: Scenario, it: Free) -> Span:
    return Span(it, it.number, it.number, 3, belief(base, it.name))


def _fits(
    found: Given, place: Keys, node: Node, changes: Mapping[str, Any], bases: Sequence[Scenario]
) -> bool:
    """Whether every scenario can have the level; else its faults are noted."""
    every = [fits(found, place, node, changes, base) for base in bases]  # all faults, not only the first
    return all(every)


def fits(found: Given, place: Keys, node: Node, changes: Mapping[str, Any], base: Scenario) -> bool:
    """Whether a scenario can be changed so; else its faults are noted, where the level stands."""
    try:
        if isinstance(node, Leaf | Items) and len(changes) == 1 and isinstance(place[-1], int):
            build(merge(base.tree, _nested(place[1:-1], node)), base.path)  # a fault then names its own line
        else:
            base.replace(changes)
    except InputError as error:
        found.at(place, (_here(fault, place, found, base) for fault in error.faults))
        return False
    return True


def _here(fault: Fault, place: Keys, found: Given, base: Scenario) -> Fault:
    """A fault of a scenario that a level brings about, told at the level."""
    if fault.file == str(found.path):
        return replace(fault, key=f"{place[0]}.{fault.key}")
    where = f"{fault.key}: " if fault.key and fault.key != dotted(place[1:]) else ""
    return replace(fault, what=f"{base.name} cannot have it: {where}{fault.what}", file=None, line=None)
