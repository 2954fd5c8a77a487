"""What `like` fills in: fields of a stove or a shelter from the tables, below what the scenario gives of its own."""

from collections.abc import Iterator

from simtent.errors import Fault
from simtent.scenario.faults import Places
from simtent.scenario.materials import shelter, shelter_names, stove, stove_names
from simtent.scenario.tree import Leaf, Origin, Table, find, is_none, plant_table

WHOLE = "marks"  # a table that is one thing: one's own marks take the place of all of the archetype's
ALL = "all"  # one's own layers of all the skin take the place of the archetype's of every part


def on_archetype(tree: Table) -> Table:
    """The tree, with missing fields of stove and shelter from those they are like; unchanged where there are none.

    A name that is not in the table is left to the field to refuse; another of the table stands in for it, so that
    the rest can be checked in the same run. So does the archetype's shape for another that was given.
    """
    return _on_shelter(_on_stove(tree))


def check_shape(tree: Table, places: Places) -> Iterator[Fault]:
    """The fault of a shape that is not that of the shelter named by `like`; `tree` as it was given."""
    name, (node, there) = _named(tree, "shelter"), find(tree, ("shelter", "shape"))
    if name not in shelter_names() or not there or not isinstance(node, Leaf) or is_none(node):
        return
    shape = shelter(name)["shelter"]["shape"]
    if node.value != shape:
        others = [other for other in shelter_names() if shelter(other)["shelter"]["shape"] == node.value]
        todo = f"Leave the shape out{', or be like another' if others else ''}; the shelter's own sizes win"
        fault = Fault(
            f'"{name}" is a "{shape}", and another shape is given',
            value=f'"{node.value}"',
            allowed=f'"{shape}"' + (f"; of the shape given: {', '.join(others)}" if others else ""),
            todo=todo,
        )
        yield places.put(fault, ("shelter", "shape"))


def _on_stove(tree: Table) -> Table:
    name, own = _named(tree, "stove"), tree.nodes.get("stove")
    if name is None or not isinstance(own, Table):
        return tree
    fields = stove(name if name in stove_names() else stove_names()[0])
    return _over(plant_table({"stove": fields}, lambda _at: _origin(own)), tree)


def _on_shelter(tree: Table) -> Table:
    name, own = _named(tree, "shelter"), tree.nodes.get("shelter")
    if name is None or not isinstance(own, Table):
        return tree
    fields = shelter(name if name in shelter_names() else _most_alike(own))
    shape = own.nodes.get("shape")
    if isinstance(shape, Leaf) and not is_none(shape):
        own = Table({**own.nodes, "shape": Leaf(fields["shelter"]["shape"], shape.origin)}, own.origin)
    if isinstance(skin := own.nodes.get("skin"), Table) and not is_none(skin.nodes.get(ALL, Leaf("none"))):
        del fields["shelter"]["skin"]
    return _over(
        plant_table(fields, lambda _at: _origin(own)), Table({**tree.nodes, "shelter": own}, tree.origin)
    )


def _named(tree: Table, table: str) -> str | None:
    """The name that a table says it is like; None if it is like none."""
    like, there = find(tree, (table, "like"))
    if not there or not isinstance(like, Leaf) or is_none(like):
        return None
    return like.value.strip().lower() if isinstance(like.value, str) else ""


def _origin(own: Table) -> Origin:
    """Where an archetype was named."""
    like = own.nodes["like"]
    return Origin("archetype", like.origin.file or like.origin.source, like.origin.line)


def _most_alike(own: Table) -> str:
    """The shelter of the table that has most of the keys that were given."""
    return max(shelter_names(), key=lambda name: len(own.nodes.keys() & shelter(name)["shelter"].keys()))


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
