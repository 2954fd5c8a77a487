"""What [fitted] says, held against the numbers and levels that the scenario has."""

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from simtent.errors import Fault, InputError
from simtent.scenario.faults import Places
from simtent.scenario.fitted import Axis, Fitted, Found
from simtent.scenario.free import Free
from simtent.scenario.nearest import nearest
from simtent.scenario.numbers import Numbers, added, in_unit, is_away
from simtent.scenario.site import Levels
from simtent.scenario.tree import Path

Told = tuple[Path, Fault]
OTHERS = ("stove", "pipe")  # places of sensors that are no level
FIT_AGAIN = "Fit again, or correct it by hand"


def check_fitted(parts: Mapping[str, BaseModel], places: Places) -> Iterator[Fault]:
    """Faults of what [fitted] says: numbers that are none, values of another kind, levels that are not there."""
    fitted = parts.get("fitted")
    if not isinstance(fitted, Fitted):
        return
    numbers, told = Numbers(parts, places), list[Told]()
    for number, found in enumerate(fitted.found):
        told += [((*("found", number), *path), fault) for path, fault in _of_found(found, numbers)]
    for number, axis in enumerate(fitted.axis):
        told += [((*("axis", number), *path), fault) for path, fault in _of_axis(axis, numbers)]
    levels = parts.get("levels")
    if isinstance(levels, Levels):
        told += _of_beyond(fitted, (*levels.root, *OTHERS))
    for path, fault in told:
        yield places.put(fault, ("fitted", *path))


def _of_found(found: Found, numbers: Numbers) -> Iterator[Told]:
    it = numbers.at(found.key)
    if isinstance(it, Fault) and not is_away(numbers.scenario, found.key):
        yield ("key",), it
    if not isinstance(it, Free):
        return
    read: dict[str, float] = {}
    for name in ("value", "low", "high"):
        try:
            read[name] = in_unit(it, getattr(found, name))
        except InputError as error:
            yield (name,), error.faults[0]
    if len(read) == 3 and not read["low"] <= read["value"] <= read["high"]:
        yield ("value",), Fault("the value lies outside its own interval", todo=FIT_AGAIN)


def _of_axis(axis: Axis, numbers: Numbers) -> Iterator[Told]:
    for name, held in (("times", axis.times), ("plus", axis.plus)):
        for key, amount in held.items():
            it = numbers.at(key)
            if isinstance(it, Fault) and not is_away(numbers.scenario, key):
                yield (name, key), it
            elif isinstance(it, Free):
                yield from (((name, key), fault) for fault in _of_move(name, it, amount))
    for key in set(axis.times) & set(axis.plus):
        yield ("plus", key), Fault("this number is moved twice", todo="Keep one of the two")


def _of_move(name: str, it: Free, amount: Any) -> Iterator[Fault]:
    if name == "times" and it.number <= 0.0:
        yield Fault("no factor moves what is 0 or below", todo="Write it under plus, with its unit")
    if name == "plus":
        try:
            added(it, amount)
        except InputError as error:
            yield error.faults[0]


def _of_beyond(fitted: Fitted, known: tuple[str, ...]) -> Iterator[Told]:
    for level in fitted.beyond:
        if level not in known:
            fault = Fault(
                f'no place is called "{level}"',
                allowed=", ".join(known),
                todo=nearest(level, known) or FIT_AGAIN,
            )
            yield ("beyond", level), fault
