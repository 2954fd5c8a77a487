"""The texts of a draft in the units of a US shop: oz/yd2, feet and inches to the marks that a tape is read to."""

import re
from fractions import Fraction

from simtent.errors import InputError
from simtent.scenario.in_units import in_units
from simtent.scenario.quantity import Quantity
from simtent.scenario.written import written
from simtent.tape import INCH, on_tape
from simtent.units import leading_quantity, number, show, to_si, unit_name

KINDS = ("areal_density", "resistance", "length")  # that a layer, a mat or a sheet of metal begins with
# Inches, and the marks to which lengths below them are rounded: a few per cent, as rough as the tables' own numbers.
MARKS = (
    (0.2, None),
    (0.5, Fraction(1, 16)),
    (4.0, Fraction(1, 8)),
    (10.0, Fraction(1, 4)),
    (24.0, Fraction(1, 2)),
)
FIGURES, MOST_FIGURES = 2, 3
# Units in the sources of the tables' rows, which people read in sentences.
SPOKEN = {
    "L": "volume",
    "kg": "mass",
    "m2": "area",
    "cm": "length",
    "mm": "length",
    "m": "length",
    "kg/m3": "density",
}
QUANTITIES = re.compile(rf"(?<![0-9.])([0-9]+(?:\.[0-9]+)?) ({'|'.join(SPOKEN)})(?![A-Za-z0-9/])")
WHOLE = ("speed", "temperature_difference")  # guesses of a breeze and of a forecast's error


def quantity_in_us(declared: Quantity, text: str) -> str:
    """A quantity of the tables in the US unit of its field; as it is where that is no other."""
    if declared.unit_us == declared.unit_si:
        return text
    value = declared.read(text)
    if declared.kind == "length" and value != 0.0:
        return length(value)
    if declared.kind in WHOLE:
        return show(value, declared.kind, "us", 0)
    return in_units(declared, value, "us", FIGURES)


def length(metres: float) -> str:
    """A length [m] to the next mark: "1 3/4 in", "9 1/2 in", "4 ft 11 in"; thin sheets in decimals, "0.047 in"."""
    inches = abs(metres) / INCH
    mark = next((mark for below, mark in MARKS if inches < below), Fraction(1))
    if mark is None or inches >= 1200.0:
        return show(metres, "length", "us")
    return f"{'-' if metres < 0.0 else ''}{on_tape(inches, mark)}"


def beginning_in_us(text: str) -> str:
    """A text such as "340 g/m2 cotton canvas" with its first number in US units; as it is where it begins with none."""
    try:
        found = leading_quantity(text, KINDS)
    except InputError:
        return text
    if found is None:
        return text
    value, kind, rest = found
    return f"{_first(value, kind)} {rest}".strip()


def words_in_us(text: str) -> str:
    """A sentence with each of its quantities in US units, to as many figures as it is written, two or three."""
    return QUANTITIES.sub(lambda found: _in_words(found[1], found[2]), text)


def _in_words(digits: str, unit: str) -> str:
    kind = SPOKEN[unit]
    value = to_si(f"{digits} {unit}", kind)
    figures = min(max(len(digits.replace(".", "").lstrip("0")), FIGURES), MOST_FIGURES)
    return length(value) if kind == "length" else written(value, kind, unit_name(kind, "us"), figures)


def _first(value: float, kind: str) -> str:
    if kind == "length":
        return length(value)
    if kind == "resistance":
        return f"R {number(value, kind, 'us'):.2g} us"
    ounces = number(value, kind, "us")  # to the half ounce as fabrics are sold, light ones to a tenth
    return f"{round(2.0 * ounces) / 2.0 if ounces >= 4.0 else round(ounces, 1):g} oz/yd2"
