"""Numbers of a study as people read them: outputs, their changes, factors."""

import math

from simtent.surveys.effects import Group
from simtent.surveys.opened import Column
from simtent.surveys.outputs import Output
from simtent.units import System, number, scale, unit_name

KINDS = {  # of the units of a Dataset's variables; others are shown as they are
    "degC": "temperature", "K": "temperature_difference", "kg": "mass", "J": "energy", "W": "power",
    "m s-1": "speed", "Pa": "pressure", "m": "length", "m2": "area", "kg s-1": "mass_flow",
}  # fmt: skip
ZERO_CELSIUS = 273.15
ROOM = 26  # characters of a factor's name in a table
STEPS = 30.0  # of a factor that its numbers tell apart


def unit(of: Output, system: System) -> str:
    """The unit in which an output is shown; empty for a plain number."""
    kind = KINDS.get(of.units)
    return unit_name(kind, system) if kind else "" if of.units == "1" else of.units


def value(of: Output, given: float, system: System) -> float:
    """An output in the unit in which it is shown."""
    kind = KINDS.get(of.units)
    return number(given + (ZERO_CELSIUS if of.units == "degC" else 0.0), kind, system) if kind else given


def change(of: Output, given: float, system: System) -> float:
    """A difference of an output in the unit in which it is shown."""
    kind = KINDS.get("K" if of.units == "degC" else of.units)
    return number(given, kind, system) if kind else given


def change_unit(of: Output, system: System) -> str:
    """The unit of such a difference; empty for a plain number."""
    return unit_name("temperature_difference", system) if of.units == "degC" else unit(of, system)


def shown(of: Output, given: float, system: System) -> str:
    """An output without its unit, for a table: "12.3", "1240", "0.042"; "-" where it is no number."""
    return _plain(value(of, given, system), of)


def shown_change(of: Output, given: float, system: System) -> str:
    """The same of a difference."""
    return _plain(change(of, given, system), of)


def _plain(given: float, of: Output) -> str:
    if math.isnan(given):
        return "-"
    if abs(given) >= 1000.0:
        return f"{given:.0f}"
    text = (
        f"{given:.1f}" if abs(given) >= 1.0 or KINDS.get(of.units, "").startswith("temp") else f"{given:.2g}"
    )
    return text.lstrip("-") if float(text) == 0.0 else text


def group(column: Column, those: Group, system: System) -> str:
    """The level of a group of cases, or between what numbers its factor lies, with its unit."""
    if those.label:
        return those.label
    if those.low == those.high:
        return f"{factor(column, those.low, system):.4g} {unit_of(column, system)}".strip()
    low, high = (_rounded(column, it, system) for it in (those.low, those.high))
    return f"{low} to {high} {unit_of(column, system)}".strip()


def middle(column: Column, those: Group, system: System) -> str:
    """The level of a group of cases, or the number in its middle, without its unit."""
    return those.label or _rounded(column, 0.5 * (those.low + those.high), system)


def unit_of(column: Column, system: System) -> str:
    """The unit in which a factor is shown; empty for a plain number, and for levels."""
    return (column.us if system == "us" else column.unit) if column.kind else ""


def _rounded(column: Column, given: float, system: System) -> str:
    """A number in as many decimals as tell thirty steps of its factor apart."""
    first, last = (factor(column, float(it), system) for it in (column.values.min(), column.values.max()))
    step = abs(last - first) / STEPS
    text = f"{factor(column, given, system):.{max(0, -math.floor(math.log10(step))) if step else 1}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def factor(column: Column, given: float, system: System) -> float:
    """A number of a factor in the unit in which it is shown."""
    if not column.kind:
        return given
    (factor, zero), (own, own_zero) = (
        scale(unit.removesuffix(" wet"), column.kind) for unit in (column.unit, unit_of(column, system))
    )
    return (given * factor + zero - own_zero) / own


def moved(text: str) -> str:
    """The name of a factor in the room that a table has for it."""
    return text if len(text) <= ROOM else f"...{text[-(ROOM - 3) :]}"
