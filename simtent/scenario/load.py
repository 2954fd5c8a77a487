"""Load a scenario: file, overlays, settings, in this order."""

from collections.abc import Iterable, Iterator
from itertools import product
from pathlib import Path

from simtent.errors import Fault, InputError
from simtent.scenario.fields import LISTS
from simtent.scenario.logged import check_overlays
from simtent.scenario.read import read_file, read_settings
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.tree import Table, merge
from simtent.scenario.varied import check_variants


def load(
    path: str | Path,
    *,
    overlays: str | Path | Iterable[str | Path] = (),
    settings: str | Iterable[str] = (),
) -> Scenario:
    """Load a scenario file.

    `overlays` are files of partial scenarios, `settings` texts such as "model.walls=1.2", one or several; the
    later wins.
    Tables merge, lists are replaced whole, the word "none" takes a key or a table away. Raises InputError
    with every fault.
    """
    if isinstance(overlays, str | Path):
        overlays = (overlays,)
    if isinstance(settings, str):
        settings = (settings,)
    trees: list[Table] = []
    faults: list[Fault] = []
    unread: list[Fault] = []
    for file in (path, *overlays):
        try:
            tree, found = read_file(file)
        except InputError as error:
            unread += error.faults
        else:
            trees.append(tree)
            faults += found
    try:
        trees += read_settings(settings)
    except InputError as error:
        unread += error.faults
    if unread:  # without one of them no other fault is certain
        raise InputError([*unread, *faults])
    if inside := list(_inside_a_list(trees[1:])):
        raise InputError([*inside, *faults])
    scenario = build(merge(*trees), Path(path), faults)
    check_overlays(scenario)
    if len(trees) == 1:  # under overlays and settings a variant need not fit: it is told when it is asked for
        check_variants(scenario)
    return scenario


def _inside_a_list(trees: Iterable[Table]) -> Iterator[Fault]:
    """A fault for every overlay or setting that names one field of a listed table: the list is replaced whole."""
    for tree, name in product(trees, LISTS):
        node = tree.nodes.get(name)
        if isinstance(node, Table):
            origin = node.origin
            where = origin.file or origin.source
            todo = f"Change it in the scenario file, or lay a file over it that has every [[{name}]] in full"
            what = f"a single field of a [[{name}]] cannot be changed from outside"
            yield Fault(what, where, origin.line, name, todo=todo)
