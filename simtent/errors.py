"""One family of errors: what is wrong, where it stands, what is allowed, what to do."""

from collections.abc import Iterable
from dataclasses import dataclass

LONGEST_VALUE, LONGEST_SENTENCE = 100, 400  # characters that a message shows of what the user wrote


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault in what the user gave.

    what     the fault in one sentence, without the place
    file     path of the file it stands in, as the user wrote it
    line     line in that file, counted from 1
    key      dotted key, "shelter.length"
    value    the value as the user wrote it
    allowed  the allowed range or the allowed words
    todo     what to do about it
    """

    what: str
    file: str | None = None
    line: int | None = None
    key: str | None = None
    value: str | None = None
    allowed: str | None = None
    todo: str | None = None

    def __str__(self) -> str:
        key = _shown(self.key or "", LONGEST_VALUE)
        place = [_shown(self.file or ""), f"line {self.line}" if self.line else "", key]
        head = ", ".join(part for part in place if part)
        what = _sentence(_shown(self.what, LONGEST_SENTENCE))
        text = f"{head}: {what}" if head else what
        if self.value is not None and self.value not in self.what:
            text += f" Given: {_shown(self.value, LONGEST_VALUE)}."
        if self.allowed:
            text += f" Allowed: {_shown(self.allowed)}."
        if self.todo:
            text += f" {_sentence(_shown(self.todo, LONGEST_SENTENCE))}"
        return text


class SimtentError(Exception):
    """Base of every error that simtent raises on purpose."""


class InputError(SimtentError):
    """Something in the user's input; carries every fault found, never only the first."""

    def __init__(self, faults: Fault | str | Iterable[Fault]) -> None:
        if isinstance(faults, str):
            faults = Fault(faults)
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class SolveError(SimtentError):
    """The solver could not finish; says where it stopped and what may help."""


class StudyError(SimtentError):
    """A study could not go on; says why, what is kept, and what to do."""


def read_as_utf8(text: str) -> str:
    r"""Text of a command line that was read in a poorer encoding, as the UTF-8 that it mostly is.

    Bytes that Python could not read stand in it as halves of pairs; what is no UTF-8 either is shown as numbers.

    >>> read_as_utf8("H\udcc3\udcbctte"), read_as_utf8("H\udcfctte"), read_as_utf8("camp")
    ('H\xfctte', 'H\\xfctte', 'camp')
    """
    try:
        return text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    except UnicodeEncodeError:
        return text


def _shown(text: str, most: int | None = None) -> str:
    """Text that a terminal can show on one line: nothing that steers it, and the middle left out of what is long."""
    marks = read_as_utf8(text)
    plain = "".join(mark if mark.isprintable() else mark.encode("unicode_escape").decode() for mark in marks)
    if most is None or len(plain) <= most:
        return plain
    return f"{plain[: most // 2]} ... {plain[-(most // 2) :]}"


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else text + "."
