"""The wood of a trip as a page: what to take, in a sentence; the nights, other woods, the picture."""

from collections.abc import Sequence

from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario
from simtent.supply.supplied import Supply
from simtent.tell import wood_picture, wood_words
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.unsure import plural
from simtent.tell.wood_others import pieces_text
from simtent.tell.words import wood_mass
from simtent.units import System

WORDS = "Wood of each night of the trip as bars, by kind of piece"


def page(
    scenario: Scenario, supply: Supply, system: System, always: Sequence[Finding], found: Sequence[Finding]
) -> Page:
    """Everything that the page holds."""
    return Page(
        scenario=scenario.name,
        about=[" ".join([*wood_words.heading(scenario), "Calculated, not measured."])],
        answer=answer(supply, system),
        found=found,
        always=always,
        parts=[
            Part("told", "What to take, night by night", reflowed(wood_words.told(supply, system))),
            Part("picture", "The trip as a picture",
                 picture("wood", WORDS, lambda: wood_picture.draw(supply, system))),
            *copied.parts(scenario),
        ],
    )  # fmt: skip


def answer(supply: Supply, system: System) -> str:
    """What to take, in a sentence."""
    pile, missing = supply.to_bring, [night for night in supply.nights if not night.burnt.kept]
    count = plural(len(supply.nights), "night")
    text = f"Take {pieces_text(pile)}, {wood_mass(pile.mass, system)} as carried, for {count}."
    if supply.stopped:
        text += " It was interrupted: this is not the whole trip."
    return f"{text} {len(missing)} of them are not as wished." if missing else text
