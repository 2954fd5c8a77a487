"""The nights that a stoking card holds for: tonight's low in even steps, calm and windy."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from simtent.errors import Fault
from simtent.scenario.outdoors import SHIFTS, WIND
from simtent.scenario.scenario import Scenario
from simtent.scenario.tripped import of_trip
from simtent.units import System, number, to_si

STEPS = {"si": 5.0, "us": 10.0}  # between two rows [K], [degF]
BESIDE = 2  # rows colder and warmer than the scenario's own low; own choice
MOST_LOWS = 6  # a pocket's paper has room for
CALM, BREEZE, WINDY = (
    1.0,
    2.5,
    5.0,
)  # m/s at the shelter: usual, from which a night is windy, as windy; own choice
FARTHEST = 40.0  # K that the air is shifted by, as outdoors.shift allows
ROUNDING = 1e-6


@dataclass(frozen=True, order=True, slots=True)
class Weather:
    """A night of the card: its low [K], its wind [m/s], and whether it counts as the windy one."""

    low: float
    wind: float
    windy: bool = False


def own_low(scenario: Scenario) -> float:
    """The coldest outdoor air of the scenario's night [K]."""
    return min(scenario.outdoors.track("air").values)


def lows_of(scenario: Scenario, system: System, given: Sequence[float] = ()) -> tuple[float, ...]:
    """The lows of the rows [K], rising, at whole steps of a system of units.

    From the coldest to the warmest that is given; else of the trip's nights; else about the scenario's own.
    """
    step = STEPS[system]
    wanted = list(given) or [own_low(of_trip(scenario, n)) for n in range(len(scenario.trip))]
    if wanted:
        first = floor(number(min(wanted), "temperature", system) / step + ROUNDING)
        last = ceil(number(max(wanted), "temperature", system) / step - ROUNDING)
    else:
        middle = floor(number(own_low(scenario), "temperature", system) / step + 0.5)
        first, last = middle - BESIDE, middle + BESIDE
    unit = {"si": "degC", "us": "degF"}[system]
    return tuple(to_si(f"{step * k:.0f} {unit}", "temperature") for k in range(first, last + 1))


def winds_of(scenario: Scenario, given: Sequence[float] = ()) -> tuple[float, ...]:
    """The calm and the windy wind of the rows [m/s]; the scenario's own is one of them where none is given."""
    if given:
        return tuple(sorted(dict.fromkeys(given)))
    own = max(scenario.outdoors.track("wind").values)
    return (own, WINDY) if own < BREEZE else (CALM, own)


def weathers(lows: Sequence[float], winds: Sequence[float]) -> list[Weather]:
    """The rows of a card, by rising low, calm before windy."""
    alone = len(winds) == 1
    return [
        Weather(low, wind, wind >= BREEZE if alone else k > 0) for low in lows for k, wind in enumerate(winds)
    ]


def in_weather(scenario: Scenario, weather: Weather) -> Scenario:
    """The scenario's night with another low, the air colder or warmer at all times alike, and a steady wind."""
    outdoors = scenario.outdoors
    shift = outdoors.shift + weather.low - own_low(scenario)
    changes: dict[str, Any] = {"outdoors.shift": SHIFTS.text(shift), "outdoors.wind": WIND.text(weather.wind)}
    if outdoors.file is not None and outdoors.file.columns.wind:
        changes |= {f"outdoors.file.{table}.wind": "none" for table in ("columns", "units")}
    return scenario.replace(changes)


def faults_of_weather(scenario: Scenario, lows: Sequence[float], winds: Sequence[float]) -> Iterator[Fault]:
    """What is wrong with the lows and winds of a card."""
    if len(lows) > MOST_LOWS:
        what = f"a card of {len(lows)} lows, one every step, is too long for a pocket"
        yield Fault(what, "--low", allowed=f"up to {MOST_LOWS}", todo="Make two cards of narrower bands")
    if len(winds) > 2:
        what = f"{len(winds)} winds are given"
        yield Fault(
            what, "--wind", allowed="up to 2", todo='Give a calm one and a windy one: --wind "1 m/s,6 m/s"'
        )
    for low in (min(lows), max(lows)):
        shift = scenario.outdoors.shift + low - own_low(scenario)
        if abs(shift) > FARTHEST:
            text = f"{low - 273.15:.0f} degC"
            what = "this low is too far from the scenario's night to be told from it"
            yield Fault(
                what, "--low", value=text, allowed="40 K from it", todo="Begin with a night nearer to it"
            )
            return
