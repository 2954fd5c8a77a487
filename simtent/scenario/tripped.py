"""The scenario of a night of a trip: its evening and its weather, laid over the scenario."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from simtent.errors import Fault, InputError
from simtent.scenario.faults import Places
from simtent.scenario.outdoors import AIR_OUTSIDE, SHIFTS, WIND
from simtent.scenario.scenario import Scenario
from simtent.scenario.tree import find, plain

HOURS = {"low": "06:00", "high": "15:00"}  # where [outdoors] has no low and high; common practice, no source


def of_trip(scenario: Scenario, number: int, *, colder: float = 0.0) -> Scenario:
    """The scenario on the evening and in the weather of a night of its trip.

    number  of the night in `scenario.trip`, from 0
    colder  by how much the air is colder at all times [K]

    Raises InputError with every fault, each at the night that it is of.
    """
    night = scenario.trip[number]
    changes: dict[str, Any] = {"night.evening": night.evening.isoformat(), **_weather(scenario, number)}
    if colder:
        changes["outdoors.shift"] = SHIFTS.text(scenario.outdoors.shift - colder)
    try:
        return scenario.replace(changes)
    except InputError as error:
        raise InputError(_told(error, scenario, number)) from None


def _weather(scenario: Scenario, number: int) -> dict[str, Any]:
    """Replacements of [outdoors] for a night."""
    night, outdoors = scenario.trip[number], scenario.outdoors
    changes: dict[str, Any] = {}
    if night.wind is not None:
        changes["outdoors.wind"] = WIND.text(night.wind)
    if night.low is None and night.file is None:
        return changes
    changes |= {f"outdoors.{name}": "none" for name in ("steady", "high", "low", "file")}
    if night.file is not None:
        return changes | {"outdoors.file": _file(scenario, number)}
    for name in ("high", "low"):
        moment = getattr(outdoors, name)
        at = HOURS[name] if moment is None else moment.at
        changes[f"outdoors.{name}"] = {"at": at, "air": AIR_OUTSIDE.text(getattr(night, name))}
    return changes


def _file(scenario: Scenario, number: int) -> dict[str, Any]:
    """A night's file as it was written, its path whole."""
    given: dict[str, Any] = plain(find(scenario.tree, ("trip", number, "file"))[0])
    file = scenario.trip[number].file
    assert file is not None
    return given | {"path": str(file.path)}


def _told(error: InputError, scenario: Scenario, number: int) -> Iterator[Fault]:
    """The faults, each with the night it is of and the line where that begins."""
    places = Places(scenario.tree, scenario.tree, str(scenario.path))
    for fault in error.faults:
        what = f"for the night of {scenario.trip[number].evening}: {fault.what}"
        key = ("trip", number, "file") if scenario.trip[number].file else ("trip", number)
        told = places.put(replace(fault, what=what, file=None, line=None, key=None), key)
        yield replace(told, value=fault.value)
