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

LONG = 10  # letters of a level, of more a phone's table has no room


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


def grouped(caption: str, head: Sequence[str], groups: Sequence[tuple[str, Sequence[Line]]]) -> Markup:
    """A table whose rows stand in groups, each below its own name."""
    columns = tag("tr", *(tag("th", tag("span", name), scope="col") for name in head))
    bodies = (
        tag(
            "tbody",
            tag("tr", tag("th", name, scope="rowgroup", colspan=len(head))),
            *(row for line in lines for row in _level(line, len(head), _long(lines))),
        )
        for name, lines in groups
    )
    return tag("table", tag("caption", caption), tag("thead", columns), *bodies, class_="grouped")


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


def _long(lines: Sequence[Line]) -> bool:
    return max((len(line.name) for line in lines), default=0) > LONG


def _level(line: Line, width: int, above: bool) -> list[Markup]:
    """A row of a group; long names stand above their numbers."""
    if not above:
        return _rows(line, width)
    name = tag("tr", tag("th", line.name, scope="rowgroup", colspan=width))
    return [name, tag("tr", tag("td"), *(tag("td", cell) for cell in line.cells), class_="below")]


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
