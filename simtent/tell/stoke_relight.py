"""The night in which the fire goes out, in words."""

from collections.abc import Iterator

from simtent.assess.moments import clock
from simtent.planning.choices import CATCHING
from simtent.planning.outcome import Plan
from simtent.planning.relight import Relight
from simtent.scenario.scenario import Scenario
from simtent.tell.words import paragraph
from simtent.units import System, show

LABEL = 25
ZERO_CELSIUS = 273.15


def relight_lines(scenario: Scenario, plan: Plan, system: System) -> list[str]:
    """Last load, coldest, relight, kindling, minutes until bearable, and the bag's label: nobody wakes for the fire."""
    assert plan.relight is not None
    lines = ["IF THE FIRE MAY GO OUT: no wake-up, a fire lit again before rising"]
    for label, text in _pairs(scenario, plan, plan.relight, system):
        lines += paragraph(text, first=label.ljust(LABEL), rest=" " * LABEL)
    return lines


def _pairs(scenario: Scenario, plan: Plan, it: Relight, system: System) -> Iterator[tuple[str, str]]:
    night, choices = scenario.night, plan.choices
    last = it.draft.puts[-1]
    yield "Last load", f"{clock(night, last.at)}, {_pieces(last.pieces)}"
    yield "Coldest at the cot", f"{_degrees(it.lowest, system)} at {clock(night, it.lowest_at)}"
    kindling = _pieces(choices.first.pieces)
    then = f"{_pieces(it.then.pieces)} {CATCHING / 60.0:.0f} min later, levers wide open"
    yield "Light it again", f"{clock(night, it.lit_at)} by hand with {kindling} laid ready; {then}"
    wanted = _degrees(it.wanted, system)
    rise = clock(night, choices.rise)
    if it.minutes is None:
        at_rise = _degrees(it.at_rise, system)
        yield "From match to bearable", f"more than there is until {rise}: {at_rise} then, {wanted} asked for"
    else:
        yield "From match to bearable", f"{it.minutes:.0f} min to {wanted} at the cot"
    yield "Sleeping bag", _bag(scenario, it, system)


def _bag(scenario: Scenario, it: Relight, system: System) -> str:
    """The bag's own label beside the coldest; nothing here rates a bag."""
    bag = scenario.crew.bag
    if bag is None:
        return (
            "the file does not say what is printed on the bag ([crew.bag]); nothing here can stand in for it"
        )
    comfort, limit = (show(printed, "temperature", system, 0) for printed in (bag.comfort, bag.limit))
    coldest = it.lowest + ZERO_CELSIUS
    where = (
        "colder than the limit printed on it: do not count on this night"
        if coldest < bag.limit
        else "colder than the comfort temperature printed on it"
        if coldest < bag.comfort
        else "not colder than the comfort temperature printed on it"
    )
    return f"its label says comfort {comfort}, limit {limit}; the air at the cot gets {where}. People differ by more"


def _pieces(pieces: tuple[tuple[str, int | float], ...]) -> str:
    return ", ".join(f"{it} {name}" if isinstance(it, int) else f"{it:.1f} kg {name}" for name, it in pieces)


def _degrees(celsius: float, system: System) -> str:
    return show(celsius + ZERO_CELSIUS, "temperature", system, 0)
