"""What people ask of a night, as numbers: each declared once, with what it is worth and how closely it is known."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from simtent.assess.curves import Curve
from simtent.dampness import on_faces
from simtent.felt import air_at
from simtent.network.arrays import Array
from simtent.readings import ZERO_CELSIUS
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.scenario.track import Track

HOUR = 3600.0
LIT = 0.5  # chance from which coals count as lighting a load, as a night has it


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a night.

    name    as the Dataset has it
    words   what it is
    unit    in which it is counted: degC, K, h, kg
    kind    how it is shown
    better  1 where more is better, -1 where less is, 0 where neither is
    least   difference between two nights below which the solver cannot tell them apart
    """

    name: str
    words: str
    unit: str
    kind: str
    better: int
    least: float


# Air is solved within 0.05 K of a far closer run, so that a difference of two nights is within 0.1 K.
NUMBERS = (
    Number("cot_lowest", "cot, lowest in bed", "degC", "temperature", 1, 0.1),
    Number("floor_lowest", "floor, lowest in bed", "degC", "temperature", 1, 0.1),
    Number("cot_mean", "cot, mean in bed", "degC", "temperature", 1, 0.1),
    Number("floor_mean", "floor, mean in bed", "degC", "temperature", 1, 0.1),
    Number("head_highest", "head, highest", "degC", "temperature", 0, 0.2),
    Number("head_over_floor", "head over floor", "K", "temperature_difference", -1, 0.2),
    Number("hours_under_wish", "cot under the wish", "h", "hours", -1, 0.1),
    Number("wood", "wood put on", "kg", "mass", -1, 0.005),
    Number("load_interval", "between loads in bed", "h", "hours", 1, 0.02),
    Number("coals_last", "last load keeps coals", "h", "hours", 1, 0.1),
    Number("stove_highest", "stove, highest", "degC", "temperature", 0, 2.0),
    Number("frost", "frost and dew at rise", "kg", "mass", -1, 0.002),
)
NAMES = tuple(it.name for it in NUMBERS)
LEVELS = ("head", "cot", "floor")


def asked(night: Run, levels: Array | None = None) -> dict[str, float]:
    """What people ask of a night, by the names of `NUMBERS`; NaN for what it does not have.

    levels  temperature at `LEVELS` at every time, shape (times, 3) [degC], if not that of the night itself
    """
    found = dict.fromkeys(NAMES, math.nan)
    if night.model.house is not None:
        found |= _warmth(night, warmth(night) if levels is None else levels)
        found |= _frost(night)
    return found | _fire(night)


def warmth(night: Run) -> Array:
    """Air temperature at `LEVELS` at every time, shape (times, 3) [degC]."""
    return air_at(night, [night.scenario.levels[name] for name in LEVELS]) - ZERO_CELSIUS


def in_bed(scenario: Scenario) -> tuple[float, float]:
    """From when to when people are in bed [s]; without a time of its own from begin, or to the end."""
    night, wish = scenario.night, scenario.wish
    bed = 0.0 if wish.bed is None else night.seconds_at(wish.bed)
    return bed, night.seconds if wish.rise is None else night.seconds_at(wish.rise)


def outdoors(night: Run) -> Array:
    """Outdoor air at every time told [degC]."""
    track: Track = night.scenario.outdoors.track("air")
    return np.interp(night.solution.times, track.times, track.values) - ZERO_CELSIUS


def _warmth(night: Run, levels: Array) -> dict[str, float]:
    scenario, times = night.scenario, night.solution.times
    head, cot, floor = (Curve(times, column) for column in levels.T)
    bed = in_bed(scenario)
    wish = scenario.wish.cot_at_least
    sleeping = cot.between(*bed)
    below = math.nan if wish is None else sleeping.time_below(wish - ZERO_CELSIUS) / HOUR
    return {
        "cot_lowest": sleeping.lowest()[1],
        "floor_lowest": floor.between(*bed).lowest()[1],
        "cot_mean": _mean(sleeping),
        "floor_mean": _mean(floor.between(*bed)),
        "head_highest": head.highest()[1],
        "head_over_floor": float((head.values - floor.values).max()),
        "hours_under_wish": below,
    }


def _mean(curve: Curve) -> float:
    span = float(curve.seconds[-1] - curve.seconds[0])
    return float(np.trapezoid(curve.values, curve.seconds)) / span if span > 0.0 else float(curve.values[0])


def _fire(night: Run) -> dict[str, float]:
    if night.tending is None or night.model.hearth is None:
        return {}
    begin, end = in_bed(night.scenario)
    put = [(it.time, it.mass) for it in night.tending.events if it.mass > 0.0]
    body = night.temperatures[:, night.model.hearth.body]
    return {
        "wood": sum(mass for _, mass in put),
        "load_interval": _interval([time for time, _ in put], begin, end),
        "coals_last": _coals(night, [time for time, _ in put if time <= end]),
        "stove_highest": float(body.max()) - ZERO_CELSIUS,
    }


def _interval(moments: list[float], begin: float, end: float) -> float:
    """Mean time between loads, from the last one before bed to the last before rise [h]; NaN with fewer than two."""
    before = [it for it in moments if it <= begin][-1:]
    gaps = [b - a for a, b in pairwise([*before, *(it for it in moments if begin < it < end)])]
    return sum(gaps) / len(gaps) / HOUR if gaps else math.nan


def _coals(night: Run, moments: list[float]) -> float:
    """How long after the last load before rise coals or flames would light another [h], to the night's end at most."""
    assert night.tending is not None
    if not moments:
        return math.nan
    times, last = night.solution.times, moments[-1]
    those = np.flatnonzero(times >= last)
    chances = np.array([night.tending.chance(night.solution.states[k]) for k in those])
    lit = np.flatnonzero(chances >= LIT)
    if lit.size == 0:
        return 0.0
    k = int(lit[-1])
    if k == chances.size - 1:
        return float(times[-1] - last) / HOUR
    share = float((chances[k] - LIT) / (chances[k] - chances[k + 1]))
    here, after = times[those[k]], times[those[k + 1]]
    return float(here + share * (after - here) - last) / HOUR


def _frost(night: Run) -> dict[str, float]:
    house, damp = night.model.house, night.model.shelter.damp
    if house is None or damp.mass.size == 0:
        return {}
    skin = 2 * len(house.strips)
    ice, liquid, _ = on_faces(night, house)
    total = (ice[:, :skin] + liquid[:, :skin]).clip(min=0.0).sum(axis=1)
    return {"frost": float(np.interp(in_bed(night.scenario)[1], night.solution.times, total))}
