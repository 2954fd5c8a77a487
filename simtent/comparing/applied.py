"""What a usual change replaces in a scenario, by dotted keys."""

import tomllib
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from simtent.scenario.beliefs import bounds
from simtent.scenario.free import Free, free, unit_and_kind, value_at
from simtent.scenario.quantity import Factor
from simtent.scenario.scenario import Scenario
from simtent.scenario.toml_lines import dotted_key
from simtent.units import scale, to_si

if TYPE_CHECKING:
    from simtent.comparing.usual import Usual

GAP = "air gap"


def replacements(row: "Usual", scenario: Scenario) -> dict[str, Any]:
    """Replacements by dotted keys; empty where the change has nothing to change in this scenario."""
    numbers = [*_factors(row, scenario), *_sums(row, scenario)]
    layers = dict(_skins(row, scenario))
    changes: dict[str, Any] = {}
    for key in row.keep:
        for it in _numbers(scenario, key):
            changes |= it.replacement(it.number)
    for it, number in numbers:
        least, most = bounds(it.declared)
        changes |= it.replacement(min(max(number, least), most))
    for key, more in row.plus_count.items():
        changes[key] = (value_at(scenario, tuple(dotted_key(key))) or 0) + more
    wanted = bool(row.times or row.plus or row.line or row.swap)
    if wanted and not (numbers or layers):
        return {}
    given = {key: it for key, it in row.set.items() if it != "none" or _given(scenario, key)}
    return {**changes, **layers, **given}


def _factors(row: "Usual", scenario: Scenario) -> Iterator[tuple[Free, float]]:
    for key, factor in row.times.items():
        for it in _numbers(scenario, key):
            if key != "stove.mass" or _given(
                scenario, key
            ):  # a mass that follows from its sheet follows by itself
                yield it, factor * it.number


def _sums(row: "Usual", scenario: Scenario) -> Iterator[tuple[Free, float]]:
    for key, text in row.plus.items():
        for it in _numbers(scenario, key):
            assert not isinstance(it.declared, Factor)
            unit, kind = unit_and_kind(it.declared)
            yield it, it.number + to_si(text, kind) / scale(unit, kind)[0]


def _numbers(scenario: Scenario, key: str) -> Iterator[Free]:
    """The numbers that a scenario has at a key; with NAME in it, at every name there."""
    before, star, after = key.partition(".NAME.")
    names = value_at(scenario, tuple(dotted_key(before))) if star else None
    keys = [f"{before}.{name}.{after}" for name in names or ()] if star else [key]
    for it in keys:
        path = tuple(dotted_key(it))
        above = value_at(scenario, path[:-1]) if len(path) > 1 else None
        if above is not None and (path[-1] == "mass" or value_at(scenario, path) is not None):
            yield free(scenario, it)


def _given(scenario: Scenario, key: str) -> bool:
    return value_at(scenario, tuple(dotted_key(key))) is not None


def _skins(row: "Usual", scenario: Scenario) -> Iterator[tuple[str, list[str]]]:
    """Layers of each part of the skin that the change gives a liner, or another layer in the place of one."""
    if scenario.shelter is None or not (row.line or row.swap):
        return
    for part, layers in _written(scenario).items():
        swapped = [row.swap.get(_name(layer, row.swap), layer) for layer in layers]
        if swapped != layers:
            yield f"shelter.skin.{part}", swapped
        elif row.line and len(layers) == 1:
            yield f"shelter.skin.{part}", [*layers, *row.line]


def _name(layer: str, names: Mapping[str, str]) -> str:
    return next((name for name in names if layer.endswith(name)), layer)


def _written(scenario: Scenario) -> dict[str, list[str]]:
    """The skin as it stands in the file, its archetype's included."""
    skin = tomllib.loads(scenario.effective)["shelter"]["skin"]
    return {part: it for part, it in skin.items() if isinstance(it, list)}
