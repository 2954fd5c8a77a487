"""A night in which the fire goes out: the last load, how cold it gets, and a fire lit again before rising."""

from dataclasses import dataclass

import numpy as np

from simtent.driver import drive
from simtent.planning.choices import CATCHING, Choices
from simtent.planning.draft import Draft, Put, put_row, replacements
from simtent.planning.limits import Limits
from simtent.planning.measure import Measured, measured
from simtent.planning.nights import Nights
from simtent.scenario.clock import clock_text
from simtent.scenario.scenario import Scenario

EARLIEST = 7200.0  # s before rise from which a relight is tried


@dataclass(frozen=True)
class Relight:
    """The night without wake-ups; times in seconds from the begin, temperatures in degC.

    draft            the evening's loads and the last load
    lit_at           when the fire is lit again by hand, as the first load of the evening was
    then             the load that follows it
    minutes          from the match until the cot is as warm as wished; None where it is not by rise
    lowest, lowest_at  coldest at the cot before the relight, and when
    at_rise          the cot at rise
    """

    draft: Draft
    lit_at: float
    then: Put
    minutes: float | None
    lowest: float
    lowest_at: float
    at_rise: float
    wanted: float


def relight(nights: Nights, draft: Draft, limits: Limits) -> Relight:
    """The night of a draft without wake-ups, with a fire lit again so early that the cot is warm enough at rise.

    Begins two hours before rise; what it takes from there sets the time, on the grid.
    """
    choices = nights.choices
    wanted = limits.cot if limits.rise is None else max(limits.rise, limits.cot)
    earliest = choices.rise - EARLIEST
    then = Put(0.0, choices.loads[(len(choices.loads) - 1) // 2], choices.wide)
    night = _lit(nights, draft, earliest, then)
    minutes = _warm_after(night, earliest, wanted, choices)
    lit_at = earliest
    if minutes is not None:
        lit_at = choices.rise - np.ceil(60.0 * minutes / choices.grid) * choices.grid
        night = _lit(nights, draft, lit_at, then)
        minutes = _warm_after(night, lit_at, wanted, choices)
    before = (night.times >= choices.bed) & (night.times <= lit_at)
    k = int(np.argmin(np.where(before, night.cot, np.inf)))
    return Relight(
        draft,
        float(lit_at),
        Put(float(lit_at) + CATCHING, then.pieces, then.levers),
        minutes,
        float(night.cot[k]),
        float(night.times[k]),
        night.cot_at_rise,
        wanted,
    )


def _lit(nights: Nights, draft: Draft, at: float, then: Put) -> Measured:
    scenario, choices = nights.scenario, nights.choices
    changes = replacements(draft, scenario, choices)
    early = len(draft.puts) + 1
    rows = changes["stoking.load"]
    again = {**rows[0], "at": _clock(scenario, at), "lit": True}
    more = put_row(Put(at + CATCHING, then.pieces, then.levers), scenario, choices)
    changes["stoking.load"] = [*rows[:early], again, more, *rows[early:]]
    return measured(drive(scenario.replace(changes), accuracy=nights.accuracy), draft, choices)


def _warm_after(night: Measured, since: float, wanted: float, choices: Choices) -> float | None:
    """Minutes from a moment until the cot is warm and stays so until rise; None where it is not."""
    after = (night.times >= since) & (night.times <= choices.rise)
    cold = np.flatnonzero(after & (night.cot < wanted))
    if cold.size == 0:
        return 0.0
    last = int(cold[-1]) + 1
    if last >= night.times.size or night.times[last] > choices.rise:
        return None
    return float(night.times[last] - since) / 60.0


def _clock(scenario: Scenario, seconds: float) -> str:
    return clock_text(scenario.night.span.clock_at(seconds).time())
