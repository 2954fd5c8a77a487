"""A value with a unit that its field names, to a few figures."""

import math
from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context
from typing import Literal

from simtent.units import scale, to_si

Toward = Literal["nearest", "up", "down"]

FIGURES = 3
FINER = {"ft": "in"}  # for what is less than one
FEET_AND_INCHES = 100.0  # ft; from there on no inch is told
MOST_INCHES = 24.0  # in; from there on in feet
WHOLE: dict[Toward, Callable[[float], int]] = {"nearest": round, "up": math.ceil, "down": math.floor}
WAYS: dict[Toward, str] = {"nearest": ROUND_HALF_EVEN, "up": ROUND_CEILING, "down": ROUND_FLOOR}


def written(value: float, kind: str, unit: str, figures: int = FIGURES, toward: Toward = "nearest") -> str:
    """A value in SI in that unit: "3 in2"; feet with inches: "9 ft 10 in", and two feet of inches as well."""
    factor, zero = scale(unit, kind)
    if unit in FINER and 0.0 < abs(value / factor) < 1.0:
        unit = FINER[unit]
        factor, zero = scale(unit, kind)
    number = (value - zero) / factor
    if unit == "in" and round(abs(number)) >= MOST_INCHES:
        return _feet(number / 12.0, toward)
    if unit == "ft" and abs(number) < FEET_AND_INCHES:
        return _feet(number, toward)
    return f"{_rounded(number, figures, toward)} {unit}"


def least(value: float, kind: str, unit: str) -> str:
    """The low end of a range: the text nearest to a value in SI that does not read back as less."""
    text = written(value, kind, unit)
    return text if to_si(text, kind) >= value else written(value, kind, unit, toward="up")


def most(value: float, kind: str, unit: str) -> str:
    """The high end of a range: the text nearest to a value in SI that does not read back as more."""
    text = written(value, kind, unit)
    return text if to_si(text, kind) <= value else written(value, kind, unit, toward="down")


def _feet(number: float, toward: Toward) -> str:
    """A length in feet as feet and whole inches: "9 ft 10 in"."""
    inches = WHOLE[toward](12.0 * number)
    feet, over = divmod(abs(inches), 12)
    sign = "-" if inches < 0 else ""
    return f"{sign}{feet} ft {over} in" if over else f"{sign}{feet} ft"


def _rounded(number: float, figures: int, toward: Toward) -> str:
    """The number in as few figures as tell it apart, never in powers of ten."""
    rounded = float(Context(prec=figures, rounding=WAYS[toward]).create_decimal_from_float(number))
    return f"{rounded:.0f}" if abs(rounded) >= 10.0**figures else f"{rounded:.{figures}g}"
