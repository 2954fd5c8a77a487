"""The outdoor air down to which a stove holds the wish, and the constant heat that it is worth there."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from simtent.sizing.hold import Held, held
from simtent.sizing.judged import Built, Judged
from simtent.sizing.scene import side_by_side

NEAR = 0.3  # K between a first guess and the design night's air, from which on that guess is simulated too
LEAST, MOST = 0.3, 1.5  # K at the cot per K outdoors, between which two nights are taken to lie on a line


@dataclass(frozen=True)
class Likened:
    """A stove at an interval as a constant heat.

    power    what the shelter needs at `air` [W]; where `air` is None, what keeps the design night's cot as warm
    air      coldest outdoor air at which the stove holds the wish in the design night's wind [K]; None where it is
             colder inside than that at any air that was looked at
    beyond   whether it holds at the coldest air that was looked at, so that `air` is only a bound
    """

    judged: Judged
    power: float
    air: float | None
    beyond: bool


@dataclass(frozen=True)
class Curve:
    """What the heater showed in the design night's wind.

    airs, needs    outdoor air [K], rising, and the heat that holds the wish there [W]; inf where none does
    powers, cots   heats [W], rising, and the temperature at the cot that each makes in the design night [K]
    """

    airs: Sequence[float]
    needs: Sequence[float]
    powers: Sequence[float]
    cots: Sequence[float]

    def power(self, cot: float) -> float:
        """The heat that makes the cot so warm in the design night [W]; straight lines between what was looked at."""
        return float(np.interp(cot, np.maximum.accumulate(self.cots), self.powers))

    def need(self, air: float) -> float:
        """The heat that holds the wish [W]."""
        finite = np.isfinite(self.needs)
        return float(np.interp(air, np.asarray(self.airs)[finite], np.asarray(self.needs)[finite]))

    def air(self, power: float) -> float | None:
        """The coldest air at which a heat holds the wish [K]; None where it does so at none."""
        finite = np.isfinite(self.needs)
        rising = np.asarray(self.needs)[finite][::-1]
        if not finite.any() or power < rising[0]:
            return None
        return float(np.interp(power, rising, np.asarray(self.airs)[finite][::-1]))


def likened(
    built: Sequence[Built], judged: Sequence[Judged], curve: Curve, wish: float
) -> tuple[list[Likened], int]:
    """Every stove as a constant heat, and how many nights that took.

    A first guess takes the stove for the heat that keeps the design night's cot as warm as its coldest moment. Colder
    air draws harder and burns more, so the night is simulated once more at that air, and a line laid through both.
    """
    guesses = [(it, curve.air(curve.power(it.best.coldest))) for it in judged]
    again = [
        (it, air)
        for it, air in guesses
        if air is not None and it.best.lights and abs(air - it.best.air) > NEAR
    ]

    def one(which: tuple[Judged, float]) -> Held:
        it, air = which
        given = next(one.given for one in built if one.size is it.size)
        return held(given, it.size, it.best.mark, it.every, air, it.best.wind)

    nights = {id(it): night for (it, _), night in zip(again, side_by_side(one, again), strict=True)}
    return [_one(it, air, nights.get(id(it)), curve, wish) for it, air in guesses], 2 * len(again)


def _one(judged: Judged, guess: float | None, again: Held | None, curve: Curve, wish: float) -> Likened:
    if guess is None and judged.word == "holds":
        guess = judged.best.air
    if guess is None:
        return Likened(judged, curve.power(judged.best.coldest), None, False)
    air = min(max(_through(judged.best, again, wish, guess), curve.airs[0]), curve.airs[-1])
    return Likened(judged, curve.need(air), air, air <= curve.airs[0])


def _through(first: Held, again: Held | None, wish: float, guess: float) -> float:
    """Where the line through two nights meets the wish [K]; the guess where they are no line, as when coals die."""
    if again is None or not again.lights:
        return guess
    slope = (again.coldest - first.coldest) / (again.air - first.air)
    return again.air + (wish - again.coldest) / slope if LEAST <= slope <= MOST else guess
