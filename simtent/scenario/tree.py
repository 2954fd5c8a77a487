"""Raw trees: what was given, before it means anything, each leaf with the place it came from."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Source = Literal["file", "--set", "--variant", "replace", "default", "archetype"]
Path = tuple[str | int, ...]

# The word that takes a key or a table away.
NONE = "none"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a leaf, a list or a table was given."""

    source: Source
    file: str | None = None
    line: int | None = None


DEFAULT = Origin("default")


@dataclass(frozen=True, slots=True)
class Leaf:
    """One value as it was given: text, number, truth value, or what TOML made of a date or time."""

    value: Any
    origin: Origin = DEFAULT


@dataclass(frozen=True, slots=True)
class Items:
    """A list; merging replaces it whole."""

    nodes: tuple["Node", ...]
    origin: Origin = DEFAULT


@dataclass(frozen=True, slots=True)
class Table:
    """Keys and what they hold; merging goes into it."""

    nodes: Mapping[str, "Node"] = field(default_factory=dict)
    origin: Origin = DEFAULT


Node = Leaf | Items | Table


def plant(value: object, origin_at: Callable[[Path], Origin], path: Path = ()) -> Node:
    """A raw tree of nested Python values; `origin_at` tells the place of each path."""
    origin = origin_at(path)
    if isinstance(value, Mapping):
        return Table(
            {str(key): plant(item, origin_at, (*path, str(key))) for key, item in value.items()}, origin
        )
    if isinstance(value, list | tuple):
        return Items(tuple(plant(item, origin_at, (*path, n)) for n, item in enumerate(value)), origin)
    return Leaf(NONE if value is None else value, origin)


def plant_table(value: Mapping[str, object], origin_at: Callable[[Path], Origin]) -> Table:
    """A raw table of a nested Python mapping, see `plant`."""
    return Table({key: plant(item, origin_at, (key,)) for key, item in value.items()}, origin_at(()))


def merge(*tables: Table) -> Table:
    """One table out of several, the later ones winning: tables merge, all else is replaced whole.

    The word "none" stays in the merged tree as a leaf, so that it also takes a default away.
    """
    merged: dict[str, Node] = {}
    origin = tables[0].origin if tables else DEFAULT
    for table in tables:
        for key, node in table.nodes.items():
            below = merged.get(key)
            merged[key] = merge(below, node) if isinstance(below, Table) and isinstance(node, Table) else node
    return Table(merged, origin)


def is_none(node: Node) -> bool:
    """Whether the node is the word that takes away."""
    return isinstance(node, Leaf) and node.value == NONE


def without_none(table: Table) -> Table:
    """The table after "none" has taken away what it names."""
    kept = {key: _without_none(node) for key, node in table.nodes.items() if not is_none(node)}
    return Table(kept, table.origin)


def _without_none(node: Node) -> Node:
    """The same in tables that stand in a list; its other entries stay."""
    if isinstance(node, Items):
        return Items(tuple(_without_none(item) for item in node.nodes), node.origin)
    return without_none(node) if isinstance(node, Table) else node


def plain(node: Node) -> Any:
    """Nested Python values without origins: dict, tuple, scalars."""
    if isinstance(node, Table):
        return {key: plain(item) for key, item in node.nodes.items()}
    if isinstance(node, Items):
        return tuple(plain(item) for item in node.nodes)
    return node.value


def leaves(node: Node, path: Path = ()) -> Iterator[tuple[Path, Leaf]]:
    """Every leaf with its path."""
    if isinstance(node, Leaf):
        yield path, node
    elif isinstance(node, Items):
        for position, item in enumerate(node.nodes):
            yield from leaves(item, (*path, position))
    else:
        for key, item in node.nodes.items():
            yield from leaves(item, (*path, key))


def change_leaves(node: Node, change: Callable[[Path, Leaf], Leaf], path: Path = ()) -> Node:
    """The same tree with every leaf passed through `change`."""
    if isinstance(node, Leaf):
        return change(path, node)
    if isinstance(node, Items):
        nodes = tuple(change_leaves(item, change, (*path, n)) for n, item in enumerate(node.nodes))
        return Items(nodes, node.origin)
    return change_table(node, change, path)


def change_table(table: Table, change: Callable[[Path, Leaf], Leaf], path: Path = ()) -> Table:
    """The same table with every leaf passed through `change`."""
    nodes = {key: change_leaves(item, change, (*path, key)) for key, item in table.nodes.items()}
    return Table(nodes, table.origin)


def change_at(table: Table, path: Path, change: Callable[[Leaf], Leaf]) -> Table:
    """The same table with the leaf at a path of keys passed through `change`; itself if there is none."""
    key, *rest = path
    node = table.nodes.get(str(key))
    if isinstance(node, Leaf) and not rest:
        changed: Node = change(node)
    elif isinstance(node, Table) and rest:
        changed = change_at(node, tuple(rest), change)
    elif isinstance(node, Items) and len(rest) > 1:  # "[]" stands for every entry
        below = tuple(rest[1:])
        changed = Items(
            tuple(change_at(it, below, change) if isinstance(it, Table) else it for it in node.nodes),
            node.origin,
        )
    else:
        return table
    return table if changed is node else Table({**table.nodes, str(key): changed}, table.origin)


def given_by(table: Table, source: Source) -> Table:
    """What of a table one source gave, with the tables above it."""
    nodes: dict[str, Node] = {}
    for key, node in table.nodes.items():
        if not isinstance(node, Table):
            if node.origin.source == source:
                nodes[key] = node
        elif (below := given_by(node, source)).nodes:
            nodes[key] = below
    return Table(nodes, table.origin)


def any_leaf(node: Node, test: Callable[[Any], bool]) -> bool:
    """Whether the value of any leaf passes a test."""
    if isinstance(node, Leaf):
        return test(node.value)
    nodes = node.nodes.values() if isinstance(node, Table) else node.nodes
    return any(any_leaf(item, test) for item in nodes)


def find(table: Table, path: Path) -> tuple[Node, bool]:
    """The node at a path, or the nearest one above it; and whether the whole path was there."""
    node: Node = table
    for part in path:
        if isinstance(node, Table) and part in node.nodes:
            node = node.nodes[str(part)]
        elif isinstance(node, Items) and isinstance(part, int) and part < len(node.nodes):
            node = node.nodes[part]
        else:
            return node, False
    return node, True


def dotted(path: Path) -> str:
    """The path as people write it: shelter.length, heat.table[3].power, fit.spread."model.walls"."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
            continue
        key = f'"{part}"' if "." in part else part
        text += f".{key}" if text else key
    return text
