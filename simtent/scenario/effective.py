"""The raw tree with every default filled in, each as it would stand in a file."""

from dataclasses import replace
from os import path as os_path
from pathlib import Path

from simtent.scenario.fields import SECTIONS, Heading, inner_model, is_list, path_fields, section_model
from simtent.scenario.section import Section
from simtent.scenario.site import USUAL_LEVELS
from simtent.scenario.tree import DEFAULT, NONE, Leaf, Node, Table, change_table, is_none, merge, plant_table
from simtent.scenario.tree import Path as TreePath


def seen_from(tree: Table, folder: Path) -> Table:
    """The tree with every path to a file as seen from the folder, whichever file named it."""

    def change(path: TreePath, leaf: Leaf) -> Leaf:
        if path not in path_fields() or not isinstance(leaf.value, str) or is_none(leaf):
            return leaf
        base = Path(leaf.origin.file).parent if leaf.origin.file else folder
        return replace(leaf, value=Path(os_path.relpath(base / leaf.value, folder)).as_posix())

    return change_table(tree, change)


def emptied(whole: Table) -> Table:
    """The tree with `contents = "none"` read as no mass: here "none" takes away what is there by default."""
    shelter = whole.nodes.get("shelter")
    if not isinstance(shelter, Table):
        return whole
    contents = shelter.nodes.get("contents")
    if contents is None or not is_none(contents):
        return whole
    nothing = Table({"mass": Leaf("0 kg", contents.origin)}, contents.origin)
    shelter = Table({**shelter.nodes, "contents": nothing}, shelter.origin)
    return Table({**whole.nodes, "shelter": shelter}, whole.origin)


def filled(tree: Table, shape: str) -> Table:
    """A valid tree with the defaults of all its fields; a field without value stands as "none"."""
    tree = emptied(tree)
    levels = merge(plant_table({"levels": USUAL_LEVELS}, lambda _at: DEFAULT), tree).nodes["levels"]
    nodes = dict(_filled(Heading, Table({k: v for k, v in tree.nodes.items() if k not in SECTIONS})).nodes)
    for name in SECTIONS:
        model = section_model(name, shape)
        below = tree.nodes.get(name)
        nodes[name] = _filled(model, below if isinstance(below, Table) else Table()) if model else levels
    return Table(nodes, tree.origin)


def _filled(model: type[Section], table: Table) -> Table:
    nodes: dict[str, Node] = {}
    for name, info in model.model_fields.items():
        inner = inner_model(info)
        node = table.nodes.get(name)
        given = node is not None and not is_none(node)
        if inner and not is_list(info) and (given or info.default is not None):
            nodes[name] = _filled(inner, node if isinstance(node, Table) else Table())
        elif given and node is not None:
            nodes[name] = node
        else:
            nodes[name] = Leaf(NONE if info.default is None else info.default)
    return Table(nodes, table.origin)
