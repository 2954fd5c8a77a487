"""Values of a field as people write them, in the unit that its declaration names for SI or for US units."""

from simtent.scenario.quantity import Count, Declared, Factor, Quantity
from simtent.scenario.written import FIGURES, written
from simtent.units import System


def in_units(declared: Quantity, value: float, system: System, figures: int = FIGURES) -> str:
    """A value in SI with the field's own unit, to so many figures: "12 in" for a width, "3 in2" for an air inlet."""
    return written(value, declared.kind, declared.unit_us if system == "us" else declared.unit_si, figures)


def usual_text(declared: Declared, system: System) -> str:
    """The usual range as people write it; empty where none is declared."""
    usual = getattr(declared, "usual", None)
    if usual is None:
        return ""
    if isinstance(declared, Quantity):
        return declared.ends_text(usual, system)
    low, high = (f"{end:g}" if isinstance(end, float) else str(end) for end in usual)
    return f"{low} to {high}"


def allowed_text(declared: Declared, system: System) -> str:
    """The allowed range as people write it; empty where none is declared."""
    if isinstance(declared, Quantity | Factor | Count):
        return declared.range_text(system) or ""
    told = getattr(declared, "range_text", None)
    return str(told()) if callable(told) else ""
