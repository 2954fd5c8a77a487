"""Count the wood of a trip: pieces, weight, volume, ways, night by night; write a picture."""

import argparse
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.verbs import afterwards, outputs

if TYPE_CHECKING:
    from simtent.planning.outcome import Plan
    from simtent.scenario.scenario import Scenario
    from simtent.supply.supplied import Supply


def run(options: argparse.Namespace) -> None:
    """Tell the wood of a trip: cautions, what to take, the nights, a colder trip, other woods; write the picture."""
    targets = outputs.targets(options, "wood", [options.picture, *outputs.page_ending(options)])
    scenario = outputs.ready(options, lambda given: _faults(options, given), targets)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import block  # noqa: PLC0415

    always = standing(scenario)
    outputs.opening(options, [*block(always), ""])
    supply = _counted(scenario, options)

    from simtent.tell import wood_picture, wood_words  # noqa: PLC0415

    system = options.units or scenario.units
    whole = {targets[0]: wood_picture.to_bytes(supply, system, options.picture)}
    found = wood_words.found(supply, always)
    if options.page:
        from simtent.tell.page import frame, wood  # noqa: PLC0415

        whole[targets[1]] = frame.to_bytes(wood.page(scenario, supply, system, always, found))
    unwritten = outputs.written(whole)
    title = f"FOUND IN NIGHTS OF THIS TRIP, the coldest ({supply.coldest.evening}) first."
    outputs.answered(
        options,
        [
            *wood_words.heading(scenario),
            "",
            *([*block(found, title), ""] if found else []),
            *wood_words.told(supply, system),
        ],
        lambda: outputs.teller("wood").answer(
            outputs.around(options, scenario, always, found, whole, unwritten), supply
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)
    afterwards.after_wood(options, scenario)


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """What keeps the wood from being counted; with plans, also what keeps a night from being planned."""
    if scenario is None:
        return []
    from simtent.supply.supplied import faults_of  # noqa: PLC0415

    faults = faults_of(scenario)
    if options.as_stoked or faults:
        return faults
    from simtent.planning.refused import faults_of as unplannable  # noqa: PLC0415
    from simtent.supply.supplied import night_of  # noqa: PLC0415

    return unplannable(night_of(scenario, 0))


def _counted(scenario: "Scenario", options: argparse.Namespace) -> "Supply":
    from simtent.supply.supplied import wood  # noqa: PLC0415

    def say(line: str) -> None:
        outputs.progress(options, f"  {line}")

    def plan(night: "Scenario") -> "Plan":
        from simtent.planning.planned import plan_stoking  # noqa: PLC0415

        return plan_stoking(night, progress=lambda line: say(f"  {line}"))

    outputs.starting(options, f"the nights of {scenario.name}; Ctrl-C keeps those that are done")
    return wood(scenario, None if options.as_stoked else plan, progress=say)
