"""Logged nights as a page: how cold the cot got, in a sentence; sensors, loads, pictures. Nothing is simulated."""

from collections.abc import Iterator, Sequence

from simtent.assess.findings import Finding
from simtent.logbook import measures
from simtent.scenario.scenario import Scenario
from simtent.tell import logged_picture
from simtent.tell.evening import Evening
from simtent.tell.logged import heading, told
from simtent.tell.page import copied
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import joined
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed


def page(scenario: Scenario, evenings: Sequence[Evening], always: Sequence[Finding]) -> Page:
    """Everything that a page of logged nights holds."""
    return Page(
        scenario=scenario.name,
        about=[" ".join(heading(evening)) for evening in evenings],
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


def _part(k: int, evening: Evening) -> Part:
    words = f"Temperatures of {evening.logged.evening} as logged, its loads and levers"
    drawn = picture(f"log{k}", words, lambda: logged_picture.draw(evening))
    skipped = len(heading(evening))  # it stands at the top of the page
    text = reflowed(told(evening)[skipped:])
    what = "Burn in the open" if evening.logged.in_the_open else "Night"
    return Part(f"night{k}", f"{what} of {evening.logged.evening}", joined([drawn, text]))


def _ends(scenario: Scenario) -> Iterator[Part]:
    yield from copied.parts(scenario, simulated=False)
