"""A night as a page: the answer in a sentence, its picture, hours, energy, profile, what it rests on."""

from collections.abc import Sequence

import numpy as np
import xarray as xr

from simtent.assess.curves import curve, seconds_of
from simtent.assess.findings import Finding
from simtent.assess.moments import clock, duration
from simtent.scenario.scenario import Scenario
from simtent.tell import figure, flows, heights, summary
from simtent.tell.page import accounts, assumed, copied, profile, river, tables
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.markup import Markup, joined, pairs, paragraphs, tag
from simtent.tell.page.picture import picture
from simtent.tell.unsure import causes, name_of_range
from simtent.tell.wished import Wished
from simtent.tell.words import degrees, occasion
from simtent.units import System

RANGES = ("Usual range", "Range after your log")  # told under "How sure", not among the sums
AIR = "The shelter cut open: how warm each layer is, what rises and falls, what comes in and goes out, at"
KIND = "Calculated, not measured."


def page(
    scenario: Scenario,
    dataset: xr.Dataset,
    system: System,
    always: Sequence[Finding],
    found: Sequence[Finding],
    air_at: float | None = None,
) -> Page:
    """Everything that a night's page holds.

    air_at  when the air is shown [s from begin]; None where nobody asked for it
    """
    what = occasion(scenario)
    return Page(
        scenario=scenario.name,
        about=about(scenario),
        answer=answer(scenario, dataset, system),
        found=found,
        always=always,
        parts=[
            Part("picture", f"The {what} as a picture", _drawn(scenario, dataset, system)),
            Part("numbers", f"The {what} in sentences", _told(scenario, dataset, system)),
            Part("hours", "Hour by hour", tables.hour_table(scenario, dataset, system)),
            Part("energy", "Where heat came from and went", river.energy(accounts.accounts(dataset), system)),
            *by_height(scenario, dataset, system),
            *air(scenario, dataset, system, air_at),
            *foundation(scenario, dataset),
        ],
    )


def about(scenario: Scenario) -> list[str]:
    """Which night this is, and what was changed from the file, a sentence each."""
    night = scenario.night
    first = (
        f"{occasion(scenario).capitalize()} of {night.evening:%Y-%m-%d}, {night.begin} to {night.end}. {KIND}"
    )
    if scenario.invented:
        first += " Invented scenario: it describes no real camp."
    return [first, *(f"Changed from the file: {change}" for change in scenario.changes)]


def answer(scenario: Scenario, dataset: xr.Dataset, system: System) -> str:
    """The night in a sentence: the cot at its coldest, its range, and the wish; or the stove at its hottest."""
    if "level" not in dataset.dims:
        moment, most = curve(dataset, "stove_temperature").highest()
        return f"The stove is hottest at {clock(scenario.night, moment)}: {degrees(most, system)}."
    wished = Wished.of(scenario)
    cot = curve(dataset, "level_temperature", level="cot").between(*wished.in_bed)
    moment, low = cot.lowest()
    text = (
        f"While you are in bed the cot is coldest at {clock(scenario.night, moment)}: {degrees(low, system)}"
    )
    if "level_temperature_low" in dataset:
        ends = (
            degrees(curve(dataset, f"level_temperature_{side}", level="cot").at(moment), system)
            for side in ("low", "high")
        )
        text += f", in two such nights of three between {' and '.join(ends)}"
    if wished.cot_at_least is None:
        return f"{text}."
    limit, below = degrees(wished.cot_at_least, system), cot.time_below(wished.cot_at_least)
    if below == 0.0:
        return f"{text}; it never falls below the {limit} you asked for."
    whole = duration(wished.in_bed[1] - wished.in_bed[0])
    return f"{text}; it is below the {limit} you asked for during {duration(below)} of {whole}."


def foundation(scenario: Scenario, dataset: xr.Dataset) -> list[Part]:
    """What every page of a simulated night ends with: how sure, what was assumed, versions, the text to copy."""
    attributes = dataset.attrs
    return [
        Part("sure", "How sure this is", _sure(scenario, dataset)),
        Part("assumed", "What was assumed", assumed.section(scenario)),
        Part("versions", "Versions", copied.versions(str(attributes["versions"]), str(attributes["solver"]))),
        Part("scenario", "The scenario's text", copied.scenario_text(scenario.given)),
    ]


def _drawn(scenario: Scenario, dataset: xr.Dataset, system: System) -> Markup:
    levels = "level" in dataset.dims
    words = (
        "Air temperatures of the night at every level, and heat release below" if levels else "Temperatures"
    )
    caption = "Shaded: the cot's range. The hours stand below as a table." if levels else ""
    return picture("night", words, lambda: figure.draw(scenario, dataset, system), caption)


def _told(scenario: Scenario, dataset: xr.Dataset, system: System) -> Markup:
    told = summary.pairs(scenario, dataset, system)
    return pairs((label, text) for label, text in told if not label.startswith(RANGES))


def by_height(scenario: Scenario, dataset: xr.Dataset, system: System) -> list[Part]:
    """The night from floor to peak with its sliders; nothing of a burn in the open."""
    if "level" not in dataset.dims:
        return []
    given = profile.data(scenario, dataset, system)
    moment = heights.coldest(scenario, dataset)
    every = seconds_of(dataset)[-1] / max(len(given["clock"]) - 1, 1)
    first = min(round(moment / every), len(given["clock"]) - 1) if every > 0.0 else 0
    return [Part("profile", "From floor to peak, at any time", profile.sliders(given, first))]


def air(scenario: Scenario, dataset: xr.Dataset, system: System, asked: float | None) -> list[Part]:
    """The air at one moment [s from begin] as a picture, and in words what it shows; nothing where nobody asked."""
    if asked is None:
        return []
    seconds = seconds_of(dataset)
    told = flows.told(dataset, system, asked)
    at = clock(scenario.night, float(seconds[np.argmin(np.abs(seconds - asked))]))
    drawn = picture("air", f"{AIR} {at}", lambda: flows.draw(scenario, dataset, system, asked))
    return [Part("air", f"The air at {at}", joined([drawn, paragraphs(told)]))]


def _sure(scenario: Scenario, dataset: xr.Dataset) -> Markup:
    texts = []
    if "level_temperature_low" in dataset:
        ranged = f"{name_of_range(scenario)}: two nights in three"
        texts.append(f"{ranged}, {causes(scenario, dataset, ['cot'])}.")
    texts += [str(dataset.attrs["air_note"]), str(dataset.attrs["fire_note"])]
    residual = float(dataset.attrs["energy_residual"])
    texts.append(
        f"Heat in and out agree to {residual:.0e} of what passed through: that checks the sums, not the model."
    )
    more = tag("p", "The cautions above hold whatever stands here.")
    return joined([paragraphs(texts), more])
