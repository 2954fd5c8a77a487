"""Somebody is awake at night: tell whether to load now or to sleep on; write the rest of the plan as an overlay."""

import argparse
import re
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.scenario.clock import clock_text
from simtent.tell import screen
from simtent.units import to_si
from simtent.verbs import outputs
from simtent.verbs.hours import hour_faults

if TYPE_CHECKING:
    from simtent.planning.now import Now
    from simtent.planning.now_past import Seen
    from simtent.scenario.scenario import Scenario
    from simtent.scenario.turns import Pieces

ONLY_NOW = ("at", "last_load", "load", "cot", "coals", "wood")
NOT_NOW = ("card", "page", "json", "low", "wind")
UNASKED = {"picture": "png", "seed": 0}  # as they are where nobody gives them
MOST_PIECES = 200
NOTICED = 0.05  # K
ZERO_CELSIUS = 273.15
ABOUT = (
    "# The rest of a night, laid over the scenario by --with: what was put on until {now}, and what comes after.",
    "# Calculated, not measured. The makers' manuals come first; carbon monoxide alarm on, vents open.",
)


def run(options: argparse.Namespace) -> None:
    """Tell what to do now, cautions first, and write the overlay."""
    targets = outputs.targets(options, "now", ["toml"])
    scenario = outputs.ready(options, partial(_faults, options), targets)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell import now_words  # noqa: PLC0415

    screen.show([*now_words.cautions(scenario), ""])
    now = _plan(scenario, options)
    system = options.units or scenario.units
    whole = {targets[0]: _overlay(now, scenario).encode()}
    unwritten = outputs.written({} if now.stops else whole)
    read, today = options.at is None, datetime.now(scenario.night.zone).date()
    screen.show(now_words.told(scenario, now, system, standing(scenario), clock_read=read, today=today))
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    if not now.stops:
        outputs.wrote(options, whole)


def only_with_now(options: argparse.Namespace) -> list[Fault]:
    """Faults of options that nobody asks but at night."""
    return [
        Fault(
            "only somebody who is awake at night tells this",
            _option(name),
            value=str(given),
            todo="Add --now",
        )
        for name in ONLY_NOW
        if (given := getattr(options, name)) is not None
    ]


def _plan(scenario: "Scenario", options: argparse.Namespace) -> "Now":
    from simtent.planning.now import plan_from_now  # noqa: PLC0415

    outputs.starting(options, f"nights of {scenario.name}")
    seen, _ = _seen(options, scenario)
    assert seen is not None
    return plan_from_now(scenario, seen, progress=lambda line: outputs.progress(options, f"  {line}"))


def _overlay(now: "Now", scenario: "Scenario") -> str:
    from simtent.assess.moments import clock  # noqa: PLC0415
    from simtent.planning import overlay  # noqa: PLC0415

    about = [it.format(now=clock(scenario.night, now.seen.at)) for it in ABOUT]
    if abs(now.beside) >= NOTICED:
        about.append(f"# The cot read {now.beside:+.1f} K beside the night as it is simulated with this.")
    if now.out:
        about.append(
            "# The fire was out then, though this night burns on with what lies in the stove: it is too warm."
        )
    return overlay.written(now.laid, scenario, about)


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """What is wrong with the options, with the scenario as one to be planned, and with both together."""
    found = [
        Fault("this is none of what is told at night", _option(name), todo="Leave it out, or leave --now out")
        for name in NOT_NOW
        if getattr(options, name)
    ]
    found += [
        Fault("this is none of what is told at night", _option(name), value=str(given), todo="Leave it out")
        for name, usual in UNASKED.items()
        if (given := getattr(options, name)) != usual
    ]
    if scenario is not None:
        from simtent.planning.refused import faults_of  # noqa: PLC0415

        found += faults_of(scenario)
    seen, wrong = _seen(options, None if found else scenario)
    found += wrong
    if found or scenario is None or seen is None:
        return found
    from simtent.planning.now_refused import faults_of_seen  # noqa: PLC0415

    return faults_of_seen(scenario, seen)


def _seen(options: argparse.Namespace, scenario: "Scenario | None") -> "tuple[Seen | None, list[Fault]]":
    """What somebody tells, and what is wrong with how it is written; nothing without a scenario."""
    clocks = {"--at": options.at, "--last-load": options.last_load}
    found = [
        it
        for option, text in clocks.items()
        if text is not None
        for it in hour_faults(option, [text], scenario)
    ]
    cot, of_cot = _cot(options.cot)
    found += of_cot
    if scenario is None or found:
        return None, found
    from simtent.planning.now_past import Left, Seen  # noqa: PLC0415

    night = scenario.night
    at = options.at or clock_text(datetime.now(night.zone).time().replace(second=0, microsecond=0))
    if options.at is None and (wrong := hour_faults("--at", [at], scenario)):
        todo = "Give the camp's time with --at HH:MM"
        what = f"it is {at} by this computer's clock, outside the night"
        return None, [Fault(what, "--at", value=at, allowed=wrong[0].allowed, todo=todo)]
    load, of_load = _pieces("--load", options.load, scenario)
    left, count, of_left = _left(options.wood, scenario)
    seen = Seen(
        at=night.seconds_at(at),
        last=None if options.last_load is None else night.seconds_at(options.last_load),
        load=load,
        cot=cot,
        glowing=None if options.coals is None else options.coals == "glowing",
        left=Left(left, count),
    )
    return seen, [*of_load, *of_left]


def _cot(text: str | None) -> tuple[float | None, list[Fault]]:
    """What the thermometer reads [degC]."""
    if text is None:
        return None, []
    try:
        return to_si(text, "temperature") - ZERO_CELSIUS, []
    except InputError as error:
        todo = 'Write it with its unit, for example --cot "28 degF"'
        return None, [Fault(error.faults[0].what, "--cot", value=text, todo=todo)]


def _left(text: str | None, scenario: "Scenario") -> "tuple[Pieces | None, int | None, list[Fault]]":
    """Wood that is left: by kind, or a count of whichever."""
    if text is not None and re.fullmatch(r"\d{1,3}", text.strip()):
        return None, int(text), []
    if text is not None and text.strip() in ("none", "nothing"):
        return None, 0, []
    pieces, faults = _pieces("--wood", text, scenario)
    return pieces, None, faults


def _pieces(option: str, text: str | None, scenario: "Scenario") -> "tuple[Pieces | None, list[Fault]]":
    """Counts by kind: "3 split, 1 stick", "3 split logs"; kinds as the file names them."""
    if text is None:
        return None, []
    assert scenario.wood is not None
    kinds = list(scenario.wood.pieces)
    counts: dict[str, int] = {}
    for part in re.findall(r"[^,;]+?(?=\s+\d|[,;]|$)", text.strip()):
        found = re.fullmatch(r"(?:and\s+)?(\d{1,3})\s*(\D+)", part.strip())
        kind = _kind(found[2], kinds) if found else None
        if found is None or kind is None or not 0 < int(found[1]) <= MOST_PIECES:
            return None, [_unread(option, part.strip(), kinds)]
        counts[kind] = counts.get(kind, 0) + int(found[1])
    return (tuple(counts.items()), []) if counts else (None, [_unread(option, text, kinds)])


def _kind(words: str, kinds: Sequence[str]) -> str | None:
    """The one kind that words name, in the singular or plural; None where they name none, or several."""
    said = {form for word in words.lower().split() for form in (word, word.removesuffix("s"))}
    whole = [it for it in kinds if it.lower() == words.lower().strip()]
    named = whole or [it for it in kinds if {it.lower(), it.lower().removesuffix("s")} & said]
    return named[0] if len(named) == 1 else None


def _unread(option: str, text: str, kinds: Sequence[str]) -> Fault:
    what = "this is no count of pieces of a kind that the file names"
    allowed = f"1 to {MOST_PIECES} of {', '.join(kinds)}"
    return Fault(
        what, option, value=text, allowed=allowed, todo=f'Write for example {option} "3 {kinds[-1]}"'
    )


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"
