"""Make the stoking card of a camp: plans for a band of nights, as text, on pocket paper and on a phone's screen."""

import argparse
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from simtent.errors import Fault, InputError
from simtent.units import to_si
from simtent.verbs import outputs

if TYPE_CHECKING:
    from simtent.planning.card import Card
    from simtent.scenario.scenario import Scenario

# kind, what is allowed in SI and as people read it, an example
OPTIONS = {
    "--low": ("temperature", (203.15, 333.15), "-70 degC to 60 degC", '--low "-10 degF,30 degF"'),
    "--wind": ("speed", (0.0, 25.0), "0 m/s to 25 m/s", '--wind "2 mph,12 mph"'),
}
ROUNDING = 1e-9


def run(options: argparse.Namespace) -> None:
    """Tell the card, cautions first, and write it for paper and phone."""
    targets = outputs.targets(options, "card", ["pdf", "png", *outputs.page_ending(options)])
    scenario = outputs.ready(options, partial(_faults, options), targets)
    from simtent.assess.cautions import standing  # noqa: PLC0415  (heavy imports wait until the input is good)
    from simtent.tell import card_words  # noqa: PLC0415
    from simtent.tell.cautions import FOUND, block  # noqa: PLC0415

    always = standing(scenario)
    outputs.opening(options, [*block(always), ""])
    card = _card(scenario, options)

    from simtent.tell import card_picture, summary  # noqa: PLC0415

    paper, phone, *more = targets
    whole = {paper: card_picture.pdf(card), phone: card_picture.png(card)}
    if more:
        from simtent.tell.page import card as card_page  # noqa: PLC0415
        from simtent.tell.page import frame  # noqa: PLC0415

        whole[more[0]] = frame.to_bytes(card_page.page(card, always))
    unwritten = outputs.written(whole)
    found = card_words.found(card, always)
    outputs.answered(
        options,
        [
            *summary.heading(scenario),
            "",
            *([*block(found, FOUND), ""] if found else []),
            *card_words.lines(card),
        ],
        lambda: outputs.teller("card").answer(
            outputs.around(options, scenario, always, found, whole, unwritten), card
        ),
    )
    if unwritten:  # the answer is shown all the same
        raise InputError(unwritten)
    outputs.wrote(options, whole)


def _card(scenario: "Scenario", options: argparse.Namespace) -> "Card":
    from simtent.planning.card import stoking_card  # noqa: PLC0415

    outputs.starting(options, f"nights of {scenario.name}")
    return stoking_card(
        scenario,
        lows=_read("--low", options.low)[0],
        winds=_read("--wind", options.wind)[0],
        system=options.units or scenario.units,
        progress=lambda line: outputs.progress(options, f"  {line}"),
    )


def _faults(options: argparse.Namespace, scenario: "Scenario | None") -> list[Fault]:
    """What is wrong with the options, and what keeps a scenario from having a card."""
    lows, of_lows = _read("--low", options.low)
    winds, of_winds = _read("--wind", options.wind)
    found = [*of_lows, *of_winds]
    if scenario is None:
        return found
    from simtent.planning.refused import faults_of  # noqa: PLC0415

    if found := [*found, *faults_of(scenario)]:
        return found
    from simtent.planning import card_weather  # noqa: PLC0415

    system = options.units or scenario.units
    band = card_weather.lows_of(scenario, system, lows)
    return list(card_weather.faults_of_weather(scenario, band, card_weather.winds_of(scenario, winds)))


def _read(option: str, given: Sequence[str]) -> tuple[list[float], list[Fault]]:
    """The values after an option in SI, rising, each once; and what is wrong with them."""
    kind, (least, most), allowed, example = OPTIONS[option]
    values, found = set[float](), list[Fault]()
    todo = f"Write for example {example}"
    for part in (part.strip() for text in given for part in text.split(",")):
        try:
            value = to_si(part, kind)
        except InputError as error:
            found.append(Fault(error.faults[0].what, option, value=part, allowed=allowed, todo=todo))
            continue
        if not least - ROUNDING <= value <= most + ROUNDING:
            found.append(Fault("out of range", option, value=part, allowed=allowed, todo=todo))
        values.add(value)
    return sorted(values), found
