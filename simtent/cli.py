"""The command line: one verb per question. Everything heavy is imported when a verb runs."""

import argparse
import errno
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from simtent import files
from simtent.errors import Fault, InputError, SolveError
from simtent.tell import screen

if TYPE_CHECKING:
    import xarray as xr

    from simtent.scenario.scenario import Scenario

DONE, OURS, YOURS, INTERRUPTED = 0, 1, 2, 130

DESCRIPTION = """\
Thermal simulation of a stove-heated fabric shelter through a cold night.

Nothing printed here is a safety guarantee: use a carbon monoxide alarm rated
for the cold, keep vents open, follow the makers' manuals and local codes."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; the exit code is 0 done, 2 the user's input, 1 a fault of ours, 130 interrupted."""
    options = _parser().parse_args(arguments)
    verb: Callable[[argparse.Namespace], None] = options.verb
    try:
        verb(options)
    except InputError as error:
        screen.complain(str(fault) for fault in error.faults)
        return YOURS
    except SolveError as error:
        screen.complain([str(error)])
        return OURS
    except KeyboardInterrupt:
        screen.complain(["Interrupted. No file is half-written."])
        return INTERRUPTED
    except BrokenPipeError:
        screen.leave_quietly()  # the reader of our output has read enough
    except OSError as error:
        screen.complain([f"The output cannot be written: {error.strerror or error}"])
        screen.leave_quietly()
        return OURS
    return DONE


def night(options: argparse.Namespace) -> None:
    """Tell what the night will be like: cautions, hourly table, summary, Dataset and picture."""
    scenario, folder = _ready(options)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    screen.show([*block(always), ""])
    dataset = _simulated(scenario, options)

    from simtent import results  # noqa: PLC0415
    from simtent.assess.findings import from_dataset  # noqa: PLC0415
    from simtent.tell import figure, summary, table  # noqa: PLC0415

    system = options.units or scenario.units
    data, picture = _targets(folder, options.file)
    unwritten = _written(
        {data: results.to_bytes(dataset), picture: figure.to_bytes(scenario, dataset, system)}
    )
    found = [finding for finding in from_dataset(dataset) if finding not in always]
    screen.show(
        [
            *summary.heading(scenario),
            "",
            *([*block(found, FOUND), ""] if found else []),
            *table.hourly(scenario, dataset, system),
            "",
            *summary.summary(scenario, dataset, system),
        ]
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    _progress(options, f"Wrote {data} and {picture}")


def _ready(options: argparse.Namespace) -> tuple["Scenario", Path]:
    """The scenario, and the folder to write to; InputError with every fault of both."""
    from simtent.scenario.load import load  # noqa: PLC0415

    folder = options.out or options.file.parent
    faults = _folder_faults(folder, options.file)
    try:
        scenario = load(options.file, overlays=options.overlays, settings=options.settings)
    except InputError as error:
        raise InputError([*error.faults, *faults]) from None
    if not faults:
        faults = _foreign_faults(folder, options.file, scenario.name)
    if faults:
        raise InputError(faults)
    return scenario, folder


def _simulated(scenario: "Scenario", options: argparse.Namespace) -> "xr.Dataset":
    from simtent import compiled  # noqa: PLC0415
    from simtent.simulate import simulate  # noqa: PLC0415

    if compiled.cold():
        _progress(options, "First run on this machine: compiling, this once, takes some seconds.")
    _progress(options, f"Simulating {scenario.name}")
    return simulate(scenario)


def _targets(folder: Path, file: Path) -> tuple[Path, Path]:
    return folder / f"{file.stem}.night.nc", folder / f"{file.stem}.night.png"


def _folder_faults(folder: Path, file: Path) -> list[Fault]:
    """Whether files of that name can be made in the folder, found out by making one for a moment."""
    longest = f".{_targets(folder, file)[1].name}.4194304.part"  # a result's name while it is written
    try:
        with tempfile.TemporaryDirectory(dir=folder) as room:
            (Path(room) / longest).touch()
            return []
    except OSError as error:
        return [_unwritable(folder, error)]


def _foreign_faults(folder: Path, file: Path, name: str) -> list[Fault]:
    """A fault for every file that stands in the way and was not written by this verb for this scenario."""
    from simtent import results  # noqa: PLC0415
    from simtent.tell import figure  # noqa: PLC0415

    readers = zip(_targets(folder, file), (results.scenario_of, figure.scenario_of), strict=True)
    try:
        owners = [(path, read(path)) for path, read in readers if path.exists()]
    except OSError as error:
        return [_unwritable(folder, error)]
    return [
        Fault(
            f"{path} is in the way: "
            + (f'it belongs to the scenario "{owner}"' if owner else "simtent did not write it"),
            todo="Move it away, or choose another folder with --out",
        )
        for path, owner in owners
        if owner != name
    ]


def _written(whole: Mapping[Path, bytes]) -> list[Fault]:
    """Write the files, or say why not: the disk may be full, the folder gone since it was checked."""
    try:
        files.write_all(whole)
    except OSError as error:
        return [_unwritable(next(iter(whole)).parent, error)]
    return []


def _unwritable(folder: Path, error: OSError) -> Fault:
    todo = {
        errno.ENOSPC: "Make room there, or choose another folder with --out",
        errno.ENAMETOOLONG: "Give the scenario file a shorter name",
    }.get(error.errno or 0, "Choose a folder that exists and that you may write to, with --out")
    return Fault(f"the folder {folder} cannot be written: {error.strerror or error}", todo=todo)


def _progress(options: argparse.Namespace, line: str) -> None:
    if not options.quiet:
        screen.tell(line)


def _parser() -> argparse.ArgumentParser:
    raw = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(
        prog="simtent", description=DESCRIPTION, formatter_class=raw, allow_abbrev=False
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    verbs = parser.add_subparsers(metavar="VERB", required=True)
    verb = verbs.add_parser(
        "night",
        allow_abbrev=False,
        help="what will the night be like",
        description="Simulate the night of a scenario file; print cautions, an hourly table and a summary; "
        "write the result and a picture.",
    )
    verb.set_defaults(verb=night)
    verb.add_argument("file", type=Path, metavar="FILE", help="scenario file (TOML)")
    verb.add_argument(
        "--with",
        dest="overlays",
        type=Path,
        action="append",
        default=[],
        metavar="OVERLAY",
        help="partial scenario file laid over FILE; may be given more than once",
    )
    verb.add_argument(
        "--set",
        dest="settings",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help='one value changed, for example --set outdoors.wind="8 mph"; may be given more than once',
    )
    verb.add_argument("--out", type=Path, metavar="DIR", help="folder for the files (default: beside FILE)")
    verb.add_argument("--units", choices=("us", "si"), help="units to show (default: the scenario's)")
    verb.add_argument("--quiet", action="store_true", help="hide progress; cautions stay")
    return parser


class _Version(argparse.Action):
    """Show the version; looks it up only when asked."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version  # noqa: PLC0415

        screen.say(f"simtent {version('simtent')}")
        parser.exit(DONE)
