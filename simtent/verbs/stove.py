"""Tell how large a stove a shelter needs: heat needed, what each size holds, the smallest that does, a picture."""

import argparse
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from simtent.errors import InputError
from simtent.verbs import outputs, stove_asked

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario
    from simtent.sizing.judged import Built
    from simtent.sizing.scene import Scene


def run(options: argparse.Namespace) -> None:
    """Tell how large a stove is wanted: cautions, the need, sizes, the answer in shop terms, a picture."""
    targets = outputs.targets(options, "stove", [options.picture, *outputs.page_ending(options)])
    scenario = outputs.ready(options, lambda given: stove_asked.faults(options, given), targets)
    asked = stove_asked.wanted(options, scenario)
    from simtent.assess.cautions import DEFERS, standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.sizing.answer import Asked, answer  # noqa: PLC0415
    from simtent.tell import stove_picture, stove_words  # noqa: PLC0415
    from simtent.tell.cautions import block  # noqa: PLC0415

    scene, built = _stoves(scenario, asked)
    always = [*standing(scene.given), DEFERS]
    outputs.opening(options, [*block(always), ""])
    outputs.starting(options, scenario.name)
    design = Asked(asked.lows, asked.winds, asked.wind, asked.every)
    found = answer(scene, built, design, partial(outputs.progress, options))
    system = options.units or scenario.units
    whole = {targets[0]: stove_picture.to_bytes(scenario, found, system, options.picture)}
    if options.page:
        from simtent.tell.page import frame, stove  # noqa: PLC0415

        whole[targets[1]] = frame.to_bytes(stove.page(scenario, found, system, always))
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        stove_words.told(scenario, found, system),
        lambda: outputs.teller("stove").answer(
            outputs.around(options, scenario, always, (), whole, unwritten), found
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)


def _stoves(scenario: "Scenario", asked: stove_asked.Wanted) -> "tuple[Scene, list[Built]]":
    """The shelter without its own night, and the stoves to put into it; InputError where one cannot be."""
    from simtent.sizing.classes import LADDER  # noqa: PLC0415
    from simtent.sizing.judged import build  # noqa: PLC0415
    from simtent.sizing.scene import stripped  # noqa: PLC0415

    scene = stripped(scenario)
    try:
        return scene, build(scene, asked.volumes or LADDER, asked.changed)
    except InputError as error:  # of a class' own, or of what was to be the same for all: each once
        where = "--stove" if asked.changed else "--volume"
        once = dict.fromkeys(
            replace(fault, file=where, line=None) if fault.file in (None, "replace") else fault
            for fault in error.faults
        )
        raise InputError(once) from None
