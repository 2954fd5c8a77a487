"""How far a study is, with the time left, on standard error."""

from collections.abc import Iterator
from contextlib import contextmanager

from simtent.studies.worker import Begun, Ended, Said

RECENT = 120.0  # s, over which the speed is taken for the time left


class Count:
    """Nights done; a chunk begun anew counts its nights once."""

    def __init__(self, done: int) -> None:
        self.kept = done
        self._ended: set[int] = set()
        self.failed = 0

    def hear(self, said: Said) -> int:
        """Take note of what a worker said; how many nights are done."""
        if isinstance(said, Ended) and said.case not in self._ended:
            self._ended.add(said.case)
            self.failed += said.failed
        return self.kept + len(self._ended)


class Quiet:
    """Says nothing."""

    def hear(self, said: Said) -> None:
        """Take note of what a worker said."""

    def tell(self, line: str) -> None:
        """Say something to people."""


class Bar(Quiet):
    """A bar that fills, with the time left."""

    def __init__(self, name: str, total: int, done: int, note: str) -> None:
        from rich.console import Console  # noqa: PLC0415  (slow to import, and only for a bar)
        from rich.progress import (  # noqa: PLC0415
            BarColumn,
            MofNCompleteColumn,
            Progress,
            TextColumn,
            TimeElapsedColumn,
            TimeRemainingColumn,
        )

        self._console = Console(stderr=True)
        columns = (
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            TextColumn("nights"),
            TimeElapsedColumn(),
            TextColumn("left"),
            TimeRemainingColumn(),
            TextColumn("{task.fields[failed]}"),
        )
        self.progress = Progress(*columns, console=self._console, speed_estimate_period=RECENT)
        self._count = Count(done)
        self._name = name
        self._bar = self.progress.add_task(note or name, total=total, completed=done, failed="")

    def hear(self, said: Said) -> None:
        """Move the bar on."""
        if isinstance(said, Begun):
            return
        done = self._count.hear(said)
        failed = f"{self._count.failed} failed" if self._count.failed else ""
        self.progress.update(self._bar, completed=done, description=self._name, failed=failed)

    def tell(self, line: str) -> None:
        """Say something below the bar."""
        self._console.print(line, markup=False, highlight=False)


@contextmanager
def shown(name: str, total: int, done: int, *, note: str, quiet: bool) -> Iterator[Quiet]:
    """A bar while the study runs, or nothing; `note` stands in place of the name until a night is done."""
    if quiet:
        yield Quiet()
        return
    bar = Bar(name, total, done, note)
    with bar.progress:
        yield bar
