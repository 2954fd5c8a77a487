"""What verbs that write files share: the scenario they start from, the folder, what stands in it, progress."""

import argparse
import errno
import importlib
import tempfile
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simtent import files, marked
from simtent.errors import Fault, InputError
from simtent.scenario.load import load
from simtent.tell import screen

if TYPE_CHECKING:
    import xarray as xr

    from simtent.assess.findings import Finding
    from simtent.scenario.scenario import Scenario
    from simtent.tell.answers.head import Around, Document
    from simtent.units import System

Asked = Callable[["Scenario | None"], list[Fault]]


def targets(options: argparse.Namespace, verb: str, endings: Sequence[str]) -> list[Path]:
    """The files that a verb writes, named by scenario and verb, in the folder asked for or beside the scenario."""
    folder = options.out or options.file.parent
    return [folder / f"{options.file.stem}.{verb}.{ending}" for ending in endings]


def page_ending(options: argparse.Namespace) -> list[str]:
    """The ending of the page, if one is asked for."""
    return ["html"] if options.page else []


def ready(options: argparse.Namespace, asked: Asked, paths: Sequence[Path]) -> "Scenario":
    """The scenario; InputError with every fault of it, of what else was asked for, and of the files to be written.

    asked  what is wrong with the other options, for a scenario, or for None where there is none
    paths  files to be written: .nc, .toml, .html, and those of pictures and sheets
    """
    faults = folder_faults(paths)
    try:
        scenario = load(options.file, overlays=options.overlays, settings=settings(options))
    except InputError as error:
        raise InputError([*asked(None), *error.faults, *faults]) from None
    if not faults:
        faults = foreign_faults(paths, scenario.name)
    if faults := [*asked(scenario), *faults]:
        raise InputError(faults)
    return scenario


def settings(options: argparse.Namespace) -> list[str]:
    """What --set and --units change of the file: findings and cautions are told in the units asked for, too."""
    return [*options.settings, *([f"units={options.units}"] if options.units else [])]


def folder_faults(paths: Sequence[Path]) -> list[Fault]:
    """Whether files of those names can be made in their folder, found out by making one for a moment."""
    folder, name = paths[0].parent, max((path.name for path in paths), key=len)
    longest = f".{name}.4194304.part"  # a result's name while it is written
    try:
        with tempfile.TemporaryDirectory(dir=folder) as room:
            (Path(room) / longest).touch()
            return []
    except OSError as error:
        return [_unwritable(folder, error)]


def foreign_faults(paths: Sequence[Path], name: str) -> list[Fault]:
    """A fault for every file that stands in the way and was not written by this verb for this scenario."""
    from simtent import results  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell import frame  # noqa: PLC0415
    from simtent.tell.page import frame as page  # noqa: PLC0415

    readers = {
        ".nc": results.scenario_of,
        ".png": frame.scenario_of,
        ".svg": frame.scenario_of_drawing,
        ".toml": marked.scenario_of,
        ".pdf": frame.scenario_of_sheet,
        ".html": page.scenario_of,
    }
    try:
        owners = [(path, readers[path.suffix](path)) for path in paths if path.exists()]
    except OSError as error:
        return [_unwritable(paths[0].parent, error)]
    return [
        Fault(
            f"{path} is in the way: "
            + (f'it belongs to the scenario "{owner}"' if owner else "simtent did not write it"),
            todo="Move it away, or choose another folder with --out",
        )
        for path, owner in owners
        if owner != name
    ]


def strip(scenario: "Scenario", dataset: "xr.Dataset", system: "System") -> list[str]:
    """The night in a few lines, as wide as the terminal lets it, in signs that it has."""
    from simtent.tell import strip as lines  # noqa: PLC0415

    return lines.strip(scenario, dataset, system, screen.columns(), blocks=screen.has_blocks())


def written(whole: Mapping[Path, bytes]) -> list[Fault]:
    """Write the files, or say why not: the disk may be full, the folder gone since it was checked."""
    try:
        files.write_all(whole)
    except OSError as error:
        return [_unwritable(next(iter(whole)).parent, error)]
    return []


def opening(options: argparse.Namespace, lines: Iterable[str]) -> None:
    """Show what stands before the work: cautions. A document has them inside."""
    if not options.json:
        screen.show(lines)


def answered(options: argparse.Namespace, lines: Iterable[str], document: "Callable[[], Document]") -> None:
    """Show the answer: in words, or as the one document that --json asks for."""
    if not options.json:
        screen.show(lines)
        return
    from simtent.tell.answers.text import say  # noqa: PLC0415

    say(document())
    options.told = True


def teller(name: str) -> Any:
    """The module that makes a document; models take a tenth of a second, and wait until one is asked for."""
    return importlib.import_module(f"simtent.tell.answers.{name}")


def around(
    options: argparse.Namespace,
    scenario: "Scenario | None",
    always: "Sequence[Finding]",
    found: "Sequence[Finding]" = (),
    whole: Iterable[Path] = (),
    unwritten: Sequence[Fault] = (),
) -> "Around":
    """What stands around the numbers of a document: cautions, findings, files, why these could not be written."""
    from simtent.tell.answers.head import Around  # noqa: PLC0415

    system = options.units or (scenario.units if scenario else "si")
    return Around(options.file, scenario, system, always, found, tuple(whole), tuple(unwritten))


def wrote(options: argparse.Namespace, whole: Mapping[Path, bytes]) -> None:
    """Say which files were written."""
    *others, last = map(str, whole)
    progress(options, f"Wrote {', '.join(others)} and {last}" if others else f"Wrote {last}")


def starting(options: argparse.Namespace, name: str) -> None:
    """Say that a night is being simulated, and that the first on a machine takes longer."""
    from simtent import compiled  # noqa: PLC0415
    from simtent.run import KERNELS  # noqa: PLC0415

    if compiled.cold(*KERNELS):
        progress(options, "First run on this machine: compiling, this once, takes a minute or so.")
    progress(options, f"Simulating {name}")


def progress(options: argparse.Namespace, line: str) -> None:
    """Say what is being done, unless nobody wants to know."""
    if not options.quiet:
        screen.tell(line)


def _unwritable(folder: Path, error: OSError) -> Fault:
    todo = {
        errno.ENOSPC: "Make room there, or choose another folder with --out",
        errno.ENAMETOOLONG: "Give the scenario file a shorter name",
    }.get(error.errno or 0, "Choose a folder that exists and that you may write to, with --out")
    return Fault(f"the folder {folder} cannot be written: {error.strerror or error}", todo=todo)
