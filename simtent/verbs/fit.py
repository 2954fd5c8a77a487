"""Fit a scenario's model to its logged nights: numbers, ranges, what stays open; an overlay, draws, a picture."""

import argparse
from datetime import date
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.clock import read_date
from simtent.tell.command import command
from simtent.verbs import outputs

if TYPE_CHECKING:
    from simtent.calibrate.calibrated import Calibrated
    from simtent.calibrate.judge import Judgement
    from simtent.scenario.scenario import Scenario

DRAWS = 200
NORMAL = "from the normal around the most likely numbers (Laplace), within their bounds; not weighed by their nights"
WEIGHED = "weighed by the nights they make"


def run(options: argparse.Namespace) -> None:
    """Tell what logged nights say of a shelter and its stove; write overlay, draws and picture."""
    targets = outputs.targets(options, "fit", ["toml", "nc", options.picture, *outputs.page_ending(options)])
    scenario = _held_out(outputs.ready(options, lambda given: _faults(options, given), targets), options)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell.cautions import block  # noqa: PLC0415

    outputs.opening(options, [*block(standing(scenario)), ""])
    found = _weighed(_found(scenario, options), options)
    judged = _judged(found, options)

    from simtent.calibrate import helpful, overlay, sampling, store  # noqa: PLC0415
    from simtent.calibrate.left_open import flagged  # noqa: PLC0415
    from simtent.tell import fit_picture, fit_words  # noqa: PLC0415

    profiled = sampling.profiles(found, flagged(found.posterior), lambda line: _say(options, line))
    helps = () if options.no_help else helpful.helpful(found)
    system = options.units or scenario.units
    draws = store.draws(found, found.posterior.draws(DRAWS), _how(found))
    contents = (
        overlay.text(found).encode(),
        store.to_bytes(draws),
        fit_picture.to_bytes(found, judged, system, options.picture),
    )
    whole = dict(zip(targets, contents, strict=False))
    told = fit_words.told(found, profiled, helps, judged, system)
    if options.page:
        from simtent.tell.page import fit, frame  # noqa: PLC0415

        whole[targets[-1]] = frame.to_bytes(fit.page(found, told, judged, system, standing(scenario)))
    unwritten = outputs.written(whole)
    outputs.answered(
        options,
        told,
        lambda: outputs.teller("fit").answer(
            outputs.around(options, scenario, standing(scenario), (), whole, unwritten),
            found,
            profiled,
            helps,
            judged,
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)
    outputs.progress(options, f"Use it: {command('night', options.file, '--with', targets[0])}")


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    faults = []
    for text in options.hold_out:
        try:
            evening = read_date(text)
        except InputError as error:
            faults.append(
                Fault(error.faults[0].what, file="--hold-out", value=text, todo=error.faults[0].todo)
            )
            continue
        there = {log.evening for log in scenario.log} if scenario else {evening}
        if evening not in there:
            known = ", ".join(f"{day}" for day in sorted(there)) or "none"
            faults.append(
                Fault(
                    "no log of that evening",
                    file="--hold-out",
                    value=text,
                    allowed=known,
                    todo="Take one of these",
                )
            )
    if scenario and not scenario.log:
        todo = "Add [[log]] with evening, file and sensors; see scenarios/FIELDS.md"
        faults.append(Fault("no logged night to fit to", file=str(options.file), key="log", todo=todo))
    return faults


def _held_out(scenario: "Scenario", options: argparse.Namespace) -> "Scenario":
    """The scenario with the evenings held out that the options name, besides its own."""
    if not options.hold_out:
        return scenario
    own = [f"{day}" for day in scenario.fit.hold_out] if scenario.fit else []
    return scenario.replace("fit.hold_out", sorted({*own, *options.hold_out}))


def _found(scenario: "Scenario", options: argparse.Namespace) -> "Calibrated":
    from simtent.calibrate.calibrate import calibrate  # noqa: PLC0415

    outputs.starting(options, f"the logged nights of {scenario.name}")
    return calibrate(scenario, starts=options.starts, progress=lambda line: _say(options, line))


def _weighed(found: "Calibrated", options: argparse.Namespace) -> "Calibrated":
    """The fit with ranges by weighed draws, unless none are asked for or the search was stopped."""
    from simtent.calibrate import sampling  # noqa: PLC0415

    if not options.sample or found.best.stopped:
        return found
    return sampling.weighed(found, options.sample, progress=lambda line: _say(options, line))


def _how(found: "Calibrated") -> str:
    """How draws were made, and how far they can be trusted."""
    if found.drawn is None:
        return NORMAL
    words = " ".join(found.drawn.words())
    return f"{WEIGHED}: {words}" if found.posterior.drawn else f"{words} These draws are {NORMAL}."


def _say(options: argparse.Namespace, line: str) -> None:
    outputs.progress(options, f"  {line}")


def _judged(found: "Calibrated", options: argparse.Namespace) -> "list[Judgement]":
    from simtent.calibrate.judge import judge  # noqa: PLC0415

    held: tuple[date, ...] = found.scenario.fit.hold_out if found.scenario.fit else ()
    if held:
        _say(options, "foretelling what was held out")
    return [judge(found, evening) for evening in dict.fromkeys(held)]
