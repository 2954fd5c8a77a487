"""A comparison as a Dataset."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import xarray as xr

from simtent.assess.findings import Finding
from simtent.comparing.asked import NAMES, NUMBERS
from simtent.comparing.compared import Compared
from simtent.network.arrays import Array

FORMAT = 1
MEANINGS = {
    "value": "what people ask of a night, each in its unit",
    "difference": "variant minus base, each in its unit",
    "difference_low": "low end of the range that holds the difference in eight draws of ten",
    "difference_high": "high end of that range",
    "apart": "whether variant and base can be told apart",
    "same": "whether the variant says the same as the base",
    "drawn": "what people ask of a night under a draw of what nobody knows, the same draw for every variant",
    "energy": "energy account at the night's end: what came in since the beginning, and what was stored",
    "level_temperature": "air temperature at a named level",
    "findings_added": "cautions that the variant has and the base does not, a line each",
    "findings_removed": "cautions that the base has and the variant does not, a line each",
    "carried": "what a usual change makes people carry",
    "changes": "what the variant changes, as key = value, a line each",
}


def to_dataset(found: Compared, carried: Mapping[str, float | None] | None = None) -> xr.Dataset:
    """The comparison with its units and meanings, see `simtent.compare`; what is carried, by names of variants [kg]."""
    names = [night.name for night in found.nights]
    variables: dict[str, Any] = {
        "value": (("variant", "number"), found.values),
        **_differences(found, names),
        "same": ("variant", [night.variant.same for night in found.nights]),
        "drawn": (("variant", "draw", "number"), found.drawn),
        "energy": (("variant", "account"), _energy(found)),
        "level_temperature": (("variant", "level", "time"), _levels(found)),
        "findings_added": ("variant", [_lines(found.added(name)) for name in names]),
        "findings_removed": ("variant", [_lines(found.removed(name)) for name in names]),
        "carried": ("variant", [_mass(carried, name) for name in names]),
        "changes": ("variant", ["\n".join(night.variant.changes) for night in found.nights]),
    }
    coords = {
        "variant": names,
        "number": list(NAMES),
        "unit": ("number", [it.unit for it in NUMBERS], {"long_name": "unit of a number"}),
        "draw": np.arange(found.drawn.shape[1]),
        "account": list(found.accounts),
        "level": list(_named(found)),
        "time": ("time", found.base.seconds, {"units": "s", "long_name": "time since the night's begin"}),
    }
    dataset = xr.Dataset(variables, coords, _attributes(found))
    for name, meaning in MEANINGS.items():
        dataset[name].attrs["long_name"] = meaning
    dataset["energy"].attrs["units"] = "J"
    dataset["carried"].attrs["units"] = "kg"
    dataset["level_temperature"].attrs["units"] = "degC"
    return dataset


def _differences(found: Compared, names: list[str]) -> dict[str, Any]:
    rows = [[found.difference(name, number) for number in NAMES] for name in names]
    parts = {"difference": "amount", "difference_low": "low", "difference_high": "high", "apart": "apart"}
    return {
        name: (("variant", "number"), [[getattr(it, part) for it in row] for row in rows])
        for name, part in parts.items()
    }


def _energy(found: Compared) -> list[list[float]]:
    return [[night.energy.get(name, 0.0) for name in found.accounts] for night in found.nights]


def _named(found: Compared) -> tuple[str, ...]:
    """The base's levels that every night names, from the highest down."""
    if found.scenario.shelter is None:
        return ()
    return tuple(
        it for it in found.scenario.levels if all(it in night.scenario.levels for night in found.nights)
    )


def _levels(found: Compared) -> Array:
    """Temperatures at the levels that all name, of every night at the base's times."""
    rows = []
    for night in found.nights:
        names = list(night.scenario.levels)
        rows.append([night.levels[:, names.index(it)] for it in _named(found)])
    return np.array(rows).reshape(len(rows), len(_named(found)), found.base.seconds.size)


def _mass(carried: Mapping[str, float | None] | None, name: str) -> float:
    mass = (carried or {}).get(name)
    return np.nan if mass is None else mass


def _lines(findings: tuple[Finding, ...]) -> str:
    return "\n".join(f"{it.level}: {it.what}" for it in findings)


def _attributes(found: Compared) -> dict[str, Any]:
    scenario = found.scenario
    return {
        "schema": FORMAT,
        "name": scenario.name,
        "invented": int(scenario.invented),
        "scenario_given": scenario.given,
        "ranges": "what logs leave open"
        if scenario.fitted
        else "the usual ranges of what nobody has measured",
    }
