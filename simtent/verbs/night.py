"""Tell what a night will be like: cautions, hourly table, summary, Dataset and pictures."""

import argparse
import errno
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from simtent import files
from simtent.errors import Fault, InputError
from simtent.scenario.clock import read_clock
from simtent.scenario.load import load
from simtent.tell import screen

if TYPE_CHECKING:
    import xarray as xr

    from simtent.scenario.scenario import Scenario


def run(options: argparse.Namespace) -> None:
    """Tell what the night will be like: cautions, hourly table, summary, Dataset and picture."""
    scenario, folder = _ready(options)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    screen.show([*block(always), ""])
    dataset = _simulated(scenario, options)

    from simtent import results  # noqa: PLC0415
    from simtent.assess.findings import from_dataset  # noqa: PLC0415
    from simtent.tell import figure, flows, summary, table  # noqa: PLC0415

    system = options.units or scenario.units
    data, picture, *more = _targets(folder, options)
    whole = {data: results.to_bytes(dataset), picture: figure.to_bytes(scenario, dataset, system)}
    if more:
        asked = scenario.night.seconds_at(options.air_at[0])
        whole[more[0]] = flows.to_bytes(scenario, dataset, system, asked)
    unwritten = _written(whole)
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
    _progress(options, f"Wrote {', '.join(map(str, list(whole)[:-1]))} and {list(whole)[-1]}")


def _ready(options: argparse.Namespace) -> tuple["Scenario", Path]:
    """The scenario, and the folder to write to; InputError with every fault of both."""
    folder = options.out or options.file.parent
    faults = _folder_faults(folder, options)
    try:
        scenario = load(options.file, overlays=options.overlays, settings=options.settings)
    except InputError as error:
        raise InputError([*_hour_faults(None, options.air_at), *error.faults, *faults]) from None
    if not faults:
        faults = _foreign_faults(folder, options, scenario.name)
    if faults := [*_hour_faults(scenario, options.air_at), *faults]:
        raise InputError(faults)
    return scenario, folder


def _hour_faults(scenario: "Scenario | None", asked: Sequence[str]) -> list[Fault]:
    """What is wrong with the time for which the picture of the air is asked; without a night only how it is written."""
    if len(asked) > 1:
        todo = "Run once for each, with another --out"
        return [Fault(f"one time is wanted, {len(asked)} are given", file="--air-at", todo=todo)]
    if asked and scenario and scenario.shelter is None:
        what = "a stove in the open has no room whose air could be shown"
        return [Fault(what, file="--air-at", todo="Leave it away")]
    try:
        for clock in asked:
            read_clock(clock)
            if scenario:
                scenario.night.seconds_at(clock)
    except InputError as error:
        return [replace(fault, file="--air-at") for fault in error.faults]
    return []


def _simulated(scenario: "Scenario", options: argparse.Namespace) -> "xr.Dataset":
    from simtent import compiled  # noqa: PLC0415
    from simtent.run import KERNELS  # noqa: PLC0415
    from simtent.simulate import simulate  # noqa: PLC0415

    if compiled.cold(*KERNELS):
        _progress(options, "First run on this machine: compiling, this once, takes a minute or so.")
    _progress(options, f"Simulating {scenario.name}")
    return simulate(scenario)


def _targets(folder: Path, options: argparse.Namespace) -> list[Path]:
    """Result, picture of the night and, if it is asked for, picture of the air."""
    endings = ["nc", "png", *(["air.png"] if options.air_at else [])]
    return [folder / f"{options.file.stem}.night.{ending}" for ending in endings]


def _folder_faults(folder: Path, options: argparse.Namespace) -> list[Fault]:
    """Whether files of that name can be made in the folder, found out by making one for a moment."""
    longest = f".{_targets(folder, options)[-1].name}.4194304.part"  # a result's name while it is written
    try:
        with tempfile.TemporaryDirectory(dir=folder) as room:
            (Path(room) / longest).touch()
            return []
    except OSError as error:
        return [_unwritable(folder, error)]


def _foreign_faults(folder: Path, options: argparse.Namespace, name: str) -> list[Fault]:
    """A fault for every file that stands in the way and was not written by this verb for this scenario."""
    from simtent import results  # noqa: PLC0415
    from simtent.tell import frame  # noqa: PLC0415

    data, *pictures = _targets(folder, options)
    readers = [(data, results.scenario_of), *((picture, frame.scenario_of) for picture in pictures)]
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
