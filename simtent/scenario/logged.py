"""The scenario of a logged night: what [[log]] lays over it for that night alone."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.logs import Log
from simtent.scenario.read import read_file, read_replacements
from simtent.scenario.scenario import Scenario, build
from simtent.scenario.tree import NONE, Items, Path, Table, dotted, find, merge

IN_THE_OPEN = ("damp", "heat")  # tables that are of no use there
OF_ALL_NIGHTS = ("fit", "fitted")  # tables that name numbers of other nights too


def of_night(scenario: Scenario, log: Log, changes: Mapping[str, Any] | None = None) -> Scenario:
    """The scenario with a log's `with` laid over it, on the log's evening.

    What it says of a fit is left out: a night with an electric heater has none of the stove's numbers.

    log      one of `scenario.log`; of a burn in the open, the shelter is gone, and rules that watch a level
    changes  values by dotted keys, laid over all that before anything is checked, such as the outdoor air of
             that night in place of a forecast for another

    Raises InputError with every fault, each with the file it stands in.
    """
    trees = [scenario.tree, *_in_the_open(scenario, log)]
    if log.with_ is not None:
        trees.append(_overlay(scenario, log))
    apart = {name: NONE for name in OF_ALL_NIGHTS if name in scenario.tree.nodes}
    trees += read_replacements({"night.evening": log.evening.isoformat(), **apart, **(changes or {})})
    try:
        return build(merge(*trees), scenario.path)
    except InputError as error:
        raise InputError(_told(error, log)) from None


def check_overlays(scenario: Scenario) -> None:
    """InputError with every fault of the files that logs lay over the scenario for a night.

    A file of weather that does not reach back to that night is none: logs bring their own.
    """
    faults: list[Fault] = []
    for log in scenario.log:
        if log.with_ is None:
            continue
        try:
            of_night(scenario, log)
        except InputError as error:
            faults += (it for it in error.faults if not (it.key or "").startswith("outdoors.file"))
    if faults:
        raise InputError(dict.fromkeys(faults))


def _in_the_open(scenario: Scenario, log: Log) -> Iterator[Table]:
    if not log.in_the_open or scenario.shelter is None:
        return
    values = {"shelter": NONE, **{name: NONE for name in IN_THE_OPEN if name in scenario.tree.nodes}}
    if scenario.stoking and scenario.stoking.rule:
        values["stoking.rule"] = NONE
    yield from read_replacements(values)


def _overlay(scenario: Scenario, log: Log) -> Table:
    """The file that a log lays over the scenario; InputError if it is none, or names logs itself."""
    path: Path = ("log", scenario.log.index(log) if log in scenario.log else 0, "with")
    key = dotted(path)
    try:
        tree, faults = read_file(str(log.with_))
    except InputError as error:
        raise InputError(it if it.line else _where_named(it, path, scenario) for it in error.faults) from None
    named = tree.nodes.get("log")
    if named is not None:
        first = named.nodes[0] if isinstance(named, Items) and named.nodes else named
        what = f"{key} names this file, and it names logs itself"
        todo = "Leave [[log]] out there: the file holds for one night"
        faults = [*faults, Fault(what, str(log.with_), first.origin.line, "log", todo=todo)]
    if faults:
        raise InputError(faults)
    return tree


def _where_named(fault: Fault, path: Path, scenario: Scenario) -> Fault:
    """A fault of a file as a whole, told where the scenario names it."""
    origin = find(scenario.tree, path)[0].origin
    file = origin.file or str(scenario.path)
    return replace(fault, file=file, line=origin.line, key=dotted(path), value=fault.file)


def _told(error: InputError, log: Log) -> Iterator[Fault]:
    """The faults, each with the night it is of."""
    name = f", with {log.with_.name}" if log.with_ else ""
    return (replace(it, what=f"for the log of {log.evening}{name}: {it.what}") for it in error.faults)
