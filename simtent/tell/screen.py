"""What goes to the terminal: results to standard output, progress and errors to standard error."""

import os
import sys
from collections.abc import Iterable
from shutil import get_terminal_size

from simtent.errors import read_as_utf8
from simtent.tell.signs import BLOCKS, shown, takes

NARROWEST, WIDEST = 60, 80  # columns that are written
LOUD = ("CAUTION", "STOP", "NOTE", "FOUND", "ODDITIES", "MENDED")


def show(lines: Iterable[str]) -> None:
    """Print lines, headings and levels of findings in bold where the terminal can."""
    from rich.console import Console  # noqa: PLC0415  (needed only to show something)
    from rich.text import Text  # noqa: PLC0415

    from simtent.tell.narrow import narrowed  # noqa: PLC0415

    text = Text()
    for line in narrowed(lines, columns()):
        text.append(f"{shown(line, _encoding())}\n", style="bold" if line.startswith(LOUD) else "")
    try:
        Console(highlight=False).print(text, soft_wrap=True, end="")
        sys.stdout.flush()
    except SystemExit:  # what the library makes of a reader that went away
        raise BrokenPipeError from None


def say(line: str) -> None:
    """Print one plain line."""
    print(shown(line, _encoding()))


def hear(prompt: str) -> str:
    """A line that somebody types after a prompt; EOFError at the end."""
    return input(shown(prompt, _encoding()))


def columns() -> int:
    """How many columns are written: those of a narrow terminal, and never more than 80."""
    return min(max(get_terminal_size((WIDEST, 24)).columns, NARROWEST), WIDEST)


def has_blocks() -> bool:
    """Whether standard output takes block elements."""
    return takes(_encoding(), BLOCKS)


def _encoding() -> str:
    """That of standard output; one that has none takes every sign."""
    return getattr(sys.stdout, "encoding", None) or "utf-8"


def tell(line: str) -> None:
    """Say what is being done, on standard error."""
    print(read_as_utf8(line), file=sys.stderr, flush=True)


def leave_quietly() -> None:
    """Let nothing more go to a standard output that takes nothing more, not even at the process's end."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def complain(lines: Iterable[str]) -> None:
    """Print error messages as plain lines, on standard error."""
    print(read_as_utf8("\n".join(lines)), file=sys.stderr, flush=True)
