"""Logged nights as a page: how cold the cot got, in a sentence; sensors, loads, pictures. Nothing is simulated."""

from collections.abc import Iterator, Sequence

from simtent.assess.findings import Finding
from simtent.logbook import measures
from simtent.scenario.scenario import Scenario
from simtent.tell import logged_picture
from simtent.tell.evening import Evening
from simtent.tell.logged import told
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import joined
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.unsure import plural

MOST_PICTURES = 8  # of a page that is to stay small; a picture of every night is a file of its own


def page(scenario: Scenario, evenings: Sequence[Evening], always: Sequence[Finding]) -> Page:
    """Everything that a page of logged nights holds."""
    return Page(
        scenario=scenario.name,
        about=_about(scenario, len(evenings)),
        answer=" ".join(map(answer, evenings)),
        found=(),
        always=always,
        parts=[*(_part(k, evening) for k, evening in enumerate(evenings, 1)), *_ends(scenario)],
    )


def answer(evening: Evening) -> str:
    """One logged night in a sentence: the coldest reading at the cot in bed, or the hottest where none hung there."""
    logged, day = evening.logged, evening.logged.evening
    if logged.in_the_open or "cot" not in logged.sensors:
        tops = {place: measures.extent(place, logged.sensors[place]).highest for place in evening.places}
        words = ", ".join(f"{place} {evening.told(top)}" for place, top in tops.items() if top)
        return f"{day}: hottest {words}."
    low = measures.coldest(logged.sensors["cot"], *evening.in_bed)
    return (
        f"{day}: the cot was coldest in bed with {evening.told(low)}."
        if low
        else f"{day}: no reading in bed."
    )


def _about(scenario: Scenario, count: int) -> list[str]:
    first = f"Logged, not calculated: {plural(count, 'evening')}."
    if scenario.invented:
        first += " Invented scenario: it describes no real camp."
    return [first, *(f"Changed from the file: {change}" for change in scenario.changes)]


def _part(k: int, evening: Evening) -> Part:
    words = f"Temperatures of {evening.logged.evening} as logged, its loads and levers"
    drawn = [picture(f"log{k}", words, lambda: logged_picture.draw(evening))] if k <= MOST_PICTURES else []
    what = "Burn in the open" if evening.logged.in_the_open else "Night"
    return Part(f"night{k}", f"{what} of {evening.logged.evening}", joined([*drawn, reflowed(told(evening))]))


def _ends(scenario: Scenario) -> Iterator[Part]:
    yield from copied.parts(scenario, simulated=False)
