"""Lengths as people in the US read them off a tape: feet and inches, inches alone below two feet."""

from fractions import Fraction

INCH = 0.0254  # m, exact: NIST Special Publication 811
# Inches, common practice, no source: feet are told from there on, and from there on no inches.
FEET_FROM, FEET_ALONE = 24, 1200
HALVES, QUARTERS = Fraction(1, 2), Fraction(1, 4)


def feet_and_inches(metres: float, fine: bool = False) -> str:
    """A length [m] as text that the reader of units takes: "5 ft 6 in", "15 1/4 in", "0.31 in", "4900 ft".

    fine  to the quarter of an inch from two feet on too, where it stands to the inch otherwise
    """
    inches = abs(metres) / INCH
    sign = "-" if metres < 0.0 else ""
    if inches < 1.0:
        return f"{sign if inches else ''}{_two_figures(inches)} in"
    if inches >= FEET_ALONE:
        return f"{sign}{inches / 12.0:.0f} ft"
    step = QUARTERS if fine or inches < FEET_FROM else Fraction(1)
    return f"{sign}{on_tape(inches, step)}"


def on_tape(inches: float, step: Fraction) -> str:
    """Inches to the next step: "5 ft 6 1/2 in", or below two feet "18 1/2 in"."""
    marks = round(inches / float(step)) * step
    feet, rest = divmod(marks, 12) if marks >= FEET_FROM else (0, marks)
    parts = [f"{feet} ft"] if feet else []
    if rest or not feet:
        parts.append(f"{_mixed(Fraction(rest))} in")
    return " ".join(parts)


def _mixed(number: Fraction) -> str:
    """A number as people write fractions: "4 1/2", "4", "1/2"."""
    whole, part = divmod(number, 1)
    return " ".join(str(it) for it in (whole, part) if it) or "0"


def _two_figures(inches: float) -> str:
    text = f"{inches:.2g}"
    return f"{float(text):f}".rstrip("0").rstrip(".") if "e" in text else text
