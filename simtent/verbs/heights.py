"""Tell a night from floor to peak: profiles, what keeps the floor cold, comfort, damp, and what changes them."""

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.verbs import afterwards, outputs
from simtent.verbs.heights_asked import parts_of, wanted
from simtent.verbs.heights_nights import prepared, simulated, with_damp
from simtent.verbs.hours import hour_faults, once_faults

if TYPE_CHECKING:
    import xarray as xr

    from simtent.balance import Balances
    from simtent.scenario.scenario import Scenario
    from simtent.tell.compared import Comparison
    from simtent.tell.heights_picture import Shown

MOST_PROFILES = 3  # that stay legible beside each other


def run(options: argparse.Namespace) -> None:
    """Tell the night by heights: cautions, findings, levels, cold floor, comfort, damp, comparisons, pictures."""
    targets = _targets(options)
    scenario = with_damp(outputs.ready(options, lambda given: _faults(options, given), targets))
    others = prepared(wanted(options, scenario), scenario)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.simulate import simulate  # noqa: PLC0415
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    outputs.opening(options, [*block(always), ""])
    outputs.starting(options, scenario.name)
    dataset = simulate(scenario)
    comparisons = list(simulated(others, scenario, dataset, options))

    from simtent.assess.findings import from_dataset  # noqa: PLC0415
    from simtent.tell import heights, summary  # noqa: PLC0415

    system = options.units or scenario.units
    whole = _files(targets, options, scenario, dataset, comparisons)
    found = [finding for finding in from_dataset(dataset) if finding not in always]
    balance = _balance(options, scenario, dataset)
    if options.page:
        from simtent.tell.page import frame, levels  # noqa: PLC0415

        told = heights.below_levels(scenario, dataset, *balance, comparisons, system)
        shown = _moments(options, scenario, dataset)
        at = scenario.night.seconds_at(options.flows_at[0]) if options.flows_at else None
        page = levels.page(scenario, dataset, told, shown, comparisons, system, (always, found), at)
        whole[targets[-1]] = frame.to_bytes(page)
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        [
            *summary.heading(scenario),
            "",
            *([*block(found, FOUND), ""] if found else []),
            *outputs.strip(scenario, dataset, system),
            "",
            *heights.told(scenario, dataset, *balance, comparisons, system),
        ],
        lambda: outputs.teller("heights").answer(
            outputs.around(options, scenario, always, found, whole, unwritten), dataset, *balance, comparisons
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)
    afterwards.after_heights(options, scenario)


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """What is wrong with what is asked for; without a scenario only how times are written."""
    if scenario and scenario.shelter is None:
        what = "a stove in the open has no levels: there are no heights to tell of"
        return [
            Fault(
                what, file=str(options.file), key="shelter", todo="Give it a shelter, or ask: simtent night"
            )
        ]
    faults = once_faults("--flows-at", options.flows_at) + once_faults("--balance-at", options.balance_at)
    at = parts_of(options.at)
    if len(at) > MOST_PROFILES:
        todo = "Leave some out, or run again with another --out"
        faults.append(
            Fault(f"{len(at)} times are given, {MOST_PROFILES} at most are drawn", file="--at", todo=todo)
        )
    for option, asked in (
        ("--at", at),
        ("--flows-at", options.flows_at),
        ("--balance-at", options.balance_at),
    ):
        faults += hour_faults(option, asked, scenario)
    if scenario:
        try:
            list(wanted(options, scenario))
        except InputError as error:
            faults += error.faults
    return faults


def _targets(options: argparse.Namespace) -> list[Path]:
    """Result, picture of the heights and, if they are asked for, of the air at one time, of a vent, and the page."""
    form = options.picture
    more = [
        *([f"air.{form}"] if options.flows_at else []),
        *([f"vent.{form}"] if options.vent is not None else []),
    ]
    return outputs.targets(options, "heights", ["nc", form, *more, *outputs.page_ending(options)])


def _files(
    targets: Sequence[Path],
    options: argparse.Namespace,
    scenario: "Scenario",
    dataset: "xr.Dataset",
    comparisons: "Sequence[Comparison]",
) -> dict[Path, bytes]:
    from simtent import results  # noqa: PLC0415
    from simtent.tell import flows, heights_picture, heights_vent  # noqa: PLC0415

    system, form = options.units or scenario.units, options.picture
    data, picture, *more = targets[:-1] if options.page else targets
    cots = [night.value for it in comparisons for night in it.nights if it.what == "cot at" and night.value]
    shown = _moments(options, scenario, dataset)
    whole = {
        data: results.to_bytes(dataset),
        picture: heights_picture.to_bytes(scenario, dataset, system, shown, cots, form),
    }
    if options.flows_at:
        asked = scenario.night.seconds_at(options.flows_at[0])
        whole[more[0]] = flows.to_bytes(scenario, dataset, system, asked, form)
    if options.vent is not None:
        whole[more[-1]] = heights_vent.to_bytes(comparisons[-1], system, form)
    return whole


def _balance(
    options: argparse.Namespace, scenario: "Scenario", dataset: "xr.Dataset"
) -> "tuple[Balances, str]":
    """What keeps the floor cold at the time asked for, or when the cot is coldest, and in words why then."""
    from simtent.balance import balances  # noqa: PLC0415
    from simtent.run import run as solve  # noqa: PLC0415
    from simtent.tell import heights  # noqa: PLC0415

    if options.balance_at:
        return balances(solve(scenario), scenario.night.seconds_at(options.balance_at[0])), ""
    return balances(solve(scenario), heights.coldest(scenario, dataset)), "cot coldest in bed"


def _moments(options: argparse.Namespace, scenario: "Scenario", dataset: "xr.Dataset") -> "list[Shown]":
    """The times whose profiles are drawn, in their order."""
    from simtent.tell import heights  # noqa: PLC0415
    from simtent.tell.heights_picture import Shown  # noqa: PLC0415

    asked = sorted({scenario.night.seconds_at(clock) for clock in parts_of(options.at)})
    return [Shown(seconds) for seconds in asked] or heights.usual_moments(scenario, dataset)
