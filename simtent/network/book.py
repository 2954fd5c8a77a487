"""The book of a night's steps, opened and read from Python."""

import numpy as np

from simtent.network.steps import WRITTEN, Book, Steps


def open_book(past: Steps | None, room: int) -> Book:
    """A book with room for so many steps; the system gives it only as it is filled."""
    return Book(past or _blank(0), _blank(room), np.zeros(2, np.int64))


def made(book: Book) -> Steps:
    """The steps written down."""
    rows, steps = int(book.rows[WRITTEN]), book.made
    return Steps(
        steps.begin[:rows].copy(),
        steps.until[:rows].copy(),
        steps.length[:rows].copy(),
        steps.stretch[:rows].copy(),
        steps.how[:rows].copy(),
        steps.fell[:rows].copy(),
    )


def _blank(rows: int) -> Steps:
    return Steps(
        np.empty(rows),
        np.empty(rows),
        np.empty(rows),
        np.empty(rows, np.int64),
        np.empty(rows, np.int64),
        np.empty(rows, np.int64),
    )
