"""The scenario of a variant: what [variants] or a text such as "mat: shelter.floor.mat=none" lays over it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.fields import LISTS
from simtent.scenario.names import PRINTABLE, printable
from simtent.scenario.nearest import nearest
from simtent.scenario.read import read_replacements, read_settings
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.tree import Table, find, given_by, merge
from simtent.scenario.write import changed_from

APART = ("format", "name", "invented", "units", "variants", "night", "fit", "fitted", *LISTS)
EMPTY = Table()
BASE = "base"  # the night of the scenario itself
HOW = (
    'Write [variants.mat] and below it, for example, shelter.floor.mat = "20 mm closed-cell foam"; or '
    '--variant "mat: shelter.floor.mat=20 mm closed-cell foam"'
)


@dataclass(frozen=True, slots=True)
class Variant:
    """A scenario beside the one it is held against.

    name      its own
    changes   what it changes, each as key = value
    same      whether it says the same as the other one
    """

    name: str
    scenario: Scenario
    changes: tuple[str, ...]
    same: bool


def of_variant(scenario: Scenario, name: str) -> Variant:
    """The scenario with one of its own variants laid over it; InputError with every fault, or where there is none.

    Settings by --set stay on top of it, as they lie on top of the whole file.
    """
    node, there = find(scenario.tree, ("variants", name))
    if not there or not isinstance(node, Table) or name not in scenario.variants:
        todo = nearest(name, scenario.variants) or HOW
        known = ", ".join(scenario.variants) or "none in this scenario"
        raise InputError(
            Fault("there is no such variant", str(scenario.path), value=name, allowed=known, todo=todo)
        )
    return _laid(scenario, name, node, given_by(scenario.tree, "--set"))


def of_text(scenario: Scenario, text: str) -> Variant:
    """The variant that a text names: one of the scenario's own, or one that the text itself describes.

    text  "bare_floor", or "NAME: key=value; key=value", each change written as a setting; on top of --set
    """
    name, colon, changes = text.partition(":")
    name = name.strip()
    if not colon and "=" not in name:
        return of_variant(scenario, name)
    if "=" in name or not printable(name):
        what, todo = "a variant wants a name that can be printed before its colon", HOW
        raise InputError(Fault(what, "--variant", value=text, allowed=PRINTABLE, todo=todo))
    settings = [it for it in map(str.strip, changes.split(";")) if it]
    return _laid(scenario, name, merge(EMPTY, *read_settings(settings, "--variant")))


def of_changes(scenario: Scenario, name: str, changes: Mapping[str, Any]) -> Variant:
    """A variant by replacements, values by dotted keys."""
    return _laid(scenario, name, merge(EMPTY, *read_replacements(changes)))


def beside(scenario: Scenario, name: str, other: Scenario) -> Variant:
    """Another scenario as a variant; InputError unless its night has the same evening, begin and end."""
    mine, its = (f"{it.evening} {it.begin} to {it.end}, {it.zone}" for it in (scenario.night, other.night))
    if scenario.night.begin_utc != other.night.begin_utc or scenario.night.seconds != other.night.seconds:
        what = "its night is another one"
        todo = "Give both files the same [night], or lay one over the other by --with"
        raise InputError(Fault(what, str(other.path), key="night", value=its, allowed=mine, todo=todo))
    if (scenario.shelter is None) != (other.shelter is None):
        todo = "Compare shelters with shelters"
        raise InputError(
            Fault("a shelter and a stove in the open have no level in common", str(other.path), todo=todo)
        )
    changes = (f"the scenario of {other.path.name}",)
    return Variant(name, other, changes, other == scenario)


def check_variants(scenario: Scenario) -> None:
    """InputError with every fault of the scenario's own variants; each is built for it."""
    faults: list[Fault] = []
    for name in scenario.variants:
        try:
            of_variant(scenario, name)
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(dict.fromkeys(faults))


def twice(names: Iterable[str]) -> Iterator[Fault]:
    """A fault for every name of a variant that was there before, or is the base's."""
    seen = {BASE}
    for name in names:
        if name in seen:
            what = (
                "two variants have one name" if name != BASE else "the base is always there under this name"
            )
            yield Fault(what, "--variant", value=name, todo="Give one of them another name")
        seen.add(name)


def _laid(scenario: Scenario, name: str, table: Table, above: Table = EMPTY) -> Variant:
    if faults := [*_apart(name, table)]:
        raise InputError(faults)
    try:
        other = build(merge(scenario.tree, table, above), scenario.path)
    except InputError as error:
        raise InputError(_told(error, name)) from None
    return Variant(name, other, tuple(changed_from("", table)), other == scenario)


def _apart(name: str, table: Table) -> Iterator[Fault]:
    """A fault for everything that is no part of a night, or would make it another one."""
    for key, node in table.nodes.items():
        if key in APART:
            what = f"in the variant {name}: [{key}] cannot differ between nights that are compared"
            todo = "Leave it out here; another night is compared with `simtent night` and a file of its own"
            origin = node.origin
            yield Fault(what, origin.file or origin.source, origin.line, f"variants.{name}.{key}", todo=todo)
    if not table.nodes:
        origin = table.origin
        what, key = f"the variant {name} changes nothing", f"variants.{name}"
        yield Fault(what, origin.file or "--variant", origin.line, key, todo=HOW)


def _told(error: InputError, name: str) -> Iterator[Fault]:
    """The faults, each with the variant it is of."""
    return (replace(it, what=f"in the variant {name}: {it.what}") for it in error.faults)
