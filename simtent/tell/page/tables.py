"""Tables of a page: narrow enough for a phone, each cell a number, remarks in rows of their own."""

from collections.abc import Sequence
from dataclasses import dataclass

import xarray as xr

from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell.page.markup import Markup, joined, paragraphs, tag
from simtent.tell.table import Column, hours
from simtent.tell.words import sentence
from simtent.units import System


@dataclass(frozen=True, slots=True)
class Line:
    """A row: its name, its cells, and what is said below them."""

    name: str
    cells: Sequence[str]
    remark: str = ""


def table(caption: str, head: Sequence[str], lines: Sequence[Line], kind: str = "numbers") -> Markup:
    """A table; the first of `head` names the rows' names."""
    columns = tag("tr", *(tag("th", tag("span", name), scope="col") for name in head))
    rows = [row for line in lines for row in _rows(line, len(head))]
    return tag("table", tag("caption", caption), tag("thead", columns), tag("tbody", *rows), class_=kind)


def hour_table(scenario: Scenario, dataset: xr.Dataset, system: System) -> Markup:
    """The night hour by hour, and what its columns mean."""
    given = hours(scenario, dataset, system)
    lines = [
        Line(
            clock(scenario.night, row.moment),
            [column.cell(row.moment) for column in given.columns],
            sentence(", ".join(row.remarks)) if row.remarks else "",
        )
        for row in given.rows
    ]
    caption = f"In {_units(given.columns)}."
    head = ["time", *(column.name for column in given.columns)]
    return joined([table(caption, head, lines), paragraphs([" ".join(map(sentence, given.notes))])])


def _units(columns: Sequence[Column]) -> str:
    """Each unit once with the columns that are in it: "degF (floor, cot), Btu/h (heat)"."""
    named: dict[str, list[str]] = {}
    for column in columns:
        named.setdefault(column.unit, []).append(column.name)
    return ", ".join(f"{unit} ({', '.join(names)})" for unit, names in named.items())


def _rows(line: Line, width: int) -> list[Markup]:
    cells = tag("tr", tag("th", line.name, scope="row"), *(tag("td", cell) for cell in line.cells))
    if not line.remark:
        return [cells]
    return [cells, tag("tr", tag("td", line.remark, colspan=width), class_="remark")]
