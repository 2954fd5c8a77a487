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
    for title, those in parted(rows):
        lines += [*_head(title, system, currency, those), *(_row(it, system) for it in those), ""]
    lines += [*paragraph(NOTES), ""]
    for name, words in changes(rows, system):
        lines += paragraph(f"{name}: {words}", rest="    ")
    reasons = why(rows)
    lines += ["", *paragraph(WHY)] if reasons else []
    return [*lines, *(line for name, words in reasons for line in paragraph(f"{name}: {words}", rest="    "))]


def parted(rows: Sequence[Bought]) -> list[tuple[str, list[Bought]]]:
    """The changes under their two titles, those that have any."""
    there = {
        FREE: [it for it in rows if not it.carried],
        CARRIED: [it for it in rows if it.carried],
    }
    return [(title, those) for title, those in there.items() if those]


def changes(rows: Sequence[Bought], system: System) -> list[tuple[str, str]]:
    """What each usual change is, by its name."""
    return [(it.name, f"{it.usual.told(system)}{_lighter(it, system)}") for it in rows if it.usual]


def _lighter(it: Bought, system: System) -> str:
    """How much less has to be carried, where it is less."""
    return f", lighter by {show(-it.mass, 'mass', system, 1)}" if it.mass and it.mass < 0.0 else ""


def best(found: Compared, rows: Sequence[Bought]) -> Compared:
    """The comparison with those alone that buy most at the cot."""
    most = sorted(rows, key=lambda it: (it.grave, -it.cot.amount))[:MOST]
    return found.only([it.name for it in most])


def columns(title: str, system: System, currency: str, those: Sequence[Bought]) -> list[tuple[str, str]]:
    """The names of the columns, each in two lines."""
    degrees, mass = unit_name("temperature_difference", system), unit_name("mass", system)
    first, second = ["cot", "low", "floor"], [degrees] * 3
    if title == CARRIED:
        first += ["carried", "cot", "floor"]
        second += [mass, f"by {mass}", f"by {mass}"]
    if any(it.price for it in those):
        first.append("cot by")
        second.append(f"100 {currency}".strip())
    return list(zip(first, second, strict=True))


def _head(title: str, system: System, currency: str, those: Sequence[Bought]) -> list[str]:
    first, second = zip(*columns(title, system, currency, those), strict=True)
    return [
        f"{head:<{NAME}}" + "".join(cell.rjust(CELL) for cell in cells)
        for head, cells in ((title, first), ("", second))
    ]


def cells_of(it: Bought, system: System) -> list[str]:
    """A change's numbers, one for each of the columns."""
    cells = [_cell(d, system) for d in (it.cot, it.lowest, it.floor)]
    if it.carried and it.mass:
        cells.append(f"{number(it.mass, 'mass', system):.1f}")
        for difference in (it.cot, it.floor):
            value = number(difference.amount, "temperature_difference", system)
            cells.append(_ratio(value / number(it.mass, "mass", system), difference))
    if it.price:
        value = number(it.per_price(it.cot), "temperature_difference", system)
        cells.append(_ratio(100.0 * value, it.cot))
    return cells


def name_of(it: Bought) -> str:
    """A change's name, with a mark where it adds a caution."""
    return f"{it.name} !" if it.grave else it.name


def _row(it: Bought, system: System) -> str:
    return f"{name_of(it):<{NAME}}" + "".join(cell.rjust(CELL) for cell in cells_of(it, system))


def _cell(difference: Difference, system: System) -> str:
    if not difference.apart:
        return ALIKE
    return f"{number(difference.amount, 'temperature_difference', system):+.1f}"


def _ratio(value: float, difference: Difference) -> str:
    if math.isnan(value) or not difference.apart:
        return "-"
    text = f"{value:+.2f}"
    return text if float(text) else "0.00"


def why(rows: Sequence[Bought]) -> list[tuple[str, str]]:
    """The explanation of every usual change that made it colder at the cot, in the mean or at the lowest."""
    return [
        (it.name, sentence(it.usual.why))
        for it in rows
        if it.usual and any(d.apart and d.amount < 0.0 for d in (it.cot, it.lowest))
    ]
