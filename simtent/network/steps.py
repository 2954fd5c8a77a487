"""The steps that were accepted, written down so that another night can be stepped alike.

By which length a step is made depends on its error, and so on every digit of the state: two nights that differ in a
parameter by a hair are stepped otherwise, and differ by the error of both. Stepped alike they differ by the hair.
"""

from typing import NamedTuple

from simtent import compiled
from simtent.network.arrays import Array, Indices

READ, WRITTEN = range(2)  # rows so far, `Book.rows`


class Steps(NamedTuple):
    """Accepted steps in their order.

    begin, until  where the step begins, and to where it was gone [s]
    length        its length [s]; longer than it was gone where a watched value fell within it
    stretch       number of its stretch from stop to stop, from 1
    how           its order; negative where a history begins with it
    fell          1 where a watched value fell within it
    """

    begin: Array
    until: Array
    length: Array
    stretch: Indices
    how: Indices
    fell: Indices


class Book(NamedTuple):
    """Steps of another night that are to be gone again, none for a night of its own; and those of this night."""

    past: Steps
    made: Steps
    rows: Indices  # [2]


def write_down(
    begin: float, until: float, length: float, stretch: int, how: int, fell: bool, book: Book
) -> None:
    """Write an accepted step down, if there is room."""
    made, row = book.made, book.rows[WRITTEN]
    if row < made.begin.size:
        made.begin[row], made.until[row], made.length[row] = begin, until, length
        made.stretch[row], made.how[row], made.fell[row] = stretch, how, int(fell)
        book.rows[WRITTEN] = row + 1


def past_of_stretch(stretch: int, book: Book) -> int:
    """One past the last row of a stretch that is to be gone again; the next row to read where it has none."""
    past, row = book.past, book.rows[READ]
    while row < past.begin.size and past.stretch[row] == stretch:
        row += 1
    return int(row)


def scale_of_stretch(t: float, stop: float, end: int, book: Book) -> float:
    """By what the steps of a stretch are now longer, since a moment that a parameter moves bounds it.

    Steps that ended where a value fell are as long as they were: where it falls now is found anew.
    """
    past = book.past
    if past.fell[end - 1] == 1:
        return 1.0
    return float((stop - t) / (past.until[end - 1] - past.begin[book.rows[READ]]))


compiled.compile_module(globals())
