"""Many nights, on all cores, kept in a folder that survives whatever stops the work."""

import os
import sys
from collections.abc import Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from os import PathLike
from pathlib import Path
from typing import Protocol

import xarray as xr

from simtent import compiled
from simtent.driver import KERNELS, SWIFT
from simtent.errors import StudyError
from simtent.scenario.scenario import Scenario
from simtent.studies import manifest as manifests
from simtent.studies.alone import alone, unwritable
from simtent.studies.cases import Cases, Variation, cases_of
from simtent.studies.chunk import chunk_name
from simtent.studies.manifest import LaidOut, Manifest
from simtent.studies.pool import solve_all
from simtent.studies.progress import shown
from simtent.studies.store import failed_in, open_study
from simtent.studies.wanted import USUAL, Night, check_wanted, needs_readings
from simtent.studies.worker import Said, Setup, Task

ONE_NIGHT = "simtent.studies.night:one_night"  # named, not imported: workers need it, this process does not
ITS_ACCURACY = f"{SWIFT.method}, rtol {SWIFT.rtol:g}, atol {SWIFT.atol:g} K"
READINGS = ("rhs.observe",)  # compiled last where a night is read at every time
LARGEST_CHUNK = 50  # nights
FEWEST_CHUNKS = 32  # so that all cores have work to the end


class Hands(Protocol):
    """Those who solve the tasks of a study, and say what they have done; `count` is the number of tasks."""

    def __call__(
        self, setup: Setup, tasks: Iterator[Task], count: int, *, cold: bool
    ) -> Generator[Said, None, None]:
        """Solve them."""
        ...


def study(
    scenarios: Scenario | Sequence[Scenario],
    folder: str | PathLike[str],
    variations: Sequence[Variation] | None = None,
    *,
    keep: Iterable[str] = USUAL,
    precision: str = "float32",
    chunk: int | None = None,
    night: Night | None = None,
    workers: int | None = None,
    retry_failed: bool = False,
    quiet: bool = False,
    laid_out: LaidOut | None = None,
    cluster: str | None = None,
) -> xr.Dataset:
    """Solve many nights and keep them in a folder; called again, go on where it was stopped.

    Each chunk of nights becomes a file, written whole or not at all. Ctrl-C, or a process that is killed, loses at
    most the chunks in work. A night that fails is kept with the reason, and not tried again unless that is asked for.
    The folder of a study that was interrupted ends byte for byte as if it had not been.

    Parameters
    ----------
    scenarios : Scenario or sequence of Scenario
        From `simtent.load`; one scenario is changed by the variations.
    folder : path
        A new or empty folder, or the one of the same study.
    variations : sequence of mappings, optional
        For each night what `Scenario.replace` takes: {"outdoors.shift": "-5 degF", "model.walls": 1.2}.
    keep : names
        Variables of a night's Dataset, or of `simtent.studies.wanted.SUMMARY`.
    precision : str
        "float32" (seven digits) or "float64" of the numbers kept.
    chunk : int, optional
        Nights in a file; by default up to 50, fewer where there are few nights.
    night : function, optional
        Solves one night, by default `simtent.studies.night.one_night`; a function of a module, since workers import
        it. See `simtent.studies.wanted.Night`.
    workers : int, optional
        Processes; by default one for each core.
    retry_failed : bool
        Solve the nights that have failed once more, with those that are not solved yet; all others stay as they are.
    quiet : bool
        Show no progress.
    laid_out : simtent.studies.manifest.LaidOut, optional
        What the cases are called by the one who laid them out, and how that was done; kept with the study.
    cluster : str, optional
        Address of a Dask scheduler, "tcp://192.168.4.2:8786", whose workers solve the nights in place of processes of
        this machine; they need the same versions, and files that scenarios name at the same paths.

    Returns
    -------
    xarray.Dataset
        As `simtent.open_study` gives it: read from the folder when it is used.

    Raises
    ------
    InputError
        Nothing to solve, or to keep; a folder that cannot be written, holds something else or another study
        (with every difference), or in which another process is at work; a cluster that does not answer.
    StudyError
        The disk is full, workers do not start, or the cluster is gone. What is kept so far stays.
    """
    cases = cases_of(scenarios, variations)
    wanted = check_wanted(keep, precision)
    solver = ONE_NIGHT if night is None else _name_of(night)
    size = _usual_size(len(cases.items)) if chunk is None else _whole(chunk)
    count = _cores() if workers is None else _whole(workers)
    accuracy = ITS_ACCURACY if night is None else "the function's own"
    manifest = manifests.manifest_of(
        cases, solver, accuracy, wanted, precision, size, laid_out or manifests.LaidOut()
    )
    with _hands(cluster, count) as hands:  # before anything is written
        root = _made(Path(folder).absolute())
        with alone(root):
            _begin(root, manifest)
            setup = Setup(root, manifest.digest, cases.base, solver, wanted, precision)
            todo = _todo(root, manifest, retry_failed=retry_failed)
            _solve(setup, cases, manifest, todo, hands, quiet=quiet)
    return open_study(root)


def _whole(number: int) -> int:
    """A number of workers, or of nights in a chunk."""
    if not isinstance(number, int):
        raise TypeError(f"workers and nights in a chunk are whole numbers, not {number!r}")
    if number < 1:
        raise ValueError("at least one worker, and one night in a chunk, are wanted")
    return number


@contextmanager
def _hands(cluster: str | None, workers: int) -> Iterator[Hands]:
    """Who solves the nights: processes of this machine, or the workers of a cluster."""
    if cluster is None:

        def here(
            setup: Setup, tasks: Iterator[Task], count: int, *, cold: bool
        ) -> Generator[Said, None, None]:
            return solve_all(setup, tasks, min(workers, count), cold=cold)

        yield here
        return
    from simtent.studies.cluster import joined  # noqa: PLC0415  (an extra dependency)

    with joined(cluster) as hands:
        yield hands


def _todo(root: Path, manifest: Manifest, *, retry_failed: bool) -> dict[int, range | list[int]]:
    """What is to be solved: number of a chunk -> its cases, all of them or those that have failed."""
    missing = {n: manifest.cases_in(n) for n in range(manifest.chunks) if not (root / chunk_name(n)).exists()}
    return {**missing, **failed_in(root, manifest)} if retry_failed else {**missing}


def _solve(
    setup: Setup,
    cases: Cases,
    manifest: Manifest,
    todo: Mapping[int, range | list[int]],
    hands: Hands,
    *,
    quiet: bool,
) -> None:
    """Solve what is to be solved."""
    root, total = setup.folder, len(cases.items)
    done = total - sum(map(len, todo.values()))
    cold = compiled.cold(*KERNELS, *(READINGS if needs_readings(setup.wanted) else ()))
    note = "compiling, this once" if cold else ""
    _sweep(root)
    with shown(manifest.name, total, done, note=note, quiet=quiet) as progress:
        try:
            tasks = _tasks(cases, manifest, todo)
            with closing(hands(setup, tasks, len(todo), cold=cold)) as heard:
                for said in heard:
                    progress.hear(said)
        except StudyError as error:
            raise StudyError(f"{error} {_so_far(manifest, root)}") from error
        except KeyboardInterrupt:
            progress.tell(_so_far(manifest, root))
            raise
        finally:
            _sweep(root)


def _so_far(manifest: Manifest, root: Path) -> str:
    """What is kept, by what stands on the disk when no worker is left: one may end a chunk without being heard."""
    kept = sum(len(manifest.cases_in(n)) for n in range(manifest.chunks) if (root / chunk_name(n)).exists())
    total = len(manifest.changes)
    return f"{kept} of {total} nights are kept in {root}; the same command goes on from there."


def _tasks(cases: Cases, manifest: Manifest, todo: Mapping[int, range | list[int]]) -> Iterator[Task]:
    for number in sorted(todo):
        found = manifest.cases_in(number)
        again = frozenset(todo[number]) if isinstance(todo[number], list) else None
        yield Task(number, found.start, tuple(cases.items[found.start : found.stop]), {}, again)


def _usual_size(nights: int) -> int:
    """Nights in a file, by their number alone: the machine must not show in the folder."""
    return max(1, min(LARGEST_CHUNK, nights // FEWEST_CHUNKS))


def _name_of(night: Night) -> str:
    """The name by which workers find a function."""
    module, name = getattr(night, "__module__", ""), getattr(night, "__qualname__", "")
    if module == "__main__" or getattr(sys.modules.get(module), name, None) is not night:
        raise TypeError("`night` must be a function at the top of a module that can be imported")
    return f"{module}:{name}"


def _made(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return folder
    except OSError as error:
        raise unwritable(folder, error) from None


def _begin(folder: Path, manifest: Manifest) -> None:
    try:
        manifests.begin(folder, manifest)
    except OSError as error:
        raise unwritable(folder, error) from None


def _sweep(folder: Path) -> None:
    """Remove what a killed process left half-written."""
    for part in folder.glob(".*.part"):
        part.unlink(missing_ok=True)


def _cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
