"""A stoking plan in words: its loads as a table, what it promises, what other numbers of wake-ups would buy."""

from collections.abc import Iterator

from simtent.assess.moments import clock, duration
from simtent.planning.choices import CATCHING, Levers
from simtent.planning.outcome import Line, Option, Plan
from simtent.planning.unsure import SURE
from simtent.scenario.checks_fire import TEST_LOAD
from simtent.scenario.scenario import Scenario
from simtent.scenario.turns import Pieces
from simtent.tell.stoke_relight import relight_lines
from simtent.tell.stoke_short import falls_short, nearest
from simtent.tell.words import paragraph, percent, wood_mass
from simtent.units import System, show

LABEL = 25  # width of the left column
ZERO_CELSIUS = 273.15
TENTHS = {"us": 0, "si": 1}  # decimals of a promised temperature: a degree F, a tenth of a degree C
NO_GO = "NO PLAN IS GIVEN: every plan that was found has a finding above that says STOP. Mend that first."


def told(scenario: Scenario, plan: Plan, system: System) -> list[str]:
    """Everything that a plan has to say, in lines of at most 80 characters."""
    if plan.stops:
        return [*paragraph(NO_GO), "", *table_of_options(plan, system)]
    return [
        *loads(plan, system),
        "",
        *promises(plan, system),
        "",
        *table_of_options(plan, system),
        *([] if plan.reached else ["", *falls_short(plan, system), *nearest(plan, system)]),
        *(["", *relight_lines(scenario, plan, system)] if plan.relight else []),
        "",
        *how_found(plan),
    ]


def temperature(celsius: float, system: System) -> str:
    """A promised temperature."""
    return show(celsius + ZERO_CELSIUS, "temperature", system, TENTHS[system])


def loads(plan: Plan, system: System) -> list[str]:
    """The plan's loads, a row each, with the levers as they stand once the wood has caught."""
    lines = ["THE PLAN" + ("" if plan.reached else ": the best that was found; it misses a wish"), ""]
    lines.append(f"{'':<3}{'time':<7}{'put on':<25}{'':>8}  {'coals':>5}  then set")
    for line in plan.lines():
        lines += _row(plan, line, system)
    wide = _levers(plan, plan.choices.wide)
    text = (
        f"* get up. coals: the chance that they light the load. Set after {duration(CATCHING)}, when the wood has "
        f"caught; until then {wide}. Shares of the full opening behind each mark."
    )
    lines += paragraph(text, first="   ", rest="   ")
    lines += paragraph(_heavier(plan, system), first="   ", rest="   ")
    if plan.relit:
        text = (
            "From rise on the file's own loads follow; the coals will not light the first: light it by hand."
        )
        lines += paragraph(text, first="   ", rest="   ")
    return lines


def _heavier(plan: Plan, system: System) -> str:
    """Loads above what stoves are tested with; nothing where none is."""
    stove = plan.scenario.stove
    assert stove is not None
    tested = TEST_LOAD * stove.firebox.volume
    most = max(line.mass for line in plan.lines())
    if most <= 1.05 * tested:  # as near as pieces come to it
        return ""
    return (
        f"The largest load is {most / tested:.1f} times what a firebox of this size is tested with "
        f"({wood_mass(tested, system)}, EPA Method 28, second-hand): the stove maker's manual says whether it may be."
    )


def _row(plan: Plan, line: Line, system: System) -> Iterator[str]:
    mark = " * " if line.wake_up else "   "
    time = clock(plan.scenario.night, line.at)
    chance = "match" if line.chance is None else percent(min(line.chance, 0.99))
    levers = "as in the file" if line.levers is None else _levers(plan, line.levers)
    pieces = pieces_text(line.pieces)
    head = f"{mark}{time:<7}{pieces:<25}{wood_mass(line.mass, system):>8}  {chance:>5}  "
    if len(pieces) > 24:
        yield f"{mark}{time:<7}{pieces}"
        head = f"{'':<35}{wood_mass(line.mass, system):>8}  {chance:>5}  "
    yield from paragraph(levers, first=head, rest=" " * 52)


def pieces_text(pieces: Pieces) -> str:
    """A load as counts of pieces: "3 split, 1 stick"."""
    return ", ".join(f"{it} {name}" if isinstance(it, int) else f"{it:.1f} kg {name}" for name, it in pieces)


def _levers(plan: Plan, levers: Levers) -> str:
    """Marks with their shares: "air one (20 %), damper slant (60 %)"."""
    stove = plan.scenario.stove
    assert stove is not None
    text = f"air {levers.air} ({percent(stove.air.marks[levers.air])})"
    if stove.damper is not None and levers.damper is not None:
        text += f", damper {levers.damper} ({percent(stove.damper.marks[levers.damper])})"
    return text


def promises(plan: Plan, system: System) -> list[str]:
    """What the plan comes to on the night as it is foretold, and how it holds on others."""
    night, limits = plan.promised, plan.limits
    asked = "" if limits.rise is None else f"; asked for {temperature(limits.rise, system)}"
    cold = f"{temperature(night.cot_lowest, system)} at {clock(plan.scenario.night, night.cot_lowest_at)}"
    pairs = [
        ("Wake-ups", f"{plan.chosen.wake_ups}"),
        ("Coldest at the cot", f"{cold}; asked for {temperature(limits.cot, system)}"),
        (
            f"Cot at {clock(plan.scenario.night, plan.choices.rise)}",
            f"{temperature(night.cot_at_rise, system)}{asked}",
        ),
        ("Hottest at the head", f"{temperature(night.head_highest, system)} before bed{_head(plan, system)}"),
        ("Wood", f"{wood_mass(night.wood, system)} in the whole night{_at_hand(plan, system)}"),
        ("On other nights", _held(plan, system)),
    ]
    lines = ["WHAT IT PROMISES, if the night is as foretold"]
    for label, text in pairs:
        lines += paragraph(text, first=label.ljust(LABEL), rest=" " * LABEL)
    return lines


def _head(plan: Plan, system: System) -> str:
    most = plan.limits.head
    return "" if most is None else f"; {temperature(most, system)} at most asked for"


def _at_hand(plan: Plan, system: System) -> str:
    there = plan.limits.wood
    return "" if there is None else f" of {wood_mass(there, system)} at hand"


def _held(plan: Plan, system: System) -> str:
    """The ensemble's sentence."""
    held = plan.held.get(plan.chosen.wake_ups)
    if held is None:
        return "not looked at: the search was ended before its end"
    count = len(held.lowest)
    return (
        f"{_in_ten(SURE)} nights in ten the cot stays above {temperature(held.colder, system)}. The wish holds in "
        f"{round(held.holds * count)} of {count} nights, coals light every load in {round(held.caught * count)}. Drawn "
        f"(seed {held.seed}) from {', '.join(held.of)}"
    )


def _in_ten(share: float) -> str:
    return {0.8: "eight"}.get(share, f"{10.0 * share:.0f}")


def table_of_options(plan: Plan, system: System) -> list[str]:
    """The best plan for each number of wake-ups, a row each, and what one more or none would buy."""
    lines = [
        "WAKE-UPS AGAINST WARMTH AND WOOD",
        f"{'wake-ups':>8}{'coldest at the cot':>20}{'cot at rise':>13}{'wood':>10}{'holds in':>10}  wish",
    ]
    for it in plan.options:
        wish = "kept" if it.keeps else f"missed: {', '.join(_missed(it))}"
        cells = (
            f"{temperature(it.night.cot_lowest, system):>20}{temperature(it.night.cot_at_rise, system):>13}"
        )
        mark = " <- the plan" if it is plan.chosen else ""
        lines.append(
            f"{it.wake_ups:>8}{cells}{wood_mass(it.night.wood, system):>10}{_holds_in(plan, it):>10}  {wish}{mark}"
        )
    for sentence in _bought(plan, system):
        lines += paragraph(sentence)
    return lines


def _holds_in(plan: Plan, option: Option) -> str:
    """In how many of the drawn nights an option keeps the wish at the cot."""
    held = plan.held.get(option.wake_ups)
    return "" if held is None else f"{round(held.holds * len(held.lowest))} of {len(held.lowest)}"


MISSED = {
    "cot": "cot", "rise": "rise", "head": "head", "coals": "coals", "wood": "wood",
    "fullest": "firebox", "stove": "stove", "jack": "pipe", "cool": "flue",
}  # fmt: skip


def _missed(option: Option) -> list[str]:
    return [MISSED[name] for name in option.broken]


def _bought(plan: Plan, system: System) -> Iterator[str]:
    """What one more wake-up buys; what sleeping through costs."""
    chosen = plan.chosen
    more = next((it for it in plan.options if it.wake_ups == chosen.wake_ups + 1), None)
    if more is not None:
        here, there = (_holds_in(plan, it) for it in (chosen, more))
        surer = f" The wish holds in {there} nights, not {here}." if there and there != here else ""
        yield f"One more wake-up: {_difference(chosen, more, system)}.{surer}"
    through = next((it for it in plan.options if it.wake_ups == 0), None)
    if through is not None and through is not chosen:
        yield f"Sleeping through: {_difference(chosen, through, system)}."


def _difference(here: Option, there: Option, system: System) -> str:
    warmer = there.night.cot_lowest - here.night.cot_lowest
    heavier = there.night.wood - here.night.wood
    gap = show(abs(warmer), "temperature_difference", system, 0 if system == "us" else 1)
    parts = [
        "the coldest at the cot stays as it is"
        if abs(warmer) < 0.3
        else f"the coldest at the cot is {gap} {'warmer' if warmer > 0.0 else 'colder'}",
        "for the same wood"
        if abs(heavier) < 0.05
        else f"with {wood_mass(abs(heavier), system)} {'more' if heavier > 0.0 else 'less'} wood",
    ]
    if there.broken:
        parts.append(f"and misses: {', '.join(_missed(there))}")
    return ", ".join(parts)


def how_found(plan: Plan) -> list[str]:
    """How the plan came about, and what it is not."""
    stopped = " The search was ended before its end: this is the best so far." if plan.stopped else ""
    text = (
        f"Found by {plan.nights} simulated nights on a grid of {duration(plan.choices.grid)}: a search on the night as "
        f"foretold, on few layers of air, checked on all; another search may find one a little better.{stopped} Nobody "
        "has burned this plan: keep to the maker's largest load and lowest marks, and to what you see of your fire."
    )
    return paragraph(text)
