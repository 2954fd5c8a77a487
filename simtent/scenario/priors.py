"""The priors: what nobody has measured yet, and what logs leave open, each a standard deviation lower and higher."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simtent.scenario.beliefs import bounds
from simtent.scenario.fields import fields
from simtent.scenario.fitted import Axis
from simtent.scenario.free import free
from simtent.scenario.numbers import added, is_away
from simtent.scenario.outdoors import SHIFTS, Outdoors
from simtent.scenario.quantity import Factor, Quantity
from simtent.scenario.toml_lines import dotted_key
from simtent.units import exact

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario

OF_SHELTERS = ("model.walls", "model.leak_area", "model.mixing")
"""Keys that play no part where a stove burns in the open."""


@dataclass(frozen=True, slots=True)
class Prior:
    """One unknown and the replacements that put it one standard deviation lower and higher.

    key     the field; of what logs leave open its place in the file
    fitted  whether logs have narrowed it
    A replacement never leaves a field's allowed range.
    """

    key: str
    label: str
    low: Mapping[str, Any]
    high: Mapping[str, Any]
    fitted: bool = False


def priors_of(sections: Mapping[str, Any], outdoors: Outdoors) -> tuple[Prior, ...]:
    """The priors of every field with a spread, and of the outdoor temperature if its spread is given."""
    found = []
    for field in fields():
        declared = field.declared
        if not isinstance(declared, Quantity | Factor) or declared.spread is None:
            continue
        value: float = getattr(sections[field.path[0]], field.path[1])
        least, most = declared.bounds() or (value, value)
        low, high = max(declared.spread.low(value), least), min(declared.spread.high(value), most)
        label = f"{field.path[-1].replace('_', ' ')} {declared.spread}"
        found.append(
            Prior(field.key, label, {field.key: declared.text(low)}, {field.key: declared.text(high)})
        )
    if outdoors.spread:
        key, label = "outdoors.shift", "forecast of the outdoor temperature"
        least, most = SHIFTS.bounds() or (0.0, 0.0)
        colder, warmer = (
            exact(min(max(outdoors.shift + sign * outdoors.spread, least), most), "temperature_difference")
            for sign in (-1.0, 1.0)
        )
        found.append(Prior(key, label, {key: colder}, {key: warmer}))
    return tuple(found)


def after_logs(scenario: "Scenario", priors: tuple[Prior, ...]) -> tuple[Prior, ...]:
    """The priors with what logs leave open in place of those of the numbers that logs have told of.

    A forecast stays as far off as it was: what the air of logged nights was tells nothing of tonight's forecast.
    """
    if scenario.fitted is None:
        return priors
    told = {dotted_key(key) for axis in scenario.fitted.axis for key in axis.keys} - {("outdoors", "shift")}
    kept = tuple(prior for prior in priors if dotted_key(prior.key) not in told)
    axes = (_along(scenario, number, axis) for number, axis in enumerate(scenario.fitted.axis))
    return (*(axis for axis in axes if axis.low or axis.high), *kept)


def _along(scenario: "Scenario", number: int, axis: Axis) -> Prior:
    """An axis one standard deviation down and up; without replacements where it has no length."""
    low, high = dict[str, Any](), dict[str, Any]()
    moves = [(key, 1.0 / times, times, 0.0) for key, times in axis.times.items() if times != 1.0]
    moves += [(key, 1.0, 1.0, plus) for key, plus in _plus(scenario, axis) if plus != 0.0]
    for key, down, up, plus in moves:
        if is_away(scenario, key):
            continue
        it = free(scenario, key)
        least, most = bounds(it.declared)
        low |= it.replacement(min(max(down * it.number - plus, least), most))
        high |= it.replacement(min(max(up * it.number + plus, least), most))
    return Prior(f"fitted.axis[{number + 1}]", ", ".join(axis.keys), low, high, fitted=True)


def _plus(scenario: "Scenario", axis: Axis) -> list[tuple[str, float]]:
    there = ((key, written) for key, written in axis.plus.items() if not is_away(scenario, key))
    return [(key, added(free(scenario, key), written)) for key, written in there]
