"""A folder for a while: gone with the last who holds it, without a word."""

import shutil
import tempfile
import weakref
from pathlib import Path


class Room:
    """A folder of its own, removed when nobody holds it any more, or when Python ends."""

    def __init__(self) -> None:
        self.path = Path(tempfile.mkdtemp(prefix="simtent_"))
        weakref.finalize(self, shutil.rmtree, self.path, ignore_errors=True)
