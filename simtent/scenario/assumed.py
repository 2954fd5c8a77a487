"""What a scenario did not say and was therefore taken: defaults, and values of what it is like."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from simtent.scenario.effective import filled
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import Leaf, Path, Table, is_none, leaves

ASKED = ("fit", "fitted", "log", "trip", "carry", "wish")  # sections that ask or record, and move no night


@dataclass(frozen=True, slots=True)
class Assumed:
    """One value that was taken.

    path   its keys; "[]" stands for every entry of a list that says nothing of it
    value  as it would stand in a file
    like   the shelter or stove of the table it comes from; empty for a default
    """

    path: tuple[str, ...]
    value: str
    like: str


def assumed(scenario: Scenario) -> tuple[Assumed, ...]:
    """Every value that was taken, in the order of the file; none that was given, none that is "none"."""
    shape = scenario.shelter.shape if scenario.shelter else None
    found: dict[tuple[tuple[str, ...], str], Assumed] = {}
    for path, leaf in leaves(filled(scenario.tree, shape)):
        if leaf.origin.source not in ("default", "archetype") or is_none(leaf) or path[0] in ASKED:
            continue
        keys = tuple("[]" if isinstance(part, int) else part for part in path)
        like = _like(scenario, path) if leaf.origin.source == "archetype" else ""
        found.setdefault((keys, f"{leaf.value}"), Assumed(keys, _text(leaf), like))
    return tuple(_together(found.values()))


def _together(found: Iterable[Assumed]) -> Iterator[Assumed]:
    """A list's values in one line."""
    values: dict[tuple[tuple[str, ...], str], list[str]] = {}
    for one in found:
        values.setdefault((one.path, one.like), []).append(one.value)
    for (path, like), several in values.items():
        yield Assumed(path, ", ".join(several), like)


def _like(scenario: Scenario, path: Path) -> str:
    own = scenario.tree.nodes.get("stove" if path[0] == "stove" else "shelter")
    named = own.nodes.get("like") if isinstance(own, Table) else None
    return f"{named.value}" if isinstance(named, Leaf) else ""


def _text(leaf: Leaf) -> str:
    return f"{leaf.value}".lower() if isinstance(leaf.value, bool) else f"{leaf.value}"
