"""The usual changes as a ranking: what each buys at the cot and on the floor, by the kilogram and by its price."""

import math
from collections.abc import Sequence

from simtent.comparing.compared import Compared, Difference
from simtent.comparing.ranked import Bought
from simtent.tell.differences import ALIKE, MOST
from simtent.tell.words import paragraph, sentence
from simtent.units import System, number, show, unit_name

NAME, CELL = 20, 8  # widths of the columns
FREE, CARRIED = "NOTHING TO CARRY", "TO BE CARRIED"
WHY = "WHY IT CAN BE COLDER."
NOTES = (
    "cot, floor: mean in bed. low: lowest at the cot in bed. Variant minus base. Whatever adds a caution has a ! and "
    "stands last; see below. Loads by the clock burn the same wood whatever changes: what is saved shows as warmth."
)


def ranking(rows: Sequence[Bought], system: System, currency: str = "") -> list[str]:
    """Lines of at most 80 characters: what needs no carrying, then the others by what a kilogram buys at the cot."""
    lines: list[str] = []
    for title, those in (
        (FREE, [it for it in rows if not it.carried]),
        (CARRIED, [it for it in rows if it.carried]),
    ):
        if those:
            lines += [*_head(title, system, currency, those), *(_row(it, system) for it in those), ""]
    lines += [*paragraph(NOTES), ""]
    for it in rows:
        if it.usual:
            lines += paragraph(f"{it.name}: {it.usual.told(system)}{_lighter(it, system)}", rest="    ")
    return [*lines, *_why(rows)]


def _lighter(it: Bought, system: System) -> str:
    """How much less has to be carried, where it is less."""
    return f", lighter by {show(-it.mass, 'mass', system, 1)}" if it.mass and it.mass < 0.0 else ""


def best(found: Compared, rows: Sequence[Bought]) -> Compared:
    """The comparison with those alone that buy most at the cot."""
    most = sorted(rows, key=lambda it: (it.grave, -it.cot.amount))[:MOST]
    return found.only([it.name for it in most])


def _head(title: str, system: System, currency: str, those: Sequence[Bought]) -> list[str]:
    degrees, mass = unit_name("temperature_difference", system), unit_name("mass", system)
    first, second = ["cot", "low", "floor"], [degrees] * 3
    if title == CARRIED:
        first += ["carried", "cot", "floor"]
        second += [mass, f"by {mass}", f"by {mass}"]
    if any(it.price for it in those):
        first.append("cot by")
        second.append(f"100 {currency}".strip())
    return [
        f"{head:<{NAME}}" + "".join(cell.rjust(CELL) for cell in cells)
        for head, cells in ((title, first), ("", second))
    ]


def _row(it: Bought, system: System) -> str:
    cells = [_cell(d, system) for d in (it.cot, it.lowest, it.floor)]
    if it.carried and it.mass:
        cells.append(f"{number(it.mass, 'mass', system):.1f}")
        for difference in (it.cot, it.floor):
            value = number(difference.amount, "temperature_difference", system)
            cells.append(_ratio(value / number(it.mass, "mass", system), difference))
    if it.price:
        value = number(it.per_price(it.cot), "temperature_difference", system)
        cells.append(_ratio(100.0 * value, it.cot))
    name = f"{it.name} !" if it.grave else it.name
    return f"{name:<{NAME}}" + "".join(cell.rjust(CELL) for cell in cells)


def _cell(difference: Difference, system: System) -> str:
    if not difference.apart:
        return ALIKE
    return f"{number(difference.amount, 'temperature_difference', system):+.1f}"


def _ratio(value: float, difference: Difference) -> str:
    return "-" if math.isnan(value) or not difference.apart else f"{value:+.2f}"


def _why(rows: Sequence[Bought]) -> list[str]:
    """The explanation of every usual change that made it colder at the cot, in the mean or at the lowest."""
    colder = [it for it in rows if it.usual and any(d.apart and d.amount < 0.0 for d in (it.cot, it.lowest))]
    lines = ["", *paragraph(WHY)] if colder else []
    for it in colder:
        assert it.usual is not None
        lines += paragraph(f"{it.name}: {sentence(it.usual.why)}", rest="    ")
    return lines
