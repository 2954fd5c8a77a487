"""What `simtent check` answers: what is odd in a file without faults; faults are the document `simtent.faults`."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Literal

from simtent.scenario.odd import Oddity
from simtent.tell.answers.head import Around, Document
from simtent.tell.answers.told import Told


class Odd(Told):
    """One thing that is allowed, and yet worth a second look."""

    what: str
    """what is odd, a sentence without its place"""
    why: str
    """why it matters"""
    todo: str
    """what to do about it"""
    file: str
    """of the key, or where the value came from, as --set"""
    line: int | None
    """in that file, counted from 1; null where nothing was given"""
    key: str
    """dotted key"""
    value: str | None
    """as it was written; null where nothing was given"""


class CheckAnswer(Document):
    """A file without faults, looked through; nothing was simulated."""

    format: Literal["simtent.check"] = "simtent.check"
    version: Literal[1] = 1
    mended: list[str]
    """what had to be mended as the files were read"""
    oddities: list[Odd]
    """each is allowed and may be right"""


def answer(around: Around, found: Sequence[Oddity]) -> CheckAnswer:
    """The document of a look through a file."""
    assert around.scenario is not None
    pairs = ((it.key, f"{it.what.rstrip('.')}. {it.why}") for it in found)
    return CheckAnswer(
        **around.head(pairs),
        mended=list(around.scenario.repairs),
        oddities=[Odd(**asdict(it)) for it in found],
    )
