"""The raw tree with every default filled in, each as it would stand in a file."""

from dataclasses import replace
from os import path as os_path
from pathlib import Path

from pydantic.fields import FieldInfo

from simtent.scenario.archetype import on_archetype
from simtent.scenario.fields import (
    OPTIONAL,
    SECTIONS,
    Heading,
    inner_model,
    is_list,
    is_named,
    keys_of,
    path_fields,
    section_model,
)
from simtent.scenario.section import Section
from simtent.scenario.site import USUAL_LEVELS
from simtent.scenario.tree import (
    DEFAULT,
    NONE,
    Items,
    Leaf,
    Node,
    Table,
    change_at,
    is_none,
    merge,
    plant,
    plant_table,
)


def seen_from(tree: Table, folder: Path) -> Table:
    """The tree with every path to a file as seen from the folder, whichever file named it."""

    def change(leaf: Leaf) -> Leaf:
        if not isinstance(leaf.value, str) or is_none(leaf):
            return leaf
        base = Path(leaf.origin.file).parent if leaf.origin.file else folder
        return replace(leaf, value=Path(os_path.relpath(base / leaf.value, folder)).as_posix())

    for path in path_fields():
        tree = change_at(tree, path, change)
    variants = tree.nodes.get("variants")
    if not isinstance(variants, Table):
        return tree
    nodes = {
        key: seen_from(it, folder) if isinstance(it, Table) else it for key, it in variants.nodes.items()
    }
    return Table({**tree.nodes, "variants": Table(nodes, variants.origin)}, tree.origin)


def emptied(whole: Table) -> Table:
    """The tree with `contents = "none"` read as no mass, and a log's `shelter = "none"` as a burn in the open.

    Here "none" takes away what is there by default.
    """
    logs = whole.nodes.get("log")
    if isinstance(logs, Items):
        whole = Table(
            {**whole.nodes, "log": Items(tuple(map(_in_the_open, logs.nodes)), logs.origin)}, whole.origin
        )
    shelter = whole.nodes.get("shelter")
    if not isinstance(shelter, Table):
        return whole
    contents = shelter.nodes.get("contents")
    if contents is None or not is_none(contents):
        return whole
    nothing = Table({"mass": Leaf("0 kg", contents.origin)}, contents.origin)
    shelter = Table({**shelter.nodes, "contents": nothing}, shelter.origin)
    return Table({**whole.nodes, "shelter": shelter}, whole.origin)


def _in_the_open(log: Node) -> Node:
    shelter = log.nodes.get("shelter") if isinstance(log, Table) else None
    if not isinstance(log, Table) or shelter is None or not is_none(shelter):
        return log
    return Table({**log.nodes, "shelter": Leaf("in the open", shelter.origin)}, log.origin)


def filled(tree: Table, shape: str | None) -> Table:
    """A valid tree with the defaults of all its fields; a field or table without value stands as "none"."""
    tree = on_archetype(emptied(tree))
    levels = merge(plant_table({"levels": USUAL_LEVELS}, lambda _at: DEFAULT), tree).nodes["levels"]
    nodes = dict(_filled(Heading, Table({k: v for k, v in tree.nodes.items() if k not in SECTIONS})).nodes)
    for name in SECTIONS:
        model, below = section_model(name, shape), tree.nodes.get(name)
        if name == "levels":
            nodes[name] = levels
        elif model is None or (name in OPTIONAL and not isinstance(below, Table)):
            nodes[name] = Leaf(NONE)
        else:
            nodes[name] = _filled(model, below if isinstance(below, Table) else Table())
    return Table(nodes, tree.origin)


def _filled(model: type[Section], table: Table) -> Table:
    nodes: dict[str, Node] = {}
    for name, info in keys_of(model).items():
        node = table.nodes.get(name)
        given = node is not None and not is_none(node)
        nodes[name] = _field(info, node if given else None)
    return Table(nodes, table.origin)


def _field(info: FieldInfo, node: Node | None) -> Node:
    """A field as it was given, with the defaults of the tables in it; or its default."""
    inner = inner_model(info)
    if inner is None or (node is None and info.default is None):
        return plant(info.default, lambda _at: DEFAULT) if node is None else node
    if isinstance(node, Items):
        entries = (_filled(inner, it) if isinstance(it, Table) else it for it in node.nodes)
        return Items(tuple(entries), node.origin)
    if is_list(info):
        return plant(info.default, lambda _at: DEFAULT) if node is None else node
    table = node if isinstance(node, Table) else Table()
    if is_named(info):
        named = {key: _filled(inner, it) if isinstance(it, Table) else it for key, it in table.nodes.items()}
        return Table(named, table.origin)
    return _filled(inner, table)
