"""When carbon monoxide alarms must sound and when they may, by two published patterns: an interval, never a point.

The patterns name times for a few constant concentrations; what lies between is simtent's reading of them: an alarm
sounds no later than at the lower one named, and no sooner than at the higher. No latest time means that it may stay
silent. For a concentration that varies the documents say nothing: the rule is simtent's own, told in
`simtent/assess/alarms.py` and held to a simulation of it by small steps.
"""

import math
from functools import partial
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assess.alarms import EN_50291 as EN
from simtent.assess.alarms import PATTERNS, earliest_minutes, latest_minutes, sounding
from simtent.assess.alarms import UL_2034 as UL
from simtent.assess.curves import Curve

from .claims import EXACTLY, SECOND_HAND, case, claims
from .sources import EN_50291, UL_2034

SUBJECT = "Alarms for carbon monoxide"
NIGHT = 12.0 * 3600.0
NEVER = math.inf

interval = partial(
    claims,
    provenance=SECOND_HAND,
    unit="min",
    allowed=EXACTLY,
    laws=[earliest_minutes, latest_minutes, sounding],
)


def minutes(seconds):
    return NEVER if seconds is None else seconds / 60.0


def told(pattern, ppm):
    """Earliest and latest minute by the pattern; the same by a curve that stands still all night."""
    kept = [
        NEVER if it is None else it for it in (earliest_minutes(pattern, ppm), latest_minutes(pattern, ppm))
    ]
    found = sounding(pattern, Curve(np.array([0.0, 3600.0, NIGHT]), np.full(3, float(ppm))))
    assert [minutes(found.earliest), minutes(found.latest)] == pytest.approx(kept)
    return kept


@interval(
    "Earliest and latest minute at a constant concentration",
    UL_2034,
    cases=[
        case("70 ppm", (60.0, 240.0), 70),
        case("150 ppm", (10.0, 50.0), 150),
        case("400 ppm", (4.0, 15.0), 400),
    ],
)
def test_american_pattern(ppm):
    return told(UL, ppm)


@interval(
    "Earliest and latest minute at a constant concentration",
    EN_50291,
    cases=[
        case("50 ppm", (60.0, 90.0), 50),
        case("100 ppm", (10.0, 40.0), 100),
        case("300 ppm", (0.0, 3.0), 300),
    ],
)
def test_european_pattern(ppm):
    return told(EN, ppm)


@claims(
    "Whether it may stay silent all night, and whether it must (1 for yes)",
    UL_2034,
    SECOND_HAND,
    allowed=EXACTLY,
    laws=[earliest_minutes, latest_minutes],
    cases=[
        case("30 ppm, must stay silent", (1.0, 1.0), 30),
        case("31 ppm", (1.0, 0.0), 31),
        case("69 ppm", (1.0, 0.0), 69),
        case("70 ppm", (0.0, 0.0), 70),
    ],
)
def test_what_may_stay_silent(ppm):
    earliest, latest = told(UL, ppm)
    return float(latest == NEVER), float(earliest == NEVER)


@claims(
    "Earliest minute at 30 ppm, for which no latest is named",
    EN_50291,
    SECOND_HAND,
    unit="min",
    allowed=EXACTLY,
    laws=[earliest_minutes, latest_minutes],
    cases=[case("30 ppm", 120.0, 30)],
)
def test_lowest_point(ppm):
    earliest, latest = told(EN, ppm)
    assert latest == NEVER
    return earliest


@pytest.mark.parametrize(
    ("pattern", "ppm", "earliest", "latest"),
    [
        (UL, 0.0, NEVER, NEVER),
        (UL, 29.0, NEVER, NEVER),
        (UL, 30.001, 60.0, NEVER),
        (UL, 100.0, 10.0, 240.0),
        (UL, 149.9, 10.0, 240.0),
        (UL, 200.0, 4.0, 50.0),
        (UL, 400.001, 0.0, 15.0),
        (UL, 5000.0, 0.0, 15.0),
        (EN, 0.0, NEVER, NEVER),
        (EN, 10.0, 120.0, NEVER),
        (EN, 40.0, 60.0, NEVER),
        (EN, 49.999, 60.0, NEVER),
        (EN, 70.0, 10.0, 90.0),
        (EN, 150.0, 0.0, 40.0),
        (EN, 299.0, 0.0, 40.0),
        (EN, 5000.0, 0.0, 3.0),
    ],
)
def test_between_the_points_named(pattern, ppm, earliest, latest):
    assert told(pattern, ppm) == [earliest, latest]


@given(st.sampled_from(PATTERNS), st.floats(0.0, 1000.0), st.floats(0.0, 1000.0))
def test_more_is_never_later(pattern, one, other):
    less, more = (told(pattern, it) for it in sorted((one, other)))
    assert more[0] <= less[0] and more[1] <= less[1] and more[0] <= more[1]


STEP = 20.0  # s, of the simulation


def first(moments, which):
    """The first of the moments at which something holds; infinite if none."""
    return float(moments[np.argmax(which)]) if which.any() else NEVER


def by_small_steps(pattern, concentration, slack):
    """Earliest and latest moment [s] by the rule as it is told, moment by moment; `slack` [s] shortens every wait."""
    knots = concentration.seconds
    moments = np.union1d(np.arange(0.0, knots[-1], STEP), knots)
    ppm = np.array([concentration.at(moment) for moment in moments])
    latest = NEVER
    for point in pattern.points:
        if point.latest is None:
            continue
        begun = None
        for moment, value in zip(moments, ppm, strict=True):
            begun = None if value < point.ppm else moment if begun is None else begun
            if begun is not None and moment - begun >= 60.0 * point.latest - slack:
                latest = min(latest, moment)
                break
    begin = first(moments, ppm > pattern.silent)
    waits = [
        NEVER if (it := earliest_minutes(pattern, top)) is None else it for top in np.maximum.accumulate(ppm)
    ]
    earliest = first(moments, moments - begin >= 60.0 * np.array(waits) - slack)
    return earliest, latest


NAMED = (0.0, 30.0, 50.0, 70.0, 100.0, 150.0, 300.0, 400.0)
HEIGHTS = st.one_of(st.sampled_from(NAMED), st.floats(0.0, 600.0), st.floats(20.0, 110.0))


@st.composite
def varying(draw):
    """Concentrations that rise, fall and stand still, straight between moments some minutes apart."""
    spans = draw(st.lists(st.integers(1, 150), min_size=1, max_size=10))
    values = draw(st.lists(HEIGHTS, min_size=len(spans) + 1, max_size=len(spans) + 1))
    if draw(st.booleans()):  # level stretches, at which the points named are met exactly
        values[1:] = [before if k % 2 else after for k, (before, after) in enumerate(pairwise(values))]
    return Curve(60.0 * np.cumsum([0.0, *spans]), np.array(values))


@given(st.sampled_from(PATTERNS), varying())
def test_varying_concentration_beside_a_simulation_of_the_rule(pattern, concentration):
    found = sounding(pattern, concentration)
    sooner, later = (by_small_steps(pattern, concentration, slack) for slack in (2.0 * STEP, 0.0))
    for moment, low, high in zip((found.earliest, found.latest), sooner, later, strict=True):
        exact = NEVER if moment is None else moment
        assert low - STEP <= exact <= high or low == exact == high


@given(st.sampled_from(PATTERNS), varying())
def test_what_must_sound_may_have(pattern, concentration):
    found = sounding(pattern, concentration)
    assert minutes(found.earliest) <= minutes(found.latest)


@given(st.sampled_from(PATTERNS), varying(), st.floats(1.0, 10.0))
def test_more_of_a_varying_concentration_is_never_later(pattern, concentration, factor):
    less = sounding(pattern, concentration)
    more = sounding(pattern, Curve(concentration.seconds, factor * concentration.values))
    assert minutes(more.earliest) <= minutes(less.earliest) + 1e-6
    assert minutes(more.latest) <= minutes(less.latest) + 1e-6


def test_the_highest_met_is_what_was_met_not_what_lies_between():
    """30 ppm, nothing, then 100 ppm by 1740 s: 30 ppm are passed at 648 s, 70 ppm at 1272 s, after the 10 min."""
    curve = Curve(np.array([0.0, 120.0, 180.0, 1740.0]), np.array([0.0, 30.0, 0.0, 100.0]))
    assert sounding(UL, curve).earliest == pytest.approx(1272.0)


def test_a_minute_below_begins_anew():
    """69 ppm for a minute after 3.9 h of 70 ppm: the latest time counts from there; a highest met stays met."""
    moments = 60.0 * np.array([0.0, 234.0, 234.5, 235.0, 500.0])
    broken = Curve(moments, np.array([70.0, 70.0, 69.0, 70.0, 70.0]))
    found = sounding(UL, broken)
    assert found.earliest == pytest.approx(3600.0)
    assert found.latest == pytest.approx(60.0 * (235.0 + 240.0), abs=1.0)
    high = Curve(60.0 * np.array([0.0, 1.0, 2.0, 300.0]), np.array([0.0, 500.0, 0.0, 0.0]))
    assert minutes(sounding(UL, high).earliest) == pytest.approx(0.8, abs=0.01)  # 400 ppm are passed
    assert sounding(UL, high).latest is None
