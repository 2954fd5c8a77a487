"""Lines made for 80 columns, for a terminal that has fewer: sentences wrapped anew, gaps of tables closed.

Every verb writes for 80 columns. Here its lines are read back by few rules: a blank line parts blocks, two blanks
part cells, what stands under the last cell goes on with it, and a line begins another sentence if its first word had
still found room on the line before. No word is lost; a table that cannot be closed far enough stays as wide as it is.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from simtent.tell.words import TIED, WIDTH, tied

CELL = re.compile(r"\S+(?: \S+)*")
INDENTED = 8  # blanks before what goes on with a row
GENEROUS, SCANTY = (
    30,
    14,
)  # columns for the words beside a table: wished for; below them gaps are closed to one blank
LONG = 16  # characters from which a last cell counts as words


def narrowed(lines: Iterable[str], columns: int) -> list[str]:
    """The lines in at most so many columns, as far as their tables allow.

    >>> narrowed(["CAUTION  Keep both vents open all night.", "         -> Look at them."], 30)
    ['CAUTION  Keep both vents open', '         all night.', '         -> Look at them.']
    """
    given = list(lines)
    if all(len(line) <= columns for line in given):
        return given
    return [line for block in _blocks(given) for line in _block(block, columns)]


def _blocks(lines: Sequence[str]) -> Iterator[list[str]]:
    """What blank lines part, these too; the names of columns stay with the table under them."""
    parts = [list(part) for _, part in groupby(lines, lambda line: bool(line.strip()))]
    while parts:
        block = parts.pop(0)
        while len(parts) > 1 and _is_head(block):
            block += parts.pop(0) + parts.pop(0)
            if len(block) > 3:
                break
        yield block


def _is_head(block: Sequence[str]) -> bool:
    return len(block) == 1 and len(_cells(block[0])) > 2 and not re.search(r"\d", block[0])


def _block(lines: Sequence[str], columns: int) -> Iterator[str]:
    if all(len(line) <= columns for line in lines):
        yield from lines
        return
    for tabular, held in groupby(_marked(lines), lambda pair: pair[0]):
        several = [line for _, line in held]
        yield from _table(several, columns) if tabular else _sentences(several, WIDTH, columns)


def _marked(lines: Sequence[str]) -> Iterator[tuple[bool, str]]:
    """Each line, and whether it belongs to a table."""
    inside = False
    for line in lines:
        goes_on = inside and (not line.strip() or _indent(line) >= INDENTED)
        inside = goes_on or (len(_cells(line)) > 1 and not line.lstrip().startswith("- "))
        yield inside, line


def _cells(line: str) -> list[str]:
    return CELL.findall(line)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _sentences(lines: Sequence[str], before: int, columns: int) -> Iterator[str]:
    """Paragraphs that were wrapped at so many columns, wrapped at fewer."""
    several: list[list[str]] = []
    for line in lines:
        if several and _goes_on(several[-1], line, before):
            several[-1].append(line)
        else:
            several.append([line])
    for own in several:
        first = _indent(own[0])
        arrow = re.match(r"(->|-|\*) ", own[0].lstrip())
        rest = _indent(own[1]) if len(own) > 1 else first + (len(arrow[0]) if arrow else 0)
        text = tied(" ".join(line.strip() for line in own))
        made = wrap(
            text, columns, initial_indent=" " * first, subsequent_indent=" " * rest,
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip
        yield from (line.replace(TIED, " ") for line in made or [""])


def _goes_on(own: Sequence[str], line: str, before: int) -> bool:
    """Whether a line goes on with the sentence of those above it."""
    word = tied(line.strip()).split(" ")[0]
    if not word or word in ("-", "->") or len(own[-1]) + 1 + len(word) <= before:
        return False
    return _indent(line) == _indent(own[1]) if len(own) > 1 else _indent(line) >= _indent(own[0])


def _table(lines: Sequence[str], columns: int) -> Iterator[str]:
    width = max(map(len, lines))
    rows = [line.ljust(width) for line in lines]
    gaps = _gaps(rows)
    start = gaps[-1][1] if gaps else 0
    words = [row[start:].strip() for row in rows if len(row[start:].strip()) >= LONG]
    worded = any(re.search(r"[a-z] \S", text) for text in words)
    closed = _closed(
        gaps, start + GENEROUS if worded else width, start + SCANTY if worded else width, columns
    )
    short = [_without(row, closed).rstrip() for row in rows]
    now = start - len(closed)
    if not worded or columns - now < SCANTY or max(map(len, short)) <= columns:
        yield from short
        return
    for row in _rows(short, now):
        beside = [line[now:] for line in row]
        for k, text in enumerate(_sentences(beside, WIDTH - start, columns - now)):
            yield f"{row[0][:now] if k == 0 else '':<{now}}{text}".rstrip()


def _gaps(rows: Sequence[str]) -> list[tuple[int, int]]:
    """Where two blanks or more go down through all rows, behind the first cell: first and after the last."""
    blank = "".join("." if any(row[k] != " " for row in rows) else " " for k in range(len(rows[0])))
    return [found.span() for found in re.finditer(r"(?<=\.) {2,}(?=\.)", blank)]


def _closed(gaps: Sequence[tuple[int, int]], wished: int, needed: int, columns: int) -> set[int]:
    """Blank columns that are left out: down to two blanks as far as is wished, down to one as far as is needed."""
    taken: set[int] = set()
    for left, width in ((2, wished), (1, needed)):
        spare = sorted(
            ((end - begin, range(begin, end - left)) for begin, end in gaps), key=lambda it: -it[0]
        )
        for column in (column for _, several in spare for column in several):
            if width - len(taken) > columns:
                taken.add(column)
    return taken


def _without(row: str, columns: set[int]) -> str:
    return "".join(mark for k, mark in enumerate(row) if k not in columns)


def _rows(lines: Sequence[str], start: int) -> Iterator[list[str]]:
    """Each row with the lines that go on with its last cell."""
    row: list[str] = []
    for line in lines:
        if row and (line[:start].strip() or not line.strip()):
            yield row
            row = []
        row.append(line)
    yield row
