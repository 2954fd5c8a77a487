"""What a stove holds that is filled at an interval: nights of full loads at each mark of its air, in steady weather."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np

from simtent.assembly.rhs import observe
from simtent.assess.loads import EVEN
from simtent.assess.stove import ANYTHING_BURNS, COOL_FLUE, COOL_FOR, GLOWS, WOOD_BURNS
from simtent.network.arrays import Array
from simtent.readings import level_temperatures
from simtent.run import Run
from simtent.scenario.scenario import Scenario
from simtent.scenario.stove import Air, Damper
from simtent.sizing.classes import Size
from simtent.sizing.scene import KINDLING, PIECE, solved, weather

ZERO_CELSIUS = 273.15
SETTLED = 6.0  # h, after which the last interval counts, and not before the third load
LOADS = 3
LONGEST = 7.5  # h between loads: three of them fit into a day
CATCHES = "10 min"  # with the air wide open after each load, as people do; common practice, no source
MATCHWOOD, KINDLED = 0.02, 0.15  # thickness [m] and share of the kindling in the first load; own choice
LEAST_LOAD = 0.05  # of a full load, put on where all of the last one is still there; own choice
FLUE_EXIT, HEAT = 1, 5  # columns of what is observed of a fire
MOST_MARKS = 4


@dataclass(frozen=True)
class Held:
    """The last interval of a night in which the stove was filled at an interval.

    every   between loads [h]
    mark    of the air
    air, wind  outside [K], [m/s]
    coldest    lowest at the cot [K]
    head       highest at the head [K]
    heat       mean heat that the fire sets free [W]
    put_on     wood that goes in each time [kg]
    cool       time in which wood burns and the flue is cool at its top [s]
    hottest    highest mean of the stove's body [degC]
    lights     whether coals light the next load with an even chance or better
    """

    every: float
    mark: str
    air: float
    wind: float
    coldest: float
    head: float
    heat: float
    put_on: float
    cool: float
    hottest: float
    lights: bool

    @property
    def glows(self) -> bool:
        """Whether the body comes near a visible glow."""
        return self.hottest > GLOWS

    @property
    def smoulders(self) -> bool:
        """Whether the flue stays cool over burning wood for longer than practice lets it."""
        return self.cool > COOL_FOR


def marks_of(air: Air) -> list[str]:
    """The marks that sleepers may use, from the least on, four at most: ends and what lies between."""
    least = 0.0 if air.least_when_asleep is None else air.marks[air.least_when_asleep]
    allowed = [
        mark for mark, share in sorted(air.marks.items(), key=lambda it: it[1]) if share >= max(least, 1e-9)
    ]
    picked = np.unique(np.round(np.linspace(0, len(allowed) - 1, MOST_MARKS)).astype(int))
    return [allowed[n] for n in picked]


def held(given: Scenario, size: Size, mark: str, every: float, air: float, wind: float) -> Held:
    """The stove of `given` filled every so many hours at a mark of its air, air [K] and wind [m/s] outside.

    What is left of a load takes the room of the next one, so that the firebox is full and never more than full; how
    much that is tells a first night as long as one interval.
    """
    first = _night(given, size, mark, every, air, wind, 1, size.load)
    left = max(float(_wood(first)[0][-1]), 0.0)
    later = max(size.load - left, LEAST_LOAD * size.load)
    loads = ceil(max(SETTLED / every, LOADS) - 1e-9)
    return _told(_night(given, size, mark, every, air, wind, loads, later), every, mark, air, wind, later)


def _night(
    given: Scenario, size: Size, mark: str, every: float, air: float, wind: float, loads: int, later: float
) -> Run:
    changes = weather(air, wind, loads * every, given)
    return solved(given, {**changes, **_fire(given, size, mark, every, loads, later)})


def _fire(
    given: Scenario, size: Size, mark: str, every: float, loads: int, later: float
) -> Mapping[str, Any]:
    """A full load lit by hand, then one at each interval; [wood] with the pieces that this stove takes."""
    assert given.stove is not None
    marks = given.stove.air.marks
    wide = max(marks, key=lambda name: marks[name])
    air = [{"for": CATCHES, "mark": wide}, {"mark": mark}] if mark != wide else wide
    first = {PIECE: f"{(1.0 - KINDLED) * size.load!r} kg", KINDLING: f"{KINDLED * size.load!r} kg"}
    begin = given.night.begin
    span = round(60.0 * every)
    rows = [{"at": begin, "pieces": first, "air": air}]
    rows += [
        {"at": _after(begin, n * span), "pieces": {PIECE: f"{later!r} kg"}, "air": air}
        for n in range(1, loads)
    ]
    damper = given.stove.damper
    return {
        "wood.pieces." + PIECE: {"thick": f"{size.thick!r} m", "long": f"{size.long!r} m"},
        "wood.pieces." + KINDLING: {"thick": f"{min(MATCHWOOD, size.thick)!r} m", "long": f"{size.long!r} m"},
        "stoking.air": wide,
        "stoking.damper": _most_open(damper),
        "stoking.load": rows,
    }


def _most_open(damper: Damper | None) -> str:
    return "none" if damper is None else max(damper.marks, key=lambda name: damper.marks[name])


def _after(begin: str, minutes: int) -> str:
    hour, minute, *_ = begin.split(":")
    there = (int(hour) * 60 + int(minute) + minutes) % 1440
    return f"{there // 60:02d}:{there % 60:02d}"


def _wood(night: Run) -> tuple[Array, Array]:
    """Wood with its water, and dry wood alone, on the fire at every time [kg]."""
    slots, states = night.model.shelter.stove.slots, night.solution.states
    count = slots.dry.size
    water, dry = (
        states[:, first : first + count].sum(axis=1) for first in (slots.first_water, slots.first_dry)
    )
    return water + dry, dry


def _told(night: Run, every: float, mark: str, air: float, wind: float, put_on: float) -> Held:
    hearth, solution = night.model.hearth, night.solution
    assert hearth is not None and night.tending is not None
    last = np.flatnonzero(solution.times >= solution.times[-1] - 3600.0 * every)
    seen = [
        observe(float(solution.times[n]), solution.states[n], night.model.shelter, solution.rows[n])[1]
        for n in last
    ]
    exits, heat = np.array([(row[FLUE_EXIT], row[HEAT]) for row in seen]).T
    smoulders = (exits < COOL_FLUE + ZERO_CELSIUS) & (_wood(night)[1][last] > WOOD_BURNS)
    smoulders &= heat > ANYTHING_BURNS
    levels, names = level_temperatures(night)[last] + ZERO_CELSIUS, list(night.scenario.levels)
    return Held(
        every, mark, air, wind,
        coldest=float(levels[:, names.index("cot")].min()),
        head=float(levels[:, names.index("head")].max()),
        heat=float(heat.mean()),
        put_on=put_on,
        cool=float(np.sum(smoulders[1:] * np.diff(solution.times[last]))),
        hottest=float(night.temperatures[last, hearth.body].max()) - ZERO_CELSIUS,
        lights=night.tending.chance(solution.states[-1]) >= EVEN,
    )  # fmt: skip
