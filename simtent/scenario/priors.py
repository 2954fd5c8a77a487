"""The priors: fields that nothing has measured yet, each a standard deviation lower and higher."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from simtent.scenario.fields import fields
from simtent.scenario.outdoors import SHIFTS, Outdoors
from simtent.scenario.quantity import Factor, Quantity
from simtent.units import exact

OF_SHELTERS = ("model.walls", "model.leak_area", "model.mixing")
"""Keys that play no part where a stove burns in the open."""


@dataclass(frozen=True, slots=True)
class Prior:
    """One uncertain field and the replacements that put it one standard deviation lower and higher.

    A replacement never leaves the field's allowed range.
    """

    key: str
    label: str
    low: Mapping[str, str]
    high: Mapping[str, str]


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
