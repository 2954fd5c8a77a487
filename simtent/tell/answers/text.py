"""A document as the one line that is printed."""

import errno
import json
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from simtent.tell.answers.told import Told


def text(document: Told) -> str:
    """The document on one line, of ASCII alone; ValueError where a number is not finite."""
    return json.dumps(document.model_dump(mode="json"), ensure_ascii=True, allow_nan=False) + "\n"


def say(document: Told) -> None:
    """Print the document on standard output, whole: Ctrl-C waits until it is out."""
    whole = text(document)
    if sys.stdout is None:
        raise OSError(errno.EBADF, "there is no standard output")
    with _interrupted_later():
        sys.stdout.write(whole)
        sys.stdout.flush()


@contextmanager
def _interrupted_later() -> Iterator[None]:
    """Keep an interruption until the end; elsewhere than in the main thread there is none."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    kept = list[int]()

    def keep(number: int, _frame: FrameType | None) -> None:
        kept.append(number)

    before = signal.signal(signal.SIGINT, keep)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if kept:
        raise KeyboardInterrupt
