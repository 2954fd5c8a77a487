"""The one line at the end of an answer that names the next command, for whoever asks for the first time."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from simtent.tell.command import command as pasted
from simtent.verbs import outputs

if TYPE_CHECKING:
    from simtent.scenario.scenario import Scenario


def after_night(options: argparse.Namespace, scenario: "Scenario") -> None:
    """A plan, where there is a fire and a wish to plan for; else the heights, in a shelter."""
    if _can_be_planned(scenario):
        say(options, command(options, "stoke"), "when to get up, and with how much wood")
    elif scenario.shelter is not None:
        say(options, command(options, "heights"), "how warm and damp it is from floor to peak")


def after_heights(options: argparse.Namespace, scenario: "Scenario") -> None:
    """A plan, or what the usual changes would do."""
    if _can_be_planned(scenario):
        say(options, command(options, "stoke"), "when to get up, and with how much wood")
    else:
        say(options, command(options, "compare", "--usual"), "what the usual changes would do")


def after_stoke(options: argparse.Namespace, scenario: "Scenario", plan: Path) -> None:
    """The wood of a trip, or the planned night by the hour."""
    if scenario.trip:
        say(options, command(options, "wood"), "how much wood the whole trip takes")
    else:
        say(options, command(options, "night", "--with", str(plan)), "the planned night hour by hour")


def after_wood(options: argparse.Namespace, scenario: "Scenario") -> None:
    """The variants of the file, or the usual changes."""
    more = () if scenario.variants else ("--usual",)
    say(options, command(options, "compare", *more), "what saves wood, or buys warmth")


def command(options: argparse.Namespace, verb: str, *more: str) -> str:
    """A command about the same scenario with what is laid over it, as a shell takes it."""
    laid = [part for overlay in options.overlays for part in ("--with", overlay)]
    laid += [part for setting in options.settings for part in ("--set", setting)]
    return pasted(verb, options.file, *laid, *more)


def say(options: argparse.Namespace, what: str, why: str) -> None:
    """Name the next command, unless nobody wants to know."""
    outputs.progress(options, next_line(what, why))


def next_line(what: str, why: str) -> str:
    """The line itself."""
    return f"Next: {what}  ({why})"


def _can_be_planned(scenario: "Scenario") -> bool:
    from simtent.planning.refused import faults_of  # noqa: PLC0415

    return not faults_of(scenario)
