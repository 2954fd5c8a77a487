"""A raw tree written as TOML."""

import json
import re
from collections.abc import Iterator
from typing import Any

from simtent.scenario.tree import Items, Leaf, Node, Table, dotted

BARE = re.compile(r"[A-Za-z0-9_-]+")
WIDTH = 110


def toml_text(table: Table) -> str:
    """The table as TOML text; reading it gives the same values."""
    return "\n".join(_lines(table, ())).strip() + "\n"


def changed_from(file: str, table: Table, path: tuple[str, ...] = ()) -> Iterator[str]:
    """Every value that another place than the file gave, as key = value."""
    for key, node in table.nodes.items():
        here = (*path, key)
        if isinstance(node, Table):
            yield from changed_from(file, node, here)
        elif node.origin.source != "file" or node.origin.file != file:
            yield f"{dotted(here)} = {inline(node)}"


def _lines(table: Table, path: tuple[str, ...]) -> Iterator[str]:
    below = {key: node for key, node in table.nodes.items() if isinstance(node, Table)}
    if path and (len(below) < len(table.nodes) or not below):
        yield ""
        yield f"[{'.'.join(_key(part) for part in path)}]"
    for key, node in table.nodes.items():
        if key not in below:
            yield f"{_key(key)} = {_list(node) if isinstance(node, Items) else inline(node)}"
    for key, node in below.items():
        yield from _lines(node, (*path, key))


def _list(items: Items) -> str:
    """A list on one line if it is short, else an element a line."""
    line = inline(items)
    if len(line) <= WIDTH - 20 or not items.nodes:
        return line
    return "[\n" + "".join(f"    {inline(node)},\n" for node in items.nodes) + "]"


def inline(node: Node) -> str:
    """A value as it stands behind an equals sign, on one line."""
    if isinstance(node, Table):
        pairs = ", ".join(f"{_key(key)} = {inline(item)}" for key, item in node.nodes.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(node, Items):
        return f"[{', '.join(inline(item) for item in node.nodes)}]"
    return _scalar(node)


def _scalar(leaf: Leaf) -> str:
    value: Any = leaf.value
    if isinstance(value, bool):
        return "true" if value else "false"
    return _quoted(value) if isinstance(value, str) else repr(value)


def _key(key: str) -> str:
    return key if BARE.fullmatch(key) else _quoted(key)


def _quoted(text: str) -> str:
    # JSON escapes what TOML does, but for the one control character that JSON lets pass.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
