"""A night as the trade tells it (all facts: common practice, no source), with the margins stated here.

No law was tuned to this night, nor its openings: the one parameter of the fire off its default, the rate at which coals
burn, stays inside its usual range. A fact met is plausible, not validated; one missed is a strict xfail whose reason
carries the size of the miss.
"""

from collections.abc import Sequence

import numpy as np
import pytest
from scipy.signal import find_peaks

from simtent.readings import level_temperatures, readings
from simtent.run import Run, run
from tests.fire.burns import bedtime, story

pytestmark = pytest.mark.compiled

LIT, BED, SECOND, DAWN = 0.0, 2.0, 5.0, 8.0  # h, the loads
PROMINENT = 0.7  # K
BURNS = 1000.0  # W, from which a fire is said to burn


def fahrenheit(celsius: float) -> float:
    return 1.8 * celsius + 32.0


class Told:
    """A night read at any hour."""

    def __init__(self, night: Run) -> None:
        self.hours = night.solution.times / 3600.0
        self._levels = dict(zip(night.scenario.levels, level_temperatures(night).T, strict=True))
        values, _ = readings(night)
        self.chance = np.asarray(values["relight_chance"])
        self.heat = np.asarray(values["heat_release"])

    def at(self, level: str, hour: float) -> float:
        """Air at a level [degF], just before what is done at that hour."""
        return fahrenheit(float(np.interp(hour - 0.01, self.hours, self._levels[level])))

    def between(self, level: str, begin: float, end: float) -> np.ndarray:
        """Air at a level [degC] in a span of hours."""
        return self._levels[level][(self.hours >= begin) & (self.hours < end)]

    def first(self, what: np.ndarray, after: float) -> float:
        """Hour at which something first holds after another hour."""
        return float(self.hours[np.flatnonzero(what & (self.hours > after))[0]])

    def level(self, name: str) -> np.ndarray:
        """Air at a level [degF]."""
        return fahrenheit(self._levels[name])


@pytest.fixture(scope="module")
def told() -> Told:
    return Told(run(story(), step=60.0))


@pytest.fixture(scope="module")
def left_alone() -> Told:
    """The same night, nobody getting up after the load at bedtime."""
    return Told(run(bedtime("half"), step=60.0))


def peaks(head: Sequence[float]) -> list[float]:
    """Heights of the local maxima of prominence 0.7 K or more [degC]."""
    padded = np.concatenate(([head[0]], head, [head[-1]]))
    found, _ = find_peaks(padded, prominence=PROMINENT)
    return [float(padded[k]) for k in found]


def test_wide_open_the_head_reaches_120_degf_in_the_first_hour_or_so(told: Told) -> None:
    """Within 15 degF, within an hour and a half."""
    assert fahrenheit(told.between("head", LIT, 1.5).max()) == pytest.approx(120.0, abs=15.0)


def test_while_the_fire_burns_it_is_warmer_higher_up(told: Told) -> None:
    """Head above waist above six inches from the floor, by 2 degF or more: common practice, no source."""
    burning = (told.heat > BURNS) & (told.hours > LIT + 0.25)
    assert burning.mean() > 0.5
    head, waist, floor = (told.level(name)[burning] for name in ("head", "waist", "floor"))
    assert (head > waist + 2.0).all()
    assert (waist > floor + 2.0).all()


def test_a_damped_load_keeps_the_sleeper_about_three_hours(left_alone: Told) -> None:
    """Until the cot falls to 40 degF: two and a half to three and a half hours."""
    kept = left_alone.first(left_alone.level("cot") < 40.0, after=BED + 1.0) - BED
    assert 2.5 <= kept <= 3.5


def test_its_coals_light_new_wood_at_the_end(told: Told, left_alone: Told) -> None:
    """More likely than not, three hours on and when the cot is at 40 degF; an hour later no more."""
    assert np.interp(SECOND - 0.01, told.hours, told.chance) > 0.5
    assert np.interp(DAWN - 0.01, told.hours, told.chance) > 0.5
    cold = left_alone.first(left_alone.level("cot") < 40.0, after=BED + 1.0)
    assert np.interp(cold, left_alone.hours, left_alone.chance) > 0.5
    assert np.interp(cold + 1.0, left_alone.hours, left_alone.chance) < 0.5


def test_a_dawn_load_leaves_about_35_degf_at_the_waist_on_rising(told: Told) -> None:
    """A third of a load an hour and three quarters before: within 5 degF."""
    assert fahrenheit(told.between("waist", DAWN, 24.0)[-1]) == pytest.approx(35.0, abs=5.0)


@pytest.mark.parametrize(("begin", "end"), [(BED, SECOND), (SECOND, DAWN)])
def test_a_load_peaks_soon_then_once_or_twice_more(told: Told, begin: float, end: float) -> None:
    """The first peak within an hour and a quarter; later ones at most 2 K above it."""
    head = told.between("head", begin, end)
    first, *later = peaks(head)
    assert 1 <= len(later) <= 2
    assert int(np.argmax(head)) * 60.0 < 75 * 60.0
    assert max(later) <= first + 2.0


@pytest.mark.xfail(
    strict=True, reason="The first load, wide open, and the dawn load of 1.1 kg peak once: later humps 0 K"
)
@pytest.mark.parametrize(("begin", "end"), [(LIT, BED), (DAWN, 24.0)])
def test_every_load_peaks_more_than_once(told: Told, begin: float, end: float) -> None:
    assert len(peaks(told.between("head", begin, end))) >= 2
