"""Values of a field as people write them, in the unit that its declaration names for SI or for US units."""

from simtent.scenario.quantity import Declared, Quantity
from simtent.units import System, scale, to_si

FIGURES = 3
FINER = {"ft": "in"}  # for what is less than one
FEET_AND_INCHES = 100.0  # ft; from there on no inch is told


def in_units(declared: Quantity, value: float, system: System, figures: int = FIGURES) -> str:
    """A value in SI with the field's own unit, to so many figures: "12 in" for a width, "3 in2" for an air inlet."""
    unit = declared.unit_us if system == "us" else declared.unit_si
    factor, zero = scale(unit, declared.kind)
    if unit in FINER and 0.0 < abs(value / factor) < 1.0:
        unit = FINER[unit]
        factor, zero = scale(unit, declared.kind)
    number = (value - zero) / factor
    if unit == "ft" and abs(number) < FEET_AND_INCHES:
        return _feet(number)
    return f"{_rounded(number, figures)} {unit}"


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


def _feet(number: float) -> str:
    """A length in feet as feet and whole inches: "9 ft 10 in"."""
    feet, inches = divmod(round(12.0 * abs(number)), 12)
    sign = "-" if number < 0.0 else ""
    return f"{sign}{feet} ft {inches} in" if inches else f"{sign}{feet} ft"


def _rounded(number: float, figures: int) -> str:
    """The number in as few figures as tell it apart, never in powers of ten."""
    text = f"{number:.{figures}g}"
    return f"{float(text):.0f}" if "e" in text and abs(number) >= 1.0 else f"{float(text):g}"
