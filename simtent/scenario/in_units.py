"""Values of a field as people write them, in the unit that its declaration names for SI or for US units."""

from simtent.scenario.quantity import Declared, Quantity
from simtent.scenario.written import FIGURES, written
from simtent.units import System, to_si


def in_units(declared: Quantity, value: float, system: System, figures: int = FIGURES) -> str:
    """A value in SI with the field's own unit, to so many figures: "12 in" for a width, "3 in2" for an air inlet."""
    return written(value, declared.kind, declared.unit_us if system == "us" else declared.unit_si, figures)


def usual_text(declared: Declared, system: System) -> str:
    """The usual range as people write it; empty where none is declared."""
    return _range(declared, getattr(declared, "usual", None), system)


def allowed_text(declared: Declared, system: System) -> str:
    """The allowed range as people write it; empty where none is declared."""
    allowed = getattr(declared, "allowed", None)
    if allowed is None and callable(told := getattr(declared, "range_text", None)):
        return str(told())
    return _range(declared, allowed, system)


def _range(declared: Declared, ends: tuple[object, object] | None, system: System) -> str:
    if ends is None:
        return ""
    if system == "us" and isinstance(declared, Quantity):
        ends = (_in_us(declared, str(ends[0])), _in_us(declared, str(ends[1])))
    low, high = (f"{end:g}" if isinstance(end, float) else str(end) for end in ends)
    return f"{low} to {high}"


def _in_us(declared: Quantity, text: str) -> str:
    """An end of a range in the US unit of the field, or as it is declared where that is no other."""
    if declared.unit_us == declared.unit_si:
        return text
    return in_units(declared, to_si(text, declared.kind), "us")
