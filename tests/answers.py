"""Reading a document as a stranger would: strictly, by the published schema, with another's validator."""

import json
from typing import Any

import jsonschema

from simtent.tell.answers.documents import schema


def refused(constant: str) -> Any:
    """NaN and the infinities are no JSON (RFC 8259, section 6)."""
    raise ValueError(f"{constant} is no number of JSON")


def document(printed: str) -> dict[str, Any]:
    """The one document that was printed, held to its schema; keys that it does not know are refused here."""
    assert printed.isascii() and printed.endswith("\n") and printed.count("\n") == 1
    whole: dict[str, Any] = json.loads(printed, parse_constant=refused)
    made = schema(whole["format"].removeprefix("simtent."))
    jsonschema.Draft202012Validator.check_schema(made)
    jsonschema.Draft202012Validator(closed(made)).validate(whole)
    return whole


def closed(made: Any) -> Any:
    """The same schema, in which no object has a key that is not declared."""
    if isinstance(made, list):
        return [closed(one) for one in made]
    if not isinstance(made, dict):
        return made
    found = {key: closed(one) for key, one in made.items()}
    if found.get("type") == "object" and "properties" in found:
        found["additionalProperties"] = False
    return found


def quantities(it: Any, path: str = "") -> dict[str, tuple[float | None, str]]:
    """Every quantity and every number of a series in a document, by its place."""
    found: dict[str, tuple[float | None, str]] = {}
    if isinstance(it, list):
        for at, one in enumerate(it):
            found |= quantities(one, f"{path}/{at}")
    elif isinstance(it, dict):
        if "unit" in it and "value" in it:
            found[path] = it["value"], it["unit"]
        elif "unit" in it and "values" in it:
            found |= {f"{path}/{at}": (value, it["unit"]) for at, value in enumerate(it["values"])}
        else:
            for key, one in it.items():
                found |= quantities(one, f"{path}/{key}")
    return found


# unit -> SI, by NIST Special Publication 811 (2008), appendix B: pound, foot, yard, International Table Btu
POUND, FOOT, BTU = 0.45359237, 0.3048, 1055.05585262
TO_SI = {
    "K": 1.0, "m": 1.0, "ft": FOOT, "m3": 1.0, "ft3": FOOT**3, "kg": 1.0, "lb": POUND, "m/s": 1.0, "mph": 0.44704,
    "g/m2": 1e-3, "oz/yd2": POUND / 16.0 / (3.0 * FOOT) ** 2, "W": 1.0, "Btu/h": BTU / 3600.0, "kWh": 3.6e6,
    "kBtu": 1e3 * BTU, "Pa": 1.0, "in WC": 249.08891, "g/h": 1e-3 / 3600.0, "oz/h": POUND / 16.0 / 3600.0,
    "min": 60.0, "%": 0.01,
    "W/m2": 1.0, "1/h": 1.0, "clo": 1.0, "h": 3600.0, "1": 1.0, "ppm": 1.0,
}  # fmt: skip


def si(value: float, unit: str, *, difference: bool = False) -> float:
    """A number in SI, degF as a temperature or as a difference of two."""
    if unit == "degC":
        return value + 273.15
    if unit == "degF":
        return value / 1.8 if difference else (value - 32.0) / 1.8 + 273.15
    return value * TO_SI[unit]


def alike(us: dict[str, Any], metric: dict[str, Any]) -> int:
    """Hold two documents to each other that tell the same in other units; how many numbers that are."""
    here, there = quantities(us), quantities(metric)
    assert list(here) == list(there)
    for path, (value, unit) in here.items():
        other, other_unit = there[path]
        assert (value is None) == (other is None), path
        if value is not None and other is not None and unit != other_unit:
            one, two = (
                si(v, u, difference=other_unit == "K") for v, u in ((value, unit), (other, other_unit))
            )
            assert abs(one - two) <= 3e-8 * max(abs(one), 1.0), (path, value, unit, other, other_unit)
        elif unit == other_unit:
            assert value == other, path
    return len(here)
