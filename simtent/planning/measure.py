"""One simulated night as the few numbers that plans are judged by."""

import math
from dataclasses import dataclass, field

import numpy as np

from simtent.assembly.rhs import observe
from simtent.assess.stove import COOL_FLUE, WOOD_BURNS
from simtent.felt import air_at
from simtent.network.arrays import Array
from simtent.planning.choices import Choices
from simtent.planning.draft import Draft
from simtent.readings import ZERO_CELSIUS
from simtent.run import Run

WARMED_UP = 5400.0  # s after the first load from which the cot counts in the evening; own choice
CERTAIN = 30.0  # log-odds beyond which a chance is no chance any more


@dataclass(frozen=True)
class Measured:
    """What a night came to. Temperatures in degC, times in seconds from the begin.

    cot_lowest, cot_lowest_at   from bed to rise, or since when it is judged
    cot_evening                 lowest at the cot while up, once the shelter has warmed up
    cot_at_rise, head_highest   at rise; before bed
    odds                        of each load after the first: logarithm of the odds that the coals light it
    fullest                     largest share of the firebox that wood filled, by loads from when on hazards count
    stove, jack                 hottest body of the stove, hottest pipe where it passes the skin, from then to rise
    cool                        how long wood burned under a cool flue [s], from the first planned load to rise
    wood                        put on in the whole night, moist [kg]
    unevenness                  standard deviation of the cot's temperature from bed to rise [K]
    times, cot, lights          every time told, the cot then, and the log-odds that a load would be lit
    """

    cot_lowest: float
    cot_lowest_at: float
    cot_evening: float
    cot_at_rise: float
    head_highest: float
    odds: tuple[float, ...]
    fullest: float
    stove: float
    jack: float
    cool: float
    wood: float
    unevenness: float
    times: Array = field(repr=False)
    cot: Array = field(repr=False)
    lights: Array = field(repr=False)

    @property
    def chances(self) -> tuple[float, ...]:
        """The chance that the coals light each load after the first."""
        return tuple(1.0 / (1.0 + math.exp(-it)) for it in self.odds)

    @property
    def lit(self) -> bool:
        """Whether the coals light every load, as a night has it: at even odds or better."""
        return all(it >= 0.0 for it in self.odds)


def measured(night: Run, draft: Draft, choices: Choices) -> Measured:
    """The numbers of a night in which a draft was done."""
    scenario, model, times = night.scenario, night.model, night.solution.times
    assert scenario.wood and scenario.stoking and night.tending and model.hearth
    head, cot = (air_at(night, [scenario.levels[name] for name in ("head", "cot")]) - ZERO_CELSIUS).T
    asleep = (times >= choices.judged_from) & (times <= choices.rise)
    before_rise = (times >= choices.hazards_from) & (times <= choices.rise)
    up = times <= choices.bed
    warmed = up & (times >= choices.first.at + WARMED_UP)
    lowest = int(np.argmin(np.where(asleep, cot, np.inf)))
    lights = np.array([_log_odds(night.tending.chance(state)) for state in night.solution.states])
    kelvin = night.temperatures
    return Measured(
        cot_lowest=float(cot[lowest]),
        cot_lowest_at=float(times[lowest]),
        cot_evening=float(cot[warmed].min()) if warmed.any() else math.inf,
        cot_at_rise=float(np.interp(choices.rise, times, cot)),
        head_highest=float(head[up].max()),
        odds=tuple(
            CERTAIN if put.at == choices.seen_glowing else _before(put.at, times, lights)
            for put in draft.puts
        ),
        fullest=_fullest(night, choices),
        stove=float(kelvin[before_rise, model.hearth.body].max()) - ZERO_CELSIUS,
        jack=float(kelvin[before_rise, model.hearth.inside[-1]].max()) - ZERO_CELSIUS,
        cool=_cool(night, draft, choices),
        wood=sum(sum(scenario.wood.load_masses(load.pieces).values()) for load in scenario.stoking.loads),
        unevenness=float(cot[asleep].std()),
        times=times,
        cot=cot,
        lights=lights,
    )


def _fullest(night: Run, choices: Choices) -> float:
    """Largest share of the firebox that wood fills from when on hazards count; burning between two times left out."""
    assert night.tending and night.scenario.stoking
    if choices.hazards_from <= choices.first.at:
        return night.tending.fullest
    orders, times = night.tending.plan.orders, night.solution.times
    dry = _dry(night)
    filled = [
        float(dry[max(int(np.searchsorted(times, load.at)) - 1, 0)] + orders.loads.dry[n])
        for n, load in enumerate(night.scenario.stoking.loads)
        if choices.hazards_from <= load.at <= times[-1]
    ]
    return float(orders.filled_by) * max(filled, default=0.0)


def _dry(night: Run) -> Array:
    """Dry wood that lies on the fire at every time told [kg]."""
    slots = night.model.shelter.stove.slots
    states = night.solution.states[:, slots.first_dry : slots.first_dry + slots.dry.size]
    return np.asarray(states.clip(min=0.0).sum(axis=1))


def _log_odds(chance: float) -> float:
    if not 0.0 < chance < 1.0:
        return CERTAIN if chance > 0.5 else -CERTAIN
    return min(max(math.log(chance / (1.0 - chance)), -CERTAIN), CERTAIN)


def _before(at: float, times: Array, lights: Array) -> float:
    """Log-odds just before a load is put on: coals burn away evenly on a logarithm, so straight on from two times."""
    k = max(int(np.searchsorted(times, at - 1.0)) - 1, 1)
    slope = (lights[k] - lights[k - 1]) / (times[k] - times[k - 1])
    return float(np.clip(lights[k] + min(slope, 0.0) * (at - times[k]), -CERTAIN, CERTAIN))


def _cool(night: Run, draft: Draft, choices: Choices) -> float:
    """How long planned wood burned while the gas at the top of the pipe was cool and went up [s]."""
    solution, shelter = night.solution, night.model.shelter
    dry = _dry(night)
    since = draft.puts[0].at if draft.puts else choices.at_bed
    planned = (solution.times >= since) & (solution.times <= choices.rise)
    cool = np.zeros(solution.times.size)
    for k in np.flatnonzero(planned & (dry > WOOD_BURNS)):
        _, fire, _ = observe(solution.times[k], solution.states[k], shelter, solution.rows[k])
        cool[k] = float(fire[1] - ZERO_CELSIUS < COOL_FLUE and fire[3] > 0.0)
    return float(np.trapezoid(cool, solution.times))
