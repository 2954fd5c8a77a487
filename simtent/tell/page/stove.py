"""The size of a stove as a page: the answer in shop terms, tables, the picture."""

from collections.abc import Sequence

from simtent.assess.findings import Finding
from simtent.scenario.scenario import Scenario
from simtent.sizing.answer import Answer
from simtent.tell import stove_picture
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import paragraphs
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.stove_words import answers, occasion, sentences, tables
from simtent.units import System

WORDS = "Heat that the shelter needs by outdoor air and wind, and what stoves of each size hold"


def page(scenario: Scenario, found: Answer, system: System, always: Sequence[Finding]) -> Page:
    """Everything that the page holds."""
    first = f"{occasion(scenario, found, system)} Calculated, not measured."
    drawn = picture("stove", WORDS, lambda: stove_picture.draw(scenario, found, system))
    return Page(
        scenario=scenario.name,
        about=[first, *(f"Changed from the file: {it}" for it in scenario.changes)],
        answer=answer(found, system),
        found=(),
        always=always,
        parts=[
            Part("told", "The answer in full", paragraphs(sentences(found, system))),
            Part("tables", "Need, sizes, what they hold", reflowed(tables(found, system))),
            Part("picture", "The need as a picture", drawn),
            *copied.parts(scenario),
        ],
    )


def answer(found: Answer, system: System) -> str:
    """The need, and the smallest stove that holds it or that there is none: the first sentence of each."""
    return " ".join(
        f"{text.split('. ', maxsplit=1)[0].rstrip('.')}." for text in list(answers(found, system))[:2]
    )
