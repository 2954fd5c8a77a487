"""A comparison as a table: what people ask of the base, and by how much each variant differs."""

import math
from collections.abc import Iterator, Sequence
from textwrap import wrap

from simtent.comparing.asked import NUMBERS, Number
from simtent.comparing.compared import Compared, Difference
from simtent.comparing.nights import Night
from simtent.tell.words import ZERO_CELSIUS, paragraph
from simtent.units import System, number, unit_name

LABEL, FIRST, CELL, MOST = 27, 7, 15, 3  # widths of the columns; variants beside each other
ALIKE = "alike"


def tables(found: Compared, system: System) -> list[str]:
    """Lines of at most 80 characters: blocks of three variants, the base's numbers in the first column of each."""
    lines: list[str] = []
    for those in blocks(found.variants):
        lines += [*head(those), *(line for it in rows(found) for line in _row(found, those, it, system)), ""]
    return [*lines, *paragraph(notes(found))]


def rows(found: Compared) -> list[Number]:
    """What people ask that the base has."""
    return [it for it in NUMBERS if not math.isnan(found.base.values[it.name])]


def blocks(variants: Sequence[Night]) -> Iterator[Sequence[Night]]:
    """The variants in groups that stand beside each other."""
    for first in range(0, len(variants), MOST):
        yield variants[first : first + MOST]


def head(those: Sequence[Night], first: str = "") -> list[str]:
    """The names above the columns, each in lines that its column holds."""
    names = [wrap(it.name.replace("_", "_ "), CELL - 1) for it in those]
    names = [[part.replace("_ ", "_") for part in name] for name in names]
    deep = max(map(len, names))
    lines = []
    for k in range(deep):
        cells = [(name[k - deep] if deep - k <= len(name) else "").rjust(CELL) for name in names]
        last = k == deep - 1
        lines.append(
            f"{first if last else '':<{LABEL}}{('base' if last else '').rjust(FIRST)}" + "".join(cells)
        )
    return lines


def shown(amount: float, it: Number, system: System, *, signed: bool) -> str:
    """A number of a night, or with its sign a difference of two, without its unit."""
    if math.isnan(amount):
        return "-"
    kind = "temperature_difference" if it.kind == "temperature" and signed else it.kind
    if it.kind == "hours":
        value, places = amount, 1
    else:
        value = number(amount + (ZERO_CELSIUS if kind == "temperature" else 0.0), kind, system)
        places = 2 if it.name == "frost" else 1
    text = f"{value:+.{places}f}" if signed else f"{value:.{places}f}"
    return text.lstrip("+-") if float(text) == 0.0 else text


def unit_of(it: Number, system: System) -> str:
    """The unit of a number."""
    return "h" if it.kind == "hours" else unit_name(it.kind, system)


def _row(found: Compared, those: Sequence[Night], it: Number, system: System) -> list[str]:
    """Differences, and below them the range of each that has one."""
    differences = [found.difference(night.name, it.name) for night in those]
    first = shown(found.base.values[it.name], it, system, signed=False).rjust(FIRST)
    lines = [
        f"{label(it, system):<{LABEL}}{first}" + "".join(cell(d, it, system).rjust(CELL) for d in differences)
    ]
    ranges = [ends(d, it, system) for d in differences]
    if any(ranges):
        lines.append(" " * (LABEL + FIRST) + "".join(text.rjust(CELL) for text in ranges))
    return lines


def label(it: Number, system: System) -> str:
    """A number's words with its unit."""
    return f"{it.words}, {unit_of(it, system)}"


def cell(difference: Difference, it: Number, system: System) -> str:
    """A difference with its sign; a dash where a night does not have the number."""
    if math.isnan(difference.amount):
        return "-"
    return shown(difference.amount, it, system, signed=True) if difference.apart else ALIKE


def ends(difference: Difference, it: Number, system: System) -> str:
    """Both ends; nothing where there are no draws, where the two are alike, or where the range is a point."""
    if math.isnan(difference.low) or not difference.apart:
        return ""
    low, high = (shown(end, it, system, signed=True) for end in (difference.low, difference.high))
    return "" if low == high else f"{low} to {high}"


def notes(found: Compared) -> str:
    """What differences are, how far they are known, and what is not counted."""
    text = "Differences are variant minus base."
    draws = found.drawn.shape[1]
    if draws:
        what = "what logs leave open" if found.scenario.fitted else "what nobody has measured"
        text += (
            f" Below each stands the range of eight in ten of {draws} draws of {what}, the same draws for every "
            f'variant. "{ALIKE}": cannot be told apart, since that range reaches to both sides of 0 or the solver '
            "could be as far off."
        )
    else:
        text += f' "{ALIKE}": cannot be told apart by the solver; without draws no difference has a range.'
    if found.scenario.shelter is not None and found.scenario.damp is None:
        text += " Frost is counted with [damp] in the file."
    return text
