"""A fire that is out now, whatever the night has of it: nothing of what lies in the stove burns from then on."""

from dataclasses import dataclass

import numpy as np

from simtent.driver import drive
from simtent.onward import Course, begun_at
from simtent.planning.nights import Nights
from simtent.run import OUTPUT_STEP


@dataclass(frozen=True)
class Out:
    """A night until now, from which others go on without its fire.

    course  of the night until now, its last state without wood and coals
    now     until when it is theirs [s]
    wood    dry wood that lay unburnt by the night [kg]
    coals   that glowed by the night [kg]
    """

    course: Course
    now: float
    wood: float
    coals: float


def put_out(nights: Nights, now: float) -> Out:
    """Let the nights of a scenario go on from now with a stove in which nothing burns, and forget those known.

    What stove and shelter hold of heat stays. The fire goes out at the last time told before now, up to
    `OUTPUT_STEP` early.
    """
    night = drive(nights.scenario, accuracy=nights.accuracy, until=now + OUTPUT_STEP, rates=False)
    slots, places = night.model.shelter.stove.slots, night.model.shelter.stove.places
    last = begun_at(night.solution.times, now)
    state = night.solution.states[last]
    dry = slice(slots.first_dry, slots.first_dry + slots.dry.size)
    wood, coals = float(np.maximum(state[dry], 0.0).sum()), max(float(state[places.coals]), 0.0)
    water = slice(slots.first_water, slots.first_water + slots.water.size)
    state[places.ash] += (
        wood + coals + float(np.maximum(state[water], 0.0).sum())
    )  # it lies there, and is no fuel
    state[dry], state[water], state[places.coals] = 0.0, 0.0, 0.0
    course = Course.of(night.model, night.solution)
    nights.known.clear()
    nights.begun = {(): (course, now)}
    return Out(course, now, wood, coals)
