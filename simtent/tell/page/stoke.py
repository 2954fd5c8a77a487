"""A stoking plan as a page: when to get up, in a sentence; the plan, its night, what it rests on."""

from collections.abc import Sequence

from simtent.assess.findings import Finding
from simtent.assess.moments import clock
from simtent.planning.outcome import Plan
from simtent.scenario.scenario import Scenario
from simtent.tell import stoke_picture
from simtent.tell.page import accounts, night, river, tables
from simtent.tell.page.frame import Page, Part
from simtent.tell.page.picture import picture
from simtent.tell.page.reflow import reflowed
from simtent.tell.stoke_words import NO_GO, temperature, told
from simtent.tell.words import wood_mass
from simtent.units import System

WORDS = "Air temperatures of the planned night, its loads, and what other numbers of wake-ups would bring"


def page(
    scenario: Scenario, plan: Plan, system: System, always: Sequence[Finding], found: Sequence[Finding]
) -> Page:
    """Everything that a plan's page holds."""
    planned, dataset = plan.scenario, plan.dataset
    return Page(
        scenario=scenario.name,
        about=night.about(scenario),
        answer=answer(plan, system),
        found=found,
        always=always,
        parts=[
            Part("plan", "The plan in words", reflowed(told(scenario, plan, system))),
            Part("picture", "The plan as a picture",
                 picture("plan", WORDS, lambda: stoke_picture.draw(scenario, plan, system))),
            Part("hours", "The planned night, hour by hour", tables.hour_table(planned, dataset, system)),
            Part("energy", "Where heat came from and went", river.energy(accounts.accounts(dataset), system)),
            *night.by_height(planned, dataset, system),
            *night.foundation(planned, dataset),
        ],
    )  # fmt: skip


def answer(plan: Plan, system: System) -> str:
    """The plan in a sentence."""
    if plan.stops:
        return NO_GO.capitalize()
    ups = [clock(plan.scenario.night, line.at) for line in plan.lines() if line.wake_up]
    promised = plan.promised
    rise = f"Get up at {_and(ups)}" if ups else "Sleep through"
    text = (
        f"{rise} and burn {wood_mass(promised.wood, system)} in all: the cot is then coldest at "
        f"{clock(plan.scenario.night, promised.cot_lowest_at)} with {temperature(promised.cot_lowest, system)}, of "
        f"{temperature(plan.limits.cot, system)} asked for, if the night is as foretold."
    )
    return text if plan.reached else f"{text} It misses a wish: see where it falls short."


def _and(times: Sequence[str]) -> str:
    *others, last = times
    return f"{', '.join(others)} and {last}" if others else last
