"""Findings on comfort: the bag's own label, the pad, and warm heads over cold floors."""

from collections.abc import Iterator

import xarray as xr

from simtent.assess import kinds
from simtent.assess.comfort import CONTACT_AREA, Sleeping, Standing, sleeping, standing_up
from simtent.assess.findings import Finding, Level
from simtent.assess.moments import clock, duration
from simtent.physics.comfort import CLASSES
from simtent.scenario.crew import Bag
from simtent.scenario.scenario import Scenario
from simtent.units import show

ZERO_CELSIUS = 273.15
HOUR = 3600.0
HEAD, ANKLES = 1.1, 0.1  # m, seated: ISO 7726
MOMENT = 600.0  # s; what is shorter is not told
MARGIN = 5.0  # K over the printed comfort; common practice, no source
ASSUMES = (
    "A rating assumes a pad, dry underwear, still air and an adult of a standard size, and people differ by more than "
    "its two numbers"
)


def comfort_findings(scenario: Scenario, dataset: xr.Dataset) -> Iterator[Finding]:
    """The bag's label against what is felt at the cot; heat lost through the pad; head against floor."""
    if scenario.shelter is None:
        return
    cot = sleeping(scenario, dataset, scenario.levels["cot"])
    if scenario.crew.bag is not None:
        yield from _bag(scenario, scenario.crew.bag, cot)
    yield from _pad(scenario, cot)
    if (up := standing_up(scenario, dataset)) is not None:
        yield from _head_and_floor(scenario, up)


def _bag(scenario: Scenario, bag: Bag, cot: Sleeping) -> Iterator[Finding]:
    assert cot.hours_below_comfort is not None and cot.hours_below_limit is not None
    under_limit, under_comfort = (HOUR * it for it in (cot.hours_below_limit, cot.hours_below_comfort))
    above = cot.lowest_felt - (bag.comfort - ZERO_CELSIUS)
    level: Level
    if under_limit > MOMENT:
        level, what = "caution", "in bed it feels colder than the limit that is printed on the sleeping bag"
    elif under_comfort > MOMENT:
        level, what = (
            "note",
            "in bed it feels colder than the comfort temperature printed on the sleeping bag",
        )
    elif above < MARGIN:
        level, what = "note", "in bed it comes close to the comfort temperature printed on the sleeping bag"
    else:
        return
    spent = f"; {duration(under_comfort)} below comfort, {duration(under_limit)} below limit"
    yield kinds.BAG_LABEL.found(
        level=level,
        what=f"{what}. {ASSUMES}",
        where="cot",
        when=f"coldest at {clock(scenario.night, cot.moment)}",
        number=f"felt down to {_degrees(scenario, cot.lowest_felt)}{spent if under_comfort > 0.0 else ''}",
        limit=f"printed: comfort {_kelvin(scenario, bag.comfort)}, limit {_kelvin(scenario, bag.limit)}",
        todo=f"Take a bag whose printed comfort is {_difference(scenario, MARGIN)} or more below what is expected, or "
        "another over it, and keep dry clothes and a hat in reach: a fire can go out. Whoever shivers or grows clumsy "
        "is woken, fed and warmed.",
    )


def _pad(scenario: Scenario, cot: Sleeping) -> Iterator[Finding]:
    each = scenario.crew.heat_each
    if cot.pad_watts is None or each <= 0.0 or cot.pad_watts <= 0.5 * each:
        return
    yield kinds.THIN_PAD.found(
        what=f"through the pad more heat would go into {cot.under} than by all other ways together",
        where="cot",
        when="mean from bed to rise",
        number=f"{_power(scenario, cot.pad_watts)} each",
        limit=f"{_power(scenario, each)} that each gives off in all (crew.heat_each)",
        detail=f"; {_area(scenario)} of body at {_degrees(scenario, 33.0)} on the pad",
        todo="Lay more under the sleepers: a second pad, dry clothes, boughs or a rug; R-values of pads add up.",
    )


def _head_and_floor(scenario: Scenario, up: Standing) -> Iterator[Finding]:
    widest = CLASSES[-1].difference
    if HOUR * up.hours_over <= MOMENT:
        return
    classes = ", ".join(f"{_difference(scenario, it.difference)} ({it.name})" for it in CLASSES)
    yield kinds.HEAD_OVER_FLOOR.found(
        what=f"warm heads over cold feet: while people are up, the air at a seated head ({_height(scenario, HEAD)}) is "
        f"far warmer than at the ankles ({_height(scenario, ANKLES)})",
        where="floor",
        when=f"most at {clock(scenario.night, up.moment)}",
        number=f"{_difference(scenario, up.largest)} apart, {duration(HOUR * up.hours_over)} over "
        f"{_difference(scenario, widest)}; floor down to {_degrees(scenario, up.floor)}",
        limit=f"{classes} by class of room",
        todo="Sit higher, feet on a mat or board, foam where people are; a fan carries warm air down. Vents stay open. "
        "`simtent heights` compares.",
    )


def _height(scenario: Scenario, metres: float) -> str:
    return show(metres, "length", scenario.units, 1)


def _area(scenario: Scenario) -> str:
    return show(CONTACT_AREA, "area", scenario.units)


def _degrees(scenario: Scenario, celsius: float) -> str:
    return _kelvin(scenario, celsius + ZERO_CELSIUS)


def _kelvin(scenario: Scenario, kelvin: float) -> str:
    return show(kelvin, "temperature", scenario.units, 0)


def _difference(scenario: Scenario, kelvin: float) -> str:
    return show(kelvin, "temperature_difference", scenario.units)


def _power(scenario: Scenario, watts: float) -> str:
    return show(watts, "power", scenario.units, 0)
