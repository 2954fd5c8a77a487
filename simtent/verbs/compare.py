"""Hold variants of a scenario against it: a table of differences, cautions that come and go, accounts, a picture."""

import argparse
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.load import load
from simtent.scenario.varied import HOW, Variant, beside, of_text, of_variant, twice
from simtent.tell import screen
from simtent.verbs import outputs

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario


def run(options: argparse.Namespace) -> None:
    """Tell what variants change: cautions, differences, findings that come and go, energy accounts, a picture."""
    targets = outputs.targets(options, "compare", ["png"])
    scenario = outputs.ready(options, lambda given: _faults(options, given), targets)
    variants = _variants(options, scenario)[0]
    from simtent.assess.cautions import DEFERS, standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.comparing.compare import compared  # noqa: PLC0415
    from simtent.tell import compared_picture, compared_words, summary  # noqa: PLC0415
    from simtent.tell.cautions import block  # noqa: PLC0415

    screen.show([*block([*standing(scenario), DEFERS]), ""])
    outputs.starting(options, scenario.name)
    found = compared(
        scenario,
        variants,
        draws=options.draws,
        seed=options.seed,
        progress=partial(outputs.progress, options),
    )
    system = options.units or scenario.units
    whole = {targets[0]: compared_picture.to_bytes(found, system)}
    unwritten = outputs.written(whole)
    screen.show([*summary.heading(scenario), "", *compared_words.told(found, system)])
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    if scenario is None:
        return []
    if scenario.shelter is None:
        todo = "Give it a shelter, or ask: simtent night"
        what = "a stove in the open has no cot and no floor that could be compared"
        return [Fault(what, str(options.file), key="shelter", todo=todo)]
    return _variants(options, scenario)[1]


def _variants(options: argparse.Namespace, scenario: "Scenario") -> tuple[list[Variant], list[Fault]]:
    """The variants that are asked for, all built, and every fault of them; the file's own where none is named."""
    makers = [partial(of_text, scenario, text) for text in options.variant]
    makers += [partial(_of_file, options, scenario, path) for path in options.others]
    if not makers:
        makers = [partial(of_variant, scenario, name) for name in scenario.variants]
    found, faults = list[Variant](), list[Fault]()
    for make in makers:
        try:
            found.append(make())
        except InputError as error:
            faults += error.faults
    faults += twice(it.name for it in found)
    if not makers:
        faults.append(Fault("no variant is given", str(options.file), key="variants", todo=HOW))
    return found, faults


def _of_file(options: argparse.Namespace, scenario: "Scenario", path: Path) -> Variant:
    """Another file, with the same overlays and settings, under the name of its file."""
    other = load(path, overlays=options.overlays, settings=options.settings)
    return beside(scenario, path.stem, replace(other, variants=scenario.variants))
