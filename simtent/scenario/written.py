"""A value with a unit that its field names, to a few figures."""

from simtent.units import scale

FIGURES = 3
FINER = {"ft": "in"}  # for what is less than one
FEET_AND_INCHES = 100.0  # ft; from there on no inch is told
MOST_INCHES = 24.0  # in; from there on in feet


def written(value: float, kind: str, unit: str, figures: int = FIGURES) -> str:
    """A value in SI in that unit: "3 in2"; feet with inches: "9 ft 10 in", and two feet of inches as well."""
    factor, zero = scale(unit, kind)
    if unit in FINER and 0.0 < abs(value / factor) < 1.0:
        unit = FINER[unit]
        factor, zero = scale(unit, kind)
    number = (value - zero) / factor
    if unit == "in" and round(abs(number)) >= MOST_INCHES:
        return _feet(number / 12.0)
    if unit == "ft" and abs(number) < FEET_AND_INCHES:
        return _feet(number)
    return f"{_rounded(number, figures)} {unit}"


def _feet(number: float) -> str:
    """A length in feet as feet and whole inches: "9 ft 10 in"."""
    feet, inches = divmod(round(12.0 * abs(number)), 12)
    sign = "-" if number < 0.0 else ""
    return f"{sign}{feet} ft {inches} in" if inches else f"{sign}{feet} ft"


def _rounded(number: float, figures: int) -> str:
    """The number in as few figures as tell it apart, never in powers of ten."""
    text = f"{number:.{figures}g}"
    return f"{float(text):.0f}" if "e" in text and abs(number) >= 1.0 else f"{float(text):g}"
