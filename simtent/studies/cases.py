"""The nights of a study: a scenario and its variations, or scenarios of one's own."""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

from simtent.errors import Fault, InputError
from simtent.scenario.effective import seen_from
from simtent.scenario.fields import path_fields
from simtent.scenario.read import read_replacements
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import NONE, Leaf, Table, dotted, leaves

Variation: TypeAlias = Mapping[str, Any]
# One night as it is handed to a worker: what to replace in the base, or a whole scenario.
Item: TypeAlias = Variation | Scenario


@dataclass(frozen=True)
class Cases:
    """The nights of a study.

    base   the scenario that the others are told from
    items  one for each night, in the order of the case numbers
    """

    base: Scenario
    items: Sequence[Item]
    # A file that many cases name is read once.
    _digest: Any = field(default_factory=lambda: cache(_file_digest), repr=False, compare=False)

    def told(self) -> dict[str, str]:
        """Every value of the base by its dotted key, as text."""
        return self._texts(seen_from(self.base.tree, self.base.path.parent), self.base.path.parent)

    def changes(self) -> Iterator[dict[str, str]]:
        """For every case, what differs from the base: dotted key -> value as text, "none" where it is gone."""
        told = self.told()
        for item in self.items:
            if isinstance(item, Scenario):
                folder = item.path.parent
                own = self._texts(seen_from(item.tree, folder), folder)
                gone = {key: NONE for key in told if key not in own}
                changed = {key: text for key, text in own.items() if told.get(key) != text} | gone
            else:
                changed = self._varied(item)
            yield dict(sorted(changed.items()))

    def _varied(self, variation: Variation) -> dict[str, str]:
        folder = self.base.path.parent
        texts: dict[str, str] = {}
        for tree in read_replacements(variation):
            texts |= self._texts(seen_from(tree, folder), folder)
        return texts

    def _texts(self, tree: Table, folder: Path) -> dict[str, str]:
        """Every value of a tree as text; a file is told by its path and what stands in it."""
        files = path_fields()
        found = {}
        for path, leaf in leaves(tree):
            text = _text(leaf)
            if path in files and isinstance(leaf.value, str) and leaf.value != NONE:
                text += f" sha256:{self._digest(os.path.normpath(folder / leaf.value))}"
            found[dotted(path)] = text
        return found


def cases_of(
    scenarios: Scenario | Sequence[Scenario], variations: Sequence[Variation] | None = None
) -> Cases:
    """The nights of a study out of what `study` was given; InputError where there are none."""
    if isinstance(scenarios, str | os.PathLike):
        raise TypeError("a study takes scenarios, as `simtent.load` gives them")
    if isinstance(scenarios, Scenario):
        items: Sequence[Item] = [{}] if variations is None else list(variations)
        if not all(isinstance(item, Mapping) for item in items):
            raise TypeError('a variation is a mapping of dotted keys: {"outdoors.shift": "-5 degF"}')
        base: Scenario | None = scenarios
    else:
        if variations is not None:
            raise TypeError("variations belong to one scenario; several scenarios stand for themselves")
        items = list(scenarios)
        base = next(iter(items), None) if all(isinstance(item, Scenario) for item in items) else None  # type: ignore[assignment]
        if items and base is None:
            raise TypeError("a study takes scenarios, as `simtent.load` gives them")
    if base is None or not items:
        raise InputError(Fault("a study without a night", todo="Give at least one scenario or variation"))
    return Cases(base, items)


def scenario_of(item: Item, base: Scenario) -> Scenario:
    """The scenario of one night; InputError for a variation that is none."""
    return item if isinstance(item, Scenario) else base.replace(item)


def _text(leaf: Leaf) -> str:
    return json.dumps(leaf.value, ensure_ascii=False, default=str)


def _file_digest(path: str) -> str:
    """The first half of the digest of a file; what the system says where it cannot be read."""
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:32]
    except OSError as error:
        return f"({error.strerror})"
