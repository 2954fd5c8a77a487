"""Show nights as they were logged: tables, a picture of each, the readings as a Dataset. Needs no model."""

import argparse
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.clock import read_date
from simtent.verbs import afterwards, outputs

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario
    from simtent.tell.evening import Evening

Which = int | date


def run(options: argparse.Namespace) -> None:
    """Show logged nights: cautions, then for each what was mended, sensors, loads, the night; files of all."""
    folder = options.out or options.file.parent
    first = outputs.targets(options, "log", ["nc", options.picture, *outputs.page_ending(options)])
    scenario = outputs.ready(options, lambda given: _faults(given, options.night), first)
    wanted = _wanted(scenario, options.night)
    targets = [
        *first,
        *(folder / f"{options.file.stem}.log.{n}.{options.picture}" for n in range(2, len(wanted) + 1)),
    ]
    if faults := outputs.foreign_faults(targets, scenario.name):
        raise InputError(faults)
    evenings = _read(scenario, wanted, options)
    from simtent.assess.cautions import of_logged  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import block  # noqa: PLC0415
    from simtent.tell.logged import told  # noqa: PLC0415

    always = of_logged([scenario, *(it.scenario for it in evenings)])
    outputs.opening(options, [*block(always), ""])
    pages, drawn = (targets[2:3], [*targets[:2], *targets[3:]]) if options.page else ([], targets)
    whole = _files(drawn, scenario, evenings, options.picture)
    if pages:
        from simtent.tell.page import frame, logged  # noqa: PLC0415

        whole[pages[0]] = frame.to_bytes(logged.page(scenario, evenings, always))
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        [line for at, it in enumerate(evenings) for line in (*([""] if at else []), *told(it))],
        lambda: outputs.teller("log").answer(
            outputs.around(options, scenario, always, (), whole, unwritten), evenings
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)
    afterwards.say(options, afterwards.command(options, "fit"), "what these nights say of shelter and stove")


def _faults(scenario: "Scenario | None", asked: Sequence[str]) -> list[Fault]:
    """What is wrong with the nights that are asked for; without a scenario only how they are written."""
    if scenario and not scenario.log:
        todo = 'Add [[log]] with evening, file and sensors = { "CH1" = "head" }'
        return [Fault("the scenario names no logged night", str(scenario.path), None, "log", todo=todo)]
    faults: list[Fault] = []
    for text in asked:
        try:
            which = _which(text)
        except InputError as error:
            faults += error.faults
            continue
        if scenario and not _there(scenario, which):
            there = ", ".join(f"{number} ({log.evening})" for number, log in enumerate(scenario.log, 1))
            faults.append(
                Fault("there is no such log", None, None, "night", text, there, "Ask for one of these")
            )
    return faults


def _which(text: str) -> Which:
    if text.isdecimal() and len(text) < 8:
        return int(text)
    try:
        return read_date(text)
    except InputError as error:
        todo = "Write the number of a [[log]], or an evening such as 2031-02-14"
        raise InputError(Fault(error.faults[0].what, None, None, "night", text, None, todo)) from None


def _there(scenario: "Scenario", which: Which) -> bool:
    if isinstance(which, date):
        return any(log.evening == which for log in scenario.log)
    return 1 <= which <= len(scenario.log)


def _wanted(scenario: "Scenario", asked: Sequence[str]) -> list[Which]:
    """The logs asked for, or all: those of one evening together, a burn in the open by itself."""
    given = [_which(text) for text in asked] or [log.evening for log in scenario.log]
    return list(dict.fromkeys(part for which in given for part in _parts(scenario, which)))


def _parts(scenario: "Scenario", which: Which) -> Iterator[Which]:
    """One evening as one night, or log by log where it had a burn in the open beside a night in the shelter."""
    logs = [log for log in scenario.log if log.evening == which]
    if isinstance(which, date) and len({log.in_the_open for log in logs}) > 1:
        yield from (number for number, log in enumerate(scenario.log, 1) if log.evening == which)
    else:
        yield which


def _read(scenario: "Scenario", wanted: Sequence[Which], options: argparse.Namespace) -> "list[Evening]":
    """Every night as logged, with the scenario of that night; InputError with the faults of all."""
    from simtent.logbook.read import read_log  # noqa: PLC0415
    from simtent.tell.evening import Evening  # noqa: PLC0415

    system = options.units or scenario.units
    evenings, faults = [], dict[Fault, None]()
    for which in wanted:
        try:
            evenings.append(Evening.of(scenario, read_log(scenario, which), system))
        except InputError as error:
            faults |= dict.fromkeys(error.faults)
    if faults:
        raise InputError(faults)
    return evenings


def _files(
    targets: Sequence[Path], scenario: "Scenario", evenings: "Sequence[Evening]", form: str
) -> dict[Path, bytes]:
    from simtent.logbook.dataset import nights_dataset  # noqa: PLC0415
    from simtent.tell import logged_picture  # noqa: PLC0415

    data, *pictures = targets
    dataset = nights_dataset([it.logged for it in evenings], scenario.name)
    drawn = (logged_picture.to_bytes(evening, form) for evening in evenings)
    return {data: bytes(dataset.to_netcdf(engine="h5netcdf")), **dict(zip(pictures, drawn, strict=True))}
