"""What `like` fills in: the fields of a stove from the table, below what the scenario gives of its own."""

from simtent.scenario.materials import stove, stove_names
from simtent.scenario.tree import Leaf, Origin, Table, find, is_none, plant_table

WHOLE = "marks"  # a table that is one thing: one's own marks take the place of all of the archetype's


def on_archetype(tree: Table) -> Table:
    """The tree, with a stove's missing fields from the one it is like; unchanged where it is like none.

    A name that is not in the table is left to the field to refuse; the first of the table stands in for it, so
    that the rest can be checked in the same run.
    """
    like, there = find(tree, ("stove", "like"))
    own = tree.nodes.get("stove")
    if not there or not isinstance(like, Leaf) or not isinstance(own, Table) or is_none(like):
        return tree
    name = like.value.strip().lower() if isinstance(like.value, str) else ""
    fields = stove(name if name in stove_names() else stove_names()[0])
    origin = Origin("archetype", like.origin.file or like.origin.source, like.origin.line)
    return Table({**tree.nodes, "stove": _over(plant_table(fields, lambda _at: origin), own)}, tree.origin)


def _over(archetype: Table, own: Table) -> Table:
    """One's own fields over the archetype's; a table that both have stands where one's own was given."""
    nodes = dict(archetype.nodes)
    for key, mine in own.nodes.items():
        below = nodes.get(key)
        if isinstance(below, Table) and isinstance(mine, Table) and key != WHOLE:
            nodes[key] = _over(below, mine)
        else:
            nodes[key] = mine
    return Table(nodes, own.origin)
