"""What goes to the terminal: results to standard output, progress and errors to standard error."""

import os
import sys
from collections.abc import Iterable

LOUD = ("CAUTION", "STOP", "NOTE", "FOUND", "ODDITIES", "MENDED")


def show(lines: Iterable[str]) -> None:
    """Print lines, headings and levels of findings in bold where the terminal can."""
    from rich.console import Console  # noqa: PLC0415  (needed only to show something)
    from rich.text import Text  # noqa: PLC0415

    text = Text()
    for line in lines:
        text.append(f"{line}\n", style="bold" if line.startswith(LOUD) else "")
    try:
        Console(highlight=False).print(text, soft_wrap=True, end="")
        sys.stdout.flush()
    except SystemExit:  # what the library makes of a reader that went away
        raise BrokenPipeError from None


def say(line: str) -> None:
    """Print one plain line."""
    print(line)


def tell(line: str) -> None:
    """Say what is being done, on standard error."""
    print(line, file=sys.stderr, flush=True)


def leave_quietly() -> None:
    """Let nothing more go to a standard output that takes nothing more, not even at the process's end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def complain(lines: Iterable[str]) -> None:
    """Print error messages as plain lines, on standard error."""
    print("\n".join(lines), file=sys.stderr, flush=True)
