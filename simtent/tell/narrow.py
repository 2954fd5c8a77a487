"""Lines made for 80 columns, for a terminal that has fewer: sentences wrapped anew, gaps of tables closed.

Every verb writes for 80 columns. Here its lines are read back by few rules: a blank line parts blocks, two blanks
part cells, what stands under the last cell goes on with it, and a line begins another sentence if its first word had
still found room on the line before. No word is lost; a table that cannot be closed far enough stays as wide as it is.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise
from textwrap import wrap

from simtent.tell.words import TIED, WIDTH, tied

CELL = re.compile(r"\S+(?: \S+)*")
INDENTED = 8  # blanks before what goes on with a row
ARROW = re.compile(r"(->|-|\*) ")
GENEROUS, SCANTY, LEAST = (
    30,
    12,
    10,
)  # columns for words beside a table: wished for, needed, too few to wrap in
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
    heads = _heads(lines)
    several: list[list[str]] = []
    for line in lines:
        if several and _indent(line) not in heads and _goes_on(several[-1], line, before):
            several[-1].append(line)
        else:
            several.append([line])
    for own in several:
        first = _indent(own[0])
        arrow = ARROW.match(own[0].lstrip())
        rest = _indent(own[1]) if len(own) > 1 else first + (len(arrow[0]) if arrow else 0)
        yield from _wrapped(" ".join(line.strip() for line in own), columns, first, rest)


def _wrapped(text: str, columns: int, first: int, rest: int) -> Iterator[str]:
    """A sentence in lines of so many columns, behind so many blanks; one empty line for none."""
    made = wrap(
        tied(text),
        columns,
        initial_indent=" " * first,
        subsequent_indent=" " * rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    yield from (line.replace(TIED, " ") for line in made or [""])


def _heads(lines: Sequence[str]) -> set[int]:
    """Indents at which only sentences begin, since what goes on with them stands further in."""
    return {
        _indent(above)
        for above, line in pairwise(lines)
        if _indent(line) > _indent(above) and not ARROW.match(above.lstrip())
    }


def _goes_on(own: Sequence[str], line: str, before: int) -> bool:
    """Whether a line goes on with the sentence of those above it."""
    word = tied(line.strip()).split(" ")[0]
    if not word or word in ("-", "->") or len(own[-1]) + 1 + len(word) <= before:
        return False
    return _indent(line) == _indent(own[1]) if len(own) > 1 else _indent(line) >= _indent(own[0])


def _table(lines: Sequence[str], columns: int) -> Iterator[str]:
    """Rows with their gaps closed, the words of their last cell and what is said beneath them wrapped anew."""
    width = max(map(len, lines))
    rows = [line.ljust(width) for line in lines]
    gaps = _gaps([row for row in rows if len(_cells(row)) > 1])
    start = gaps[-1][1] if gaps else 0
    worded = any(len(row[start:].strip()) >= LONG for row in rows if not _is_remark(row, start))
    closed = _closed(gaps, start, columns, worded=worded, width=width)
    now, room = start - len(closed), columns - start + len(closed)
    for row in _rows(rows, start):
        if _is_remark(row[0], start):
            yield from _sentences(row, WIDTH, columns)
            continue
        short = ["".join(mark for k, mark in enumerate(line) if k not in closed).rstrip() for line in row]
        if max(map(len, short)) <= columns or room < LEAST or not gaps:
            yield from short
            continue
        beside = [line[start:].rstrip() for line in row]
        for k, text in enumerate(_sentences(beside, WIDTH - start, room)):
            yield f"{short[0][:now] if k == 0 else '':<{now}}{text}".rstrip()


def _gaps(rows: Sequence[str]) -> list[tuple[int, int]]:
    """Where two blanks or more go down through all rows, behind the first cell: first and after the last."""
    width = max(map(len, rows), default=0)
    blank = "".join("." if any(row[k] != " " for row in rows) else " " for k in range(width))
    return [found.span() for found in re.finditer(r"(?<=\.) {2,}(?=\.)", blank)]


def _closed(
    gaps: Sequence[tuple[int, int]], start: int, columns: int, *, worded: bool, width: int
) -> set[int]:
    """Blank columns that are left out: down to two blanks as far as is wished, down to one as far as is needed.

    start, width  where the last cell begins, and the table ends
    worded        whether the last cell can be wrapped
    """
    wished, needed = (start + GENEROUS, start + SCANTY) if worded else (width, width)
    taken: set[int] = set()
    for left, goal in ((2, wished), (1, needed)):
        spare = sorted((range(begin, end - left) for begin, end in gaps), key=len, reverse=True)
        for column in (column for several in spare for column in several):
            if goal - len(taken) > columns:
                taken.add(column)
    return taken


def _rows(rows: Sequence[str], start: int) -> Iterator[list[str]]:
    """Each row with the lines that go on with its last cell; remarks beneath a row by themselves."""
    row: list[str] = []
    for line in rows:
        goes_on = _indent(line) >= start or (
            _is_remark(line, start) and _is_remark(row[-1], start) if row else False
        )
        if row and not (line.strip() and goes_on):
            yield row
            row = []
        row.append(line)
    yield row


def _is_remark(line: str, start: int) -> bool:
    """Whether a line is words beneath a row, across its columns."""
    return INDENTED <= _indent(line) < start and len(_cells(line)) == 1
