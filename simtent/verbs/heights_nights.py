"""The nights that `heights` compares: every scenario built before the first is simulated, each simulated once."""

import argparse
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simtent.errors import InputError
from simtent.verbs import outputs
from simtent.verbs.heights_asked import Change, Wanted

if TYPE_CHECKING:
    import xarray as xr

    from simtent.scenario.scenario import Scenario
    from simtent.tell.compared import Comparison


@dataclass(frozen=True, slots=True)
class Prepared:
    """A comparison whose scenarios are built: its nights in their order, each with what it changes."""

    wanted: Wanted
    nights: tuple[tuple[Change, "Scenario"], ...]


def with_damp(scenario: "Scenario") -> "Scenario":
    """The scenario with damp counted by the usual numbers, unless it says something of damp itself."""
    return scenario if "damp" in scenario.tree.nodes else scenario.replace("damp", {})


def prepared(wanted: Iterable[Wanted], scenario: "Scenario") -> list[Prepared]:
    """The scenarios of every comparison, the file's own among them; InputError with every fault of all."""
    found, faults = [], []
    for one in wanted:
        nights = []
        for change in one.changes:
            try:
                other = scenario.replace(change.replaces)
                nights.append((change, scenario if other == scenario else other))
            except InputError as error:
                faults += [replace(fault, file=one.option, line=None) for fault in error.faults]
        if all(other is not scenario for _, other in nights):
            nights.append((one.given, scenario))
        if one.given.value is not None:
            nights.sort(key=lambda night: night[0].value or 0.0)
        found.append(Prepared(one, tuple(nights)))
    if faults:
        raise InputError(faults)
    return found


def simulated(
    comparisons: Iterable[Prepared], scenario: "Scenario", dataset: "xr.Dataset", options: argparse.Namespace
) -> Iterator["Comparison"]:
    """Every comparison with its nights simulated; the file's own is there already."""
    from simtent.simulate import plain  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.compared import Comparison, Other  # noqa: PLC0415

    for one in comparisons:
        others = []
        for change, other in one.nights:
            given = other is scenario
            if not given:
                outputs.progress(options, f"Simulating {one.wanted.what} {change.words}")
            night = dataset if given else plain(other)
            others.append(Other(change.words, other, night, change.value, given))
        yield Comparison(one.wanted.what, tuple(others), one.wanted.caution)
