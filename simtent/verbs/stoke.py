"""Plan when to get up, how much to put on and where to set the levers; write the plan, its picture and an overlay."""

import argparse
from functools import partial
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.tell import screen
from simtent.verbs import outputs, stoke_card

if TYPE_CHECKING:
    from simtent.planning.outcome import Plan
    from simtent.scenario.scenario import Scenario


def run(options: argparse.Namespace) -> None:
    """One night's plan, or a card for a band of nights."""
    if options.card and options.page:
        raise InputError(
            Fault("a card is a page already", "--page", todo="Leave it out, or leave --card out")
        )
    if options.card:
        stoke_card.run(options)
    else:
        _one_night(options)


def _one_night(options: argparse.Namespace) -> None:
    """Tell the stoking plan of a night: cautions, loads, promises, the trade-off; write overlay and picture."""
    targets = outputs.targets(options, "stoke", ["toml", "png", *outputs.page_ending(options)])
    scenario = outputs.ready(options, partial(_faults, options), targets)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.assess.findings import from_dataset  # noqa: PLC0415
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    screen.show([*block(always), ""])
    plan = _plan(scenario, options)

    from simtent.planning import overlay  # noqa: PLC0415
    from simtent.tell import stoke_picture, stoke_words, summary  # noqa: PLC0415

    system = options.units or scenario.units
    laid, picture, *more = targets
    whole = {
        laid: overlay.text(plan, scenario).encode(),
        picture: stoke_picture.to_bytes(scenario, plan, system),
    }
    found = [finding for finding in from_dataset(plan.dataset) if finding not in always]
    if more:
        from simtent.tell.page import frame, stoke  # noqa: PLC0415

        whole[more[0]] = frame.to_bytes(stoke.page(scenario, plan, system, always, found))
    unwritten = outputs.written({} if plan.stops else whole)
    screen.show(
        [
            *summary.heading(scenario),
            "",
            *([*block(found, FOUND), ""] if found else []),
            *stoke_words.told(scenario, plan, system),
        ]
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    if not plan.stops:
        outputs.wrote(options, whole)


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """What keeps a scenario from being planned; options that only a card has."""
    bands = {"--low": options.low, "--wind": options.wind}
    found = [
        Fault("only a card is made for a band of nights", option, value=given[0], todo="Add --card")
        for option, given in bands.items()
        if given
    ]
    if scenario is None:
        return found
    from simtent.planning.refused import faults_of  # noqa: PLC0415

    return [*found, *faults_of(scenario)]


def _plan(scenario: "Scenario", options: argparse.Namespace) -> "Plan":
    from simtent.planning.planned import plan_stoking  # noqa: PLC0415

    outputs.starting(options, f"nights of {scenario.name}")
    return plan_stoking(
        scenario, seed=options.seed, progress=lambda line: outputs.progress(options, f"  {line}")
    )
