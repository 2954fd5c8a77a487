"""Tell what a night will be like: cautions, hourly table, summary, Dataset and pictures."""

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.verbs import afterwards, outputs
from simtent.verbs.hours import hour_faults, once_faults

if TYPE_CHECKING:
    import xarray as xr

    from simtent.scenario.scenario import Scenario


def run(options: argparse.Namespace) -> None:
    """Tell what the night will be like: cautions, hourly table, summary, Dataset and picture."""
    targets = _targets(options)
    scenario = outputs.ready(options, lambda given: _hour_faults(given, options.air_at), targets)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    outputs.opening(options, [*block(always), ""])
    dataset = _simulated(scenario, options)

    from simtent import results  # noqa: PLC0415
    from simtent.assess.findings import from_dataset  # noqa: PLC0415
    from simtent.tell import figure, flows, summary, table  # noqa: PLC0415

    system, form = options.units or scenario.units, options.picture
    data, picture, *more = targets
    whole = {data: results.to_bytes(dataset), picture: figure.to_bytes(scenario, dataset, system, form)}
    asked = scenario.night.seconds_at(options.air_at[0]) if options.air_at else None
    if asked is not None:
        whole[more[0]] = flows.to_bytes(scenario, dataset, system, asked, form)
    found = [finding for finding in from_dataset(dataset) if finding not in always]
    if options.page:
        from simtent.tell.page import frame, night  # noqa: PLC0415

        whole[more[-1]] = frame.to_bytes(night.page(scenario, dataset, system, always, found, asked))
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        [
            *summary.heading(scenario),
            "",
            *([*block(found, FOUND), ""] if found else []),
            *outputs.strip(scenario, dataset, system),
            "",
            *table.hourly(scenario, dataset, system),
            "",
            *summary.summary(scenario, dataset, system),
        ],
        lambda: outputs.teller("night").answer(
            outputs.around(options, scenario, always, found, whole, unwritten), dataset
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)
    afterwards.after_night(options, scenario)


def _hour_faults(scenario: "Scenario | None", asked: Sequence[str]) -> list[Fault]:
    """What is wrong with the time for which the picture of the air is asked; without a night only how it is written."""
    if faults := once_faults("--air-at", asked):
        return faults
    if asked and scenario and scenario.shelter is None:
        what = "a stove in the open has no room whose air could be shown"
        return [Fault(what, file="--air-at", todo="Leave it out")]
    return hour_faults("--air-at", asked, scenario)


def _simulated(scenario: "Scenario", options: argparse.Namespace) -> "xr.Dataset":
    from simtent.simulate import simulate  # noqa: PLC0415

    outputs.starting(options, scenario.name)
    return simulate(scenario)


def _targets(options: argparse.Namespace) -> list[Path]:
    """Result, picture of the night and, if they are asked for, picture of the air and page."""
    air = [f"air.{options.picture}"] if options.air_at else []
    return outputs.targets(options, "night", ["nc", options.picture, *air, *outputs.page_ending(options)])
