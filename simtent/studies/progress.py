"""How far a study is, with the time that it takes, on standard error."""

import time
from collections.abc import Iterator
from contextlib import contextmanager

from simtent.studies.worker import Begun, Ended, Kept, Said

RECENT = 120.0  # s, over which the speed is taken for the time left
FEWEST, SHORTEST = 5, 1.0  # nights, and seconds, from which the time left is told
SPANS = (
    (5400.0, 3600.0, "h"),
    (90.0, 60.0, "min"),
    (0.0, 1.0, "s"),
)  # from how many seconds on, in what unit


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


class Estimate:
    """How long the nights that are left take, once: from the first chunks, without what comes before the first night.

    A worker's first night takes longer, since it loads or compiles what all others use.
    """

    def __init__(self, left: int) -> None:
        self._left = left
        self._first: float | None = None
        self._ended = 0
        self._told = False

    def hear(self, said: Said) -> str | None:
        """Take note of what a worker said; the estimate as soon as there is one."""
        now = time.monotonic()
        if isinstance(said, Ended):
            self._left -= 1
            if self._first is None:
                self._first = now
            else:
                self._ended += 1
        if self._told or not isinstance(said, Kept) or self._first is None or self._left <= 0:
            return None
        took = now - self._first
        if self._ended < FEWEST or took < SHORTEST:
            return None
        self._told = True
        left = span(self._left * took / self._ended)
        return f"At this pace the {self._left:,} nights that are left take some {left}."


def span(seconds: float) -> str:
    """A time as people say it, in two figures or so: "40 s", "3.2 min"."""
    _, size, unit = next(it for it in SPANS if seconds >= it[0])
    number = seconds / size
    return f"{number:.0f} {unit}" if number >= 9.95 else f"{number:.1f} {unit}"


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
        self._estimate = Estimate(total - done)
        self._name = name
        self._bar = self.progress.add_task(note or name, total=total, completed=done, failed="")

    def hear(self, said: Said) -> None:
        """Move the bar on; say once how long it will take."""
        if estimate := self._estimate.hear(said):
            self.tell(estimate)
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
