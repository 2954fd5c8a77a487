"""Files written whole: nothing that a user could lose is ever half there."""

import os
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path


def write_all(files: Mapping[Path, bytes]) -> None:
    """Write files; each is whole on the disk before the first takes its name. OSError if one cannot be written."""
    with ExitStack() as parts:
        written = [(parts.enter_context(_part(path)), path, content) for path, content in files.items()]
        for part, _, content in written:
            with part.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for part, path, _ in written:
            part.replace(path)


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole; FileExistsError if it is, OSError if it cannot be written."""
    with _part(path) as part:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        try:
            path.hardlink_to(part)  # unlike a renaming it never takes another's place
        except FileExistsError:
            raise
        except OSError:  # a disk without links
            with path.open("xb") as file:
                file.write(content)


@contextmanager
def _part(path: Path) -> Iterator[Path]:
    """A temporary path in the same folder, gone afterwards whatever happened."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield part
    finally:
        part.unlink(missing_ok=True)
