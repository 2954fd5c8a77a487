"""A fit as a page: what logged nights said, in a sentence; numbers, what stays open, how well it foretells."""

from collections.abc import Sequence

from simtent.assess.findings import Finding
from simtent.calibrate.calibrated import Calibrated
from simtent.calibrate.judge import Judgement
from simtent.tell import fit_picture
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.unsure import plural
from simtent.units import System, show

WORDS = "Logged temperatures and the fitted nights, numbers before and after, and what the fit misses"


def page(
    found: Calibrated,
    told: Sequence[str],
    judged: Sequence[Judgement],
    system: System,
    always: Sequence[Finding],
) -> Page:
    """Everything that a fit's page holds; `told` is what the terminal says."""
    scenario = found.scenario
    first = f"Numbers fitted to {plural(len(found.nights), 'log')} of {scenario.name}."
    invented = ["Invented scenario: it describes no real camp."] if scenario.invented else []
    return Page(
        scenario=scenario.name,
        about=[" ".join([first, *invented]), *(f"Changed from the file: {it}" for it in scenario.changes)],
        answer=answer(found, judged, system),
        found=(),
        always=always,
        parts=[
            Part("fitted", "The fit in words", reflowed(told)),
            Part("picture", "The fit as a picture",
                 picture("fit", WORDS, lambda: fit_picture.draw(found, judged, system))),
            *copied.parts(scenario),
        ],
    )  # fmt: skip


def answer(found: Calibrated, judged: Sequence[Judgement], system: System) -> str:
    """The fit in a sentence: how many numbers the logs narrow, and what is missed where it was not fitted."""
    narrowed = sum(found.posterior.narrowed(one.name) for one in found.sought)
    text = f"{found.readings} readings narrow {narrowed} of {len(found.sought)} numbers that were sought."
    misses = [
        f"{judgement.expected.night.logged.evening} by {show(one.foretold.rmse, 'temperature_difference', system, 1)}"
        for judgement in judged
        for one in judgement.sensors
        if one.foretold.place == "cot"
    ]
    return (
        f"{text} A night held out is missed at the cot (root mean square): {', '.join(misses)}."
        if misses
        else text
    )
