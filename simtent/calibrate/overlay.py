"""What a fit found, as a partial scenario that every verb takes: values, intervals, what stays open."""

import math
from importlib.metadata import version
from typing import Any

import numpy as np

from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.sought import Sought
from simtent.marked import mark
from simtent.network.arrays import Array
from simtent.scenario.tree import DEFAULT, plant_table
from simtent.scenario.write import toml_text

NARROWS, STAYS = "your log narrows this", "stays at what was believed before"
DIGITS = 5
LEAST = 1e-4  # of a deviation's logarithm: an axis that moves a number by less leaves it out
SHORTEST = (
    0.01  # an axis that moves no number by a hundredth is left out: it costs a night two runs, for nothing
)


def overlay(found: Calibrated) -> dict[str, Any]:
    """The values as they stand in a file, and [fitted] with all that is known of them."""
    tree: dict[str, Any] = {}
    for key, text in found.replacements(found.posterior.z).items():
        _put(tree, key.split("."), _short(text))
    tree["fitted"] = fitted(found)
    return tree


def fitted(found: Calibrated) -> dict[str, Any]:
    """[fitted]."""
    coldest, warmest = (f"{kelvin - 273.15:.1f} degC" for kelvin in found.outdoors)
    logs = [f"{log.evening} {log.file.name}" for night in found.nights for log in night.logged.log]
    return {
        "logs": logs,
        "readings": found.readings,
        "version": version("simtent"),
        "coldest": coldest,
        "warmest": warmest,
        "found": [_found(found, one) for one in found.of_scenario],
        "axis": _axes(found),
        "beyond": {place: f"{100.0 * min(share, 1.0):.2f} %" for place, share in found.beyond.items()},
    }


def text(found: Calibrated) -> str:
    """The overlay as TOML, with a line that says what it is."""
    invented = " The logs are invented." if found.scenario.invented else ""
    head = f"{mark('fit', found.scenario.name)}\n# What its logs say; laid over the scenario by --with.{invented}\n\n"
    return head + toml_text(plant_table(overlay(found), lambda _at: DEFAULT))


def _found(found: Calibrated, one: Sought) -> dict[str, Any]:
    low, high = found.posterior.interval(one.name)
    value = found.posterior.value(one.name)
    narrowed = found.posterior.narrowed(one.name)
    return {
        "key": one.name,
        **{name: _text(it, one.unit) for name, it in (("value", value), ("low", low), ("high", high))},
        "before": one.before,
        "source": one.source,
        "told": NARROWS if narrowed else STAYS,
    }


def _axes(found: Calibrated) -> list[dict[str, Any]]:
    """Independent directions of the scenario's own numbers, the longest first."""
    numbers = found.of_scenario
    directions = found.posterior.axes(tuple(one.name for one in numbers))
    sizes = np.array([one.spread for one in numbers])
    long = [direction for direction in directions if float(np.abs(sizes * direction).max()) > SHORTEST]
    return [axis for direction in long if (axis := _axis(direction, numbers))]


def _axis(direction: Array, numbers: tuple[Sought, ...]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for one, by in zip(numbers, direction, strict=True):
        move = one.spread * float(by)
        if abs(float(by)) < LEAST:
            continue
        for key in one.keys:
            if one.factor:
                factor = float(np.clip(math.exp(move), 0.01, 100.0))
                out.setdefault("times", {})[key] = round(factor, DIGITS)
            else:
                out.setdefault("plus", {})[key] = f"{move:.{DIGITS}g} {one.unit}".removesuffix(" 1")
    return out


def _text(value: float, unit: str) -> str | float:
    number = float(f"{value:.{DIGITS}g}")
    return number if unit == "1" else f"{number:g} {unit}" if abs(number) >= 1e-4 else f"{number:.8f} {unit}"


def _short(written: Any) -> Any:
    """A replacement's text with the digits that matter."""
    number, _, unit = str(written).partition(" ")
    try:
        value = float(number)
    except ValueError:
        return written
    return _text(value, unit or "1")


def _put(tree: dict[str, Any], path: list[str], value: Any) -> None:
    for part in path[:-1]:
        tree = tree.setdefault(part, {})
    tree[path[-1]] = value
