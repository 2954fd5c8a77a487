"""Lines of 80 columns, as a terminal shows them, as HTML that a phone can wrap: headings, sentences, labels, tables.

What `words.paragraph` and the tables of `tell` write follows few rules, and these are read back here: a blank line
parts blocks, two blanks part cells, what stands under the begin of a cell goes on with it, and a line begins another
sentence if its first word had still found room on the line before. No word is left out.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from simtent.tell.page.markup import Markup, joined, listed, tag
from simtent.tell.words import WIDTH, tied

CELL = re.compile(r"\S+(?: \S+)*")
CAPITALS = re.compile(r"[A-Z][A-Z-]+\b")
NUMBER = re.compile(r"[-+~<>x]?\d")
WITH_UNIT = re.compile(r"[-+~<>x]?\d[\d.,]* ([^\d\s]\S*)(?: \*)?")
PLAIN = re.compile(r"[-+~<>x]?\d[\d.,:-]*(?: [^\d\s]\S*)?(?: \*)?")
SHORT = 13  # characters; names over longer texts stay level on a phone
INDENTED = 8  # blanks before what goes on with a row
NEAR = 3  # blanks between a cell and the column that it belongs to


@dataclass(slots=True)
class Cell:
    """Words between two gaps: what they say, where they begin and end."""

    text: str
    begin: int
    end: int


@dataclass(slots=True)
class Row:
    """A row of a table, and what is said beneath it."""

    cells: list[Cell]
    remarks: list[str] = field(default_factory=list)


def reflowed(lines: Iterable[str]) -> Markup:
    """The lines as HTML."""
    blocks = [list(block) for blank, block in groupby(lines, lambda line: not line.strip()) if not blank]
    parts: list[Markup] = []
    for k, block in enumerate(blocks):
        if k + 1 < len(blocks) and _is_head(block):
            blocks[k + 1][:0] = block
        else:
            parts += _block(block)
    return joined(parts)


def _is_head(block: Sequence[str]) -> bool:
    """Whether a block is nothing but the names of the columns of the table behind it."""
    return len(block) == 1 and len(_cells(block[0])) > 2 and not NUMBER.search(block[0])


def _block(lines: list[str]) -> Iterator[Markup]:
    if _is_heading(lines):
        yield tag("h3", _lowered(lines.pop(0).strip()))
    for tabular, held in groupby(_marked(lines), lambda pair: pair[0]):
        several = [line for _, line in held]
        yield from _table(several) if tabular else _sentences(several)


def _is_heading(lines: Sequence[str]) -> bool:
    """One line in capitals, or that begins so, over something else than the rest of its sentence."""
    first, after = lines[0], lines[1] if len(lines) > 1 else ""
    if not CAPITALS.match(first) or len(_cells(first)) > 1 or first.endswith((".", ":")):
        return False
    return not after or after.startswith((" ", "- ", "* ")) or len(_cells(after)) > 1 or _alone(first)


def _alone(line: str) -> bool:
    """Whether a line is in capitals up to its first comma, and short: no sentence begins so."""
    return line.partition(",")[0].isupper() and len(line) < 50


def _lowered(title: str) -> str:
    """Words in capitals made small, but for the first letter; what is written otherwise stays."""
    small = re.sub(r"\b[A-Z][A-Z-]*\b", lambda found: found[0].lower(), title)
    return small[:1].upper() + small[1:]


def _marked(lines: Sequence[str]) -> Iterator[tuple[bool, str]]:
    """Each line, and whether it belongs to a table."""
    inside = False
    for line in lines:
        goes_on = inside and len(line) - len(line.lstrip()) >= INDENTED
        inside = goes_on or (len(_cells(line)) > 1 and not line.lstrip().startswith("- "))
        yield inside, line


def _cells(line: str) -> list[Cell]:
    return [Cell(found[0], *found.span()) for found in CELL.finditer(line)]


def _sentences(lines: Sequence[str]) -> Iterator[Markup]:
    """Paragraphs, and lists where they begin with a dash."""
    texts: list[str] = []
    hanging = {"  ", "    "} <= {line[: len(line) - len(line.lstrip())] for line in lines}
    for before, line in zip(["", *lines], lines, strict=False):
        text = line.strip()
        word = tied(text).split(" ")[0]
        if hanging and line.startswith("  "):
            begins = not line.startswith("   ")
        else:
            begins = text.startswith("- ") or len(before) + 1 + len(word) <= WIDTH
        if begins or not texts:
            texts.append(text)
        else:
            texts[-1] += f" {text}"
    for dashed, several in groupby(texts, lambda text: text.startswith("- ")):
        if dashed:
            yield listed(text[2:] for text in several)
        else:
            yield from (tag("p", text) for text in several)


def _table(lines: Sequence[str]) -> Iterator[Markup]:
    rows = [_cells(line) for line in lines]
    if (labels := _pairs(rows)) is not None:
        yield _labelled(labels)
        return
    head, below = rows[0], rows[1:]
    while below and not any(NUMBER.search(cell.text) for cell in below[0]):
        _merge(head, below.pop(0))  # a second line of names
    yield _drawn(head, _whole(below))


def _pairs(rows: Sequence[list[Cell]]) -> list[tuple[str, str]] | None:
    """Labels with their sentences where all lines have two cells that begin at the same places; else None."""
    starts = {row[1].begin for row in rows if len(row) == 2}
    if len(starts) != 1 or len(rows[0]) != 2:
        return None
    (start,) = starts
    found: list[tuple[str, str]] = []
    for row in rows:
        if len(row) == 2 and row[0].begin < start:
            found.append((row[0].text, row[1].text))
        elif len(row) == 1 and row[0].begin == start:
            found[-1] = (found[-1][0], f"{found[-1][1]} {row[0].text}")
        else:
            return None
    return found


def _labelled(found: Sequence[tuple[str, str]]) -> Markup:
    if all(NUMBER.match(label) for label, _ in found):
        rows = (tag("tr", tag("td", label), tag("td", text, class_="said")) for label, text in found)
        return tag("table", tag("tbody", *rows), class_="numbers")
    return tag("dl", *(part for label, text in found for part in (tag("dt", label), tag("dd", text))))


def _merge(above: list[Cell], more: Sequence[Cell]) -> None:
    """Words written under others, added to them; what stands under nothing is a cell of its own."""
    for cell in (part for it in more for part in _parted(above, it)):
        under = max(above, key=lambda it: _overlap(it, cell))
        if _overlap(under, cell) < 0:
            above.append(cell)
            above.sort(key=lambda it: it.begin)
        else:
            under.text += f" {cell.text}"
            under.begin, under.end = min(under.begin, cell.begin), max(under.end, cell.end)


def _parted(columns: Sequence[Cell], cell: Cell) -> list[Cell]:
    """Names that stand under several others, word by word."""
    if sum(_overlap(it, cell) > 0 for it in columns) < 2:
        return [cell]
    return [
        Cell(it[0], cell.begin + it.start(), cell.begin + it.end()) for it in re.finditer(r"\S+", cell.text)
    ]


def _whole(lines: Sequence[list[Cell]]) -> list[Row]:
    """Rows with the lines that go on with them."""
    rows: list[Row] = []
    for cells in lines:
        goes_on = bool(rows) and cells[0].begin >= rows[-1].cells[0].end
        if goes_on and len(cells) == 1 and not _wrapped(rows[-1], cells[0]):
            rows[-1].remarks.append(cells[0].text)
        elif goes_on:
            for cell in cells:
                above = next((it for it in rows[-1].cells if it.begin == cell.begin), None)
                if above is None:
                    rows[-1].cells.append(cell)
                else:
                    above.text += f" {cell.text}"
        else:
            rows.append(Row(list(cells)))
    return rows


def _wrapped(row: Row, cell: Cell) -> bool:
    """Whether a lone cell goes on with one of the row: its last, or one that ends with a comma."""
    above = next((it for it in row.cells if it.begin == cell.begin), None)
    return above is not None and (above is row.cells[-1] or above.text.endswith(","))


def _drawn(head: list[Cell], rows: Sequence[Row]) -> Markup:
    columns = _columns(head, rows)
    placed = [[_text(columns, k, row) for k in range(len(columns))] for row in rows]
    words = [
        sum(map(_is_number, (cells[k] for cells in placed))) * 2 < len(placed) for k in range(len(columns))
    ]
    named = [_name(it, [cells[k] for cells in placed]) for k, it in enumerate(columns)]
    body: list[Markup] = []
    for row, cells in zip(rows, placed, strict=True):
        each = (
            tag("td", text.replace(f" {unit}", "") if unit else text, class_="said" if said else None)
            for text, said, (_, unit) in zip(cells, words, named, strict=True)
        )
        body.append(tag("tr", *each))
        body += [tag("tr", tag("td", text, colspan=len(columns)), class_="remark") for text in row.remarks]
    return tag(
        "table", tag("thead", tag("tr", *_names(named, placed))), tag("tbody", *body), class_="numbers"
    )


def _name(column: Cell, cells: Sequence[str]) -> tuple[str, str]:
    """A column's name and its unit, where all its numbers have the same: it then stands in the name."""
    units = {found[1] if (found := WITH_UNIT.fullmatch(text)) else "" for text in cells if text}
    if len(units) != 1 or units == {""} or not column.text:
        return column.text, ""
    (unit,) = units
    return f"{column.text}, {unit}", unit


def _names(named: Sequence[tuple[str, str]], placed: Sequence[Sequence[str]]) -> Iterator[Markup]:
    """The names of columns; those over long texts stay level on a phone, the others are turned."""
    for k, (name, _) in enumerate(named):
        level = max((len(cells[k]) for cells in placed), default=0) > SHORT
        head = tag("th", tag("span", name), scope="col", class_="said" if level else None)
        yield head if name else tag("td")


def _is_number(text: str) -> bool:
    return bool(PLAIN.fullmatch(text))


def _columns(head: Sequence[Cell], rows: Sequence[Row]) -> list[Cell]:
    """The columns from the left, those without a name too."""
    columns = list(_split(head, rows))
    for row in rows:
        taken: list[Cell] = []
        for cell in sorted(row.cells, key=lambda it: -max(_overlap(it, column) for column in columns)):
            column = _nearest(columns, cell)
            if column is None or any(column is it for it in taken):  # beside one that stands there already
                column = Cell("", cell.begin, cell.end)
                columns.append(column)
            taken.append(column)
    return sorted(columns, key=lambda it: it.begin)


def _split(head: Sequence[Cell], rows: Sequence[Row]) -> Iterator[Cell]:
    """The columns; names that one blank parts are two, where most rows have two cells there."""
    for cell in head:
        words = cell.text.split()
        under = [sum(_overlap(cell, it) > 0 for it in row.cells) for row in rows]
        if len(words) > 1 and under and sorted(under)[len(under) // 2] == len(words):
            at = cell.begin
            for word in words:
                yield Cell(word, at, at + len(word))
                at += len(word) + 1
        else:
            yield cell


def _text(columns: Sequence[Cell], k: int, row: Row) -> str:
    return " ".join(cell.text for cell in row.cells if _nearest(columns, cell) is columns[k])


def _nearest(columns: Sequence[Cell], cell: Cell) -> Cell | None:
    """The column that a cell stands under most of, or nearly under; None where there is none."""
    best = max(columns, key=lambda it: _overlap(it, cell), default=None)
    return best if best is not None and _overlap(best, cell) > -NEAR else None


def _overlap(one: Cell, other: Cell) -> int:
    """How many characters two cells share; negative: how many are between them."""
    return min(one.end, other.end) - max(one.begin, other.begin)
