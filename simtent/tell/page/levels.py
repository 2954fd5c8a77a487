"""A night from floor to peak as a page: the layering in a sentence; levels, cold floor, comfort, damp, comparisons."""

from collections.abc import Iterator, Sequence

import xarray as xr

from simtent.assess.curves import curve
from simtent.assess.findings import Finding
from simtent.assess.moments import clock
from simtent.scenario.scenario import Scenario
from simtent.tell import heights_picture, heights_vent
from simtent.tell.compared import Comparison
from simtent.tell.heights_levels import KINDS, cells_of, head_over_floor, kelvins
from simtent.tell.heights_picture import Shown
from simtent.tell.page import accounts, night, river, tables
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import Markup, joined
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.wished import Wished
from simtent.tell.words import degree_unit, degrees
from simtent.units import System, show, unit_name

WORDS = "Lines of equal air temperature over height and hour, and profiles at chosen times"
VENT = "Felt temperature at the cot, and water left in the morning, by the vent's opening"


def page(
    scenario: Scenario,
    dataset: xr.Dataset,
    told: Sequence[str],
    moments: Sequence[Shown],
    comparisons: Sequence[Comparison],
    system: System,
    findings: tuple[Sequence[Finding], Sequence[Finding]],
    flows_at: float | None = None,
) -> Page:
    """Everything that a page by heights holds.

    told      what the terminal says below its table of levels
    findings  the standing cautions, and those of this night
    flows_at  when the air is shown [s from begin]; None where nobody asked for it
    """
    always, found = findings
    cots = [it.value for one in comparisons for it in one.nights if one.what == "cot at" and it.value]
    return Page(
        scenario=scenario.name,
        about=night.about(scenario),
        answer=answer(scenario, dataset, system),
        found=found,
        always=always,
        parts=[
            Part("levels", "Level by level", levels(scenario, dataset, system)),
            Part("picture", "The night as a picture", picture(
                "levels", WORDS, lambda: heights_picture.draw(scenario, dataset, system, moments, cots), axes(system))),
            *night.by_height(scenario, dataset, system),
            Part("told", "Cold floor, comfort, damp", reflowed(told)),
            *_vents(comparisons, system),
             *night.air(scenario, dataset, system, flows_at),
            Part("energy", "Where heat came from and went", river.energy(accounts.accounts(dataset), system)),
            *night.foundation(scenario, dataset),
        ],
    )  # fmt: skip


def answer(scenario: Scenario, dataset: xr.Dataset, system: System) -> str:
    """The layering in a sentence."""
    moment, most = head_over_floor(dataset).highest()
    at = clock(scenario.night, moment)
    begin, end = Wished.of(scenario).in_bed
    felt = curve(dataset, "operative_temperature", level="cot").between(begin, end).lowest()
    return (
        f"The head is at most {kelvins(most, system)} warmer than the floor, at {at}; in bed at the cot it feels like "
        f"{degrees(felt[1], system)} at the coldest, at {clock(scenario.night, felt[0])}."
    )


def axes(system: System) -> str:
    """What the numbers beside the picture are in: on a page it has no heading of its own."""
    return f"Upwards: height above the ground in {unit_name('length', system)}. Air in {degree_unit(system)}."


def levels(scenario: Scenario, dataset: xr.Dataset, system: System) -> Markup:
    """A table of air temperatures, and one of felt ones: coldest in bed, hottest, at bed and at rise."""
    pairs = zip(dataset["level"].values.tolist(), dataset["level_height"].values.tolist(), strict=True)
    order = sorted(pairs, key=lambda pair: -pair[1])
    return joined(
        tables.table(
            f"{words.capitalize()}, {degree_unit(system)}",
            ("level", "height", "coldest in bed", "hottest", "at bed", "at rise"),
            [
                tables.Line(name, [show(height, "length", system),
                                   *cells_of(curve(dataset, variable, level=name), Wished.of(scenario), system)])
                for name, height in order
            ],
        )
        for words, variable in KINDS
    )  # fmt: skip


def _vents(comparisons: Sequence[Comparison], system: System) -> Iterator[Part]:
    """What opening a vent does; of where a stove stands, which has a caution too, no number says it."""
    for comparison in comparisons:
        if comparison.caution and comparison.nights[0].value is not None:
            drawn = picture("vent", VENT, lambda it=comparison: heights_vent.draw(it, system))  # type: ignore[misc]
            yield Part("vent", f"The {comparison.what} as a picture", drawn)
