"""One process at a time works in a folder."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from simtent.errors import Fault, InputError

NAME = ".lock"


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keep others out of the folder; the system lets go of it however this process ends.

    InputError where another process is at work in it, or it cannot be written.
    """
    try:
        file = os.open(folder / NAME, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise unwritable(folder, error) from None
    try:
        try:
            _lock(file)
        except OSError:
            todo = "Wait for it, or stop it; what it has solved is kept"
            raise InputError(
                Fault("another process is at work in this folder", file=str(folder), todo=todo)
            ) from None
        yield
    finally:
        os.close(file)


def unwritable(folder: Path, error: OSError) -> InputError:
    """What to tell of a folder that cannot be made or written."""
    todo = "Choose a folder that can be made and written, with room on its disk"
    if isinstance(error, FileExistsError | NotADirectoryError):
        return InputError(
            Fault("a file is in the way of the folder", file=str(folder), todo="Choose another name")
        )
    what = f"the folder cannot be written: {error.strerror or error}"
    return InputError(Fault(what, file=str(folder), todo=todo))


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> None:
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(file: int) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
