"""A study file as it was written: its keys read one by one, each fault with file, line, key, value and what to do."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.nearest import nearest
from simtent.scenario.read import read_file
from simtent.scenario.tree import Items, Leaf, Node, Table, dotted, find, plain
from simtent.scenario.tree import Path as Keys

KEYS = {
    "format": "version of the file format; 1 is the only one so far",
    "name": "name of the study",
    "scenario": "scenario file, relative to the study file; or a list of them",
    "method": "how cases are laid out",
    "cases": "nights at most; a grid has as many as its levels make",
    "seed": "whole number from which a method draws",
    "outputs": "what is asked of each night",
    "keep": "further variables to keep of each night",
    "fixed": "keys of the scenario that are changed for all cases",
    "factors": "keys of the scenario with their levels",
    "choices": "factors whose levels change several keys, under names of one's own",
    "nights": "nights by low, high, wind, cloud or evening",
    "weather": "a long file of outdoor air from which nights are cut by date",
}


@dataclass
class Given:
    """The raw tree of a study file, and the faults found in it so far."""

    path: Path
    tree: Table
    faults: list[Fault] = field(default_factory=list)

    def node(self, *keys: str | int) -> Node | None:
        """What stands at a path of keys."""
        found, there = find(self.tree, keys)
        return found if there else None

    def fault(self, keys: Keys, what: str, allowed: str | None = None, todo: str | None = None) -> Fault:
        """A fault at a path of keys, with the value that stands there, or at the table where it is missing."""
        node, there = find(self.tree, keys)
        value = str(node.value) if there and isinstance(node, Leaf) else None
        return Fault(what, str(self.path), node.origin.line, dotted(keys), value, allowed, todo)

    def refuse(self, keys: Keys, what: str, allowed: str | None = None, todo: str | None = None) -> None:
        """Note a fault."""
        self.faults.append(self.fault(keys, what, allowed, todo))

    def at(self, keys: Keys, faults: Iterable[Fault]) -> None:
        """Note faults that have no place of their own at a path of keys."""
        for fault in faults:
            here = self.fault(keys, fault.what, fault.allowed, fault.todo)
            own = fault.file not in (None, "replace", "--set")
            self.faults.append(fault if own else replace(here, value=fault.value or here.value))

    def text(self, key: str, default: str = "") -> str:
        """A text; the default where there is none."""
        value = self._plain(key, default)
        if not isinstance(value, str) or not value.strip() or not value.isprintable():
            if key not in self.tree.nodes:
                return default
            self.refuse((key,), "a text is wanted", todo="Write it in quotes")
            return default
        return value.strip()

    def texts(self, key: str, default: Sequence[str] = ()) -> tuple[str, ...]:
        """A list of texts, or one text."""
        value = self._plain(key, tuple(default))
        several = (value,) if isinstance(value, str) else value
        if isinstance(several, tuple) and all(isinstance(it, str) and it.strip() for it in several):
            if several:
                return tuple(it.strip() for it in several)
            self.refuse((key,), "a list without an entry", todo="Write at least one, or leave the key out")
            return tuple(default)
        self.refuse((key,), "a list of texts is wanted", todo='Write for example ["one", "two"]')
        return tuple(default)

    def whole(self, key: str, low: int, high: int) -> int | None:
        """A whole number between two others; None where there is none."""
        value = self._plain(key, None)
        if value is None:
            return None
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self.refuse((key,), "a whole number is wanted", f"{low} to {high:,}", "Write it without quotes")
        return None

    def table(self, key: str) -> Table:
        """A table; an empty one where there is none."""
        found = self.tree.nodes.get(key, Table())
        if isinstance(found, Table):
            return found
        self.refuse((key,), "a table is wanted", todo=f"Write [{key}] and its keys below it")
        return Table()

    def entries(self, key: str) -> Iterator[tuple[int, Table]]:
        """The tables of a list, with their numbers."""
        found = self.tree.nodes.get(key, Items(()))
        nodes = found.nodes if isinstance(found, Items) else (found,)
        for number, node in enumerate(nodes):
            if isinstance(node, Table) and isinstance(found, Items):
                yield number, node
            else:
                self.refuse(
                    (key,), "a list of tables is wanted", todo=f"Write [[{key}]], with double brackets"
                )

    def unknown(self, above: Keys, known: Iterable[str]) -> None:
        """Note every key of a table that is not known there."""
        table, _ = find(self.tree, above)
        words = list(known)
        for key in table.nodes if isinstance(table, Table) else ():
            if key not in words:
                todo = nearest(key, words) or "Leave it out"
                self.refuse((*above, key), f'unknown key "{key}"', ", ".join(words), todo)

    def _plain(self, key: str, default: Any) -> Any:
        return plain(self.tree.nodes[key]) if key in self.tree.nodes else default


def given(path: str | Path) -> Given:
    """The raw tree of a study file; InputError where there is none, or it is no TOML."""
    tree, faults = read_file(path)
    found = Given(Path(path), tree, list(faults))
    found.unknown((), KEYS)
    if "format" not in tree.nodes or plain(tree.nodes["format"]) != 1:
        found.refuse(("format",), "the version of the format is wanted", "1", "Write format = 1 at the top")
    return found


def raise_faults(found: Given) -> None:
    """InputError with every fault, in the order of the file; each once."""
    if found.faults:
        once = dict.fromkeys(found.faults)
        raise InputError(sorted(once, key=lambda it: (it.file != str(found.path), it.line or 0)))
