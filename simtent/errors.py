"""One family of errors: what is wrong, where it stands, what is allowed, what to do."""

from collections.abc import Iterable
from dataclasses import dataclass


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
        place = [self.file or "", f"line {self.line}" if self.line else "", self.key or ""]
        head = ", ".join(part for part in place if part)
        text = f"{head}: {_sentence(self.what)}" if head else _sentence(self.what)
        if self.value is not None and self.value not in self.what:
            text += f" Given: {self.value}."
        if self.allowed:
            text += f" Allowed: {self.allowed}."
        if self.todo:
            text += f" {_sentence(self.todo)}"
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


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?", "!")) else text + "."
