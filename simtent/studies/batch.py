"""Many nights, on all cores, kept in a folder that survives whatever stops the work."""

import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing
from os import PathLike
from pathlib import Path

import xarray as xr

from simtent import compiled
from simtent.errors import StudyError
from simtent.scenario.scenario import Scenario
from simtent.studies import manifest as manifests
from simtent.studies.alone import alone, unwritable
from simtent.studies.cases import Cases, Variation, cases_of
from simtent.studies.chunk import chunk_name
from simtent.studies.manifest import Manifest
from simtent.studies.pool import solve_all
from simtent.studies.progress import shown
from simtent.studies.store import open_study
from simtent.studies.wanted import USUAL, Night, check_wanted
from simtent.studies.worker import Kept, Setup, Task

ONE_NIGHT = "simtent.studies.night:one_night"  # named, not imported: workers need it, this process does not
LARGEST_CHUNK = 50  # nights
FEWEST_CHUNKS = 32  # so that all cores have work to the end


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
    quiet: bool = False,
) -> xr.Dataset:
    """Solve many nights and keep them in a folder; called again, go on where it was stopped.

    Each chunk of nights becomes a file, written whole or not at all. Ctrl-C, or a process that is killed, loses at
    most the chunks in work. A night that fails is kept with the reason, and not tried again; remove its chunk's file
    for that. The folder of a study that was interrupted ends byte for byte as if it had not been.

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
    quiet : bool
        Show no progress.

    Returns
    -------
    xarray.Dataset
        As `simtent.open_study` gives it: read from the folder when it is used.

    Raises
    ------
    InputError
        Nothing to solve, or to keep; a folder that cannot be written, holds something else or another study
        (with every difference), or in which another process is at work.
    StudyError
        The disk is full, or workers do not start. What is kept so far stays.
    """
    cases = cases_of(scenarios, variations)
    wanted = check_wanted(keep, precision)
    solver = ONE_NIGHT if night is None else _name_of(night)
    size = _usual_size(len(cases.items)) if chunk is None else chunk
    if size < 1 or (workers is not None and workers < 1):
        raise ValueError("at least one worker, and one night in a chunk, are wanted")
    manifest = manifests.manifest_of(cases, solver, wanted, precision, size)
    root = _made(Path(folder).absolute())
    with alone(root):
        _begin(root, manifest)
        setup = Setup(root, manifest.digest, cases.base, solver, wanted, precision)
        _solve(setup, cases, manifest, workers or _cores(), quiet=quiet)
    return open_study(root)


def _solve(setup: Setup, cases: Cases, manifest: Manifest, workers: int, *, quiet: bool) -> None:
    """Solve the chunks that are not there yet."""
    root, total = setup.folder, len(cases.items)
    missing = [n for n in range(manifest.chunks) if not (root / chunk_name(n)).exists()]
    waiting = sum(len(manifest.cases_in(n)) for n in missing)
    kept = total - waiting
    cold = compiled.cold()
    note = "compiling, this once" if cold else ""
    _sweep(root)
    with shown(manifest.name, total, kept, note=note, quiet=quiet) as progress:
        try:
            tasks = _tasks(cases, manifest, missing)
            with closing(solve_all(setup, tasks, min(workers, len(missing)), cold=cold)) as heard:
                for said in heard:
                    progress.hear(said)
                    kept += len(manifest.cases_in(said.number)) if isinstance(said, Kept) else 0
        except StudyError as error:
            raise StudyError(f"{error}\n{_so_far(kept, total, root)}") from error
        except KeyboardInterrupt:
            progress.tell(_so_far(kept, total, root))
            raise
        finally:
            _sweep(root)


def _so_far(kept: int, total: int, root: Path) -> str:
    return f"{kept} of {total} nights are kept in {root}; the same command goes on from there."


def _tasks(cases: Cases, manifest: Manifest, missing: Iterable[int]) -> Iterator[Task]:
    for number in missing:
        found = manifest.cases_in(number)
        yield Task(number, found.start, tuple(cases.items[found.start : found.stop]), {})


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
