"""The fire's shape calibrated on half of the measured runs and checked on the other half.

Eight runs of four laboratories (25 mm pine in the cone calorimeter, `tests/data/wood_cone`), in order of irradiance (25
30 45 50 50 50 60 75 kW/m2, those alike by name): every other one makes a half, a rule set down before anything was
fitted. The law's own function is fitted to each run of one half: six numbers; the seventh, how the rate dies away at
the end, stays, since the glow of the char hides it. The mean of those numbers then tells the peaks of the other half,
and the other way round. Char and heats are simply the mean that one half measured.

Single runs scatter about their mean by 12, 15 and 11 % (standard deviation) in first peak, second peak and its time, by
17 % in the mass left, 8 and 12 % in the heats and 18 % in the char's part: so a mean of four is asked for within 15 %,
whatever is compared. The first peak comes at 2 to 5 % of the flaming time and is asked for within 2 % of that.

Two things a sceptic must know. How release and mass are weighed in the fit was settled with both halves in sight: with
release alone, the second table, second peak and its time are missed by up to 23 %; all runs of a half fitted at once,
instead of one by one, round the first peak by up to 20 %. And a fit to the whole curve rounds that peak by 8 % even so:
there one half's own mean reading is nearer to the other (2 %) than the law fitted to it; for second peak and its time
the two are alike. simtent's own numbers were read off these eight runs, the height of the peaks off all 57 of the set:
beside either half they are no prediction.
"""

from functools import lru_cache

import numpy as np
import pytest

from simtent.physics import burn as constants
from simtent.physics.burn import rest_rate
from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat

from .claims import PUBLISHED, Margin, case, claims, off, percent
from .cone_fit import HALVES, SHIPPED, Shape, calibrated, course, peaks, spread
from .one_piece import DRY_HEAT, two_humps
from .sources import MACFP
from .wood_cone import NOTED, READINGS, Peaks, cone_run, mean_heats, mean_peaks, peaks_of

SUBJECT = "The fire's shape calibrated on half of the runs"
EIGHT = tuple(NOTED)
RATIOS = percent(15.0)
EARLY = off(0.02)
HALF_NAMES = ("25 45 50 60 kW/m2", "30 50 50 75 kW/m2")


def margin(what):
    """How near a reading of four runs has to come."""
    return EARLY if what == "first_time" else RATIOS


@lru_cache
def measured(half):
    """Every reading of a half of the runs."""
    mean, heats = mean_peaks(HALVES[half]), mean_heats(HALVES[half])
    readings = {what: getattr(mean, what) for what in READINGS}
    readings |= {"left": heats.left, "gas": heats.gas / 1e6, "char": heats.char / 1e6}
    return readings | {"char_part": heats.char_part}


def beside_a_half(half, missed=None):
    """Cases of every reading of a half of the runs."""
    names = READINGS | {
        "left": "mass left at flame-out over that at the start",
        "gas": "MJ per kg lost in flames",
        "char": "MJ per kg lost by the char after them",
        "char_part": "the char's part of all heat",
    }
    return [
        case(
            f"{HALF_NAMES[half]}: {told}",
            lambda what=what: measured(half)[what],
            half,
            what,
            allowed=margin(what),
            missed=(missed or {}).get(what),
        )
        for what, told in names.items()
    ]


@claims(
    "Calibrated on the other four runs, by release and mass",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate],
    cases=[*beside_a_half(0), *beside_a_half(1)],
)
def test_calibrated_on_the_other_half(half, what):
    found = calibrated(HALVES[1 - half])
    if what in READINGS:
        return getattr(peaks(found.shape), what)
    others = {"left": found.heats.left, "gas": found.heats.gas / 1e6, "char": found.heats.char / 1e6}
    return (others | {"char_part": found.char_part})[what]


SCATTER = "so much four runs differ from four others, fitted without the scale"


@claims(
    "Calibrated on the other four runs, by release alone",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate],
    cases=[
        case(
            f"{HALF_NAMES[half]}: {READINGS[what]}",
            lambda half=half, what=what: measured(half)[what],
            half,
            what,
            missed=SCATTER if half == 0 and what != "first" else None,
        )
        for half in (0, 1)
        for what in ("first", "second", "second_time")
    ],
)
def test_calibrated_by_release_alone(half, what):
    return getattr(peaks(calibrated(HALVES[1 - half], 0.0).shape), what)


FLATTER = "18 % above: these four have a second peak of 1.33, all 57 runs one of 1.6"


@claims(
    "The shipped numbers beside four runs, dry wood of 18.5 MJ/kg",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate, gas_heat],
    cases=[*beside_a_half(0, {"second": FLATTER}), *beside_a_half(1)],
)
def test_shipped_beside_each_half(half, what):
    if what in READINGS:
        return getattr(peaks(SHIPPED), what)
    gas = gas_heat(DRY_HEAT, CHAR_SHARE) / 1e6
    others = {"left": CHAR_SHARE, "gas": gas, "char": COAL_HEAT / 1e6}
    return (others | {"char_part": CHAR_SHARE * COAL_HEAT / DRY_HEAT})[what]


NUMBERS = {
    "FIRST_AT": "first hump, burnt share at its top",
    "FIRST_WIDTH": "first hump, width",
    "FIRST_HEIGHT": "first hump, height",
    "SECOND_AT": "second hump, burnt share at its top",
    "SECOND_WIDTH": "second hump, width",
    "SECOND_HEIGHT": "second hump, height",
}


@claims(
    "The shipped numbers beside the mean of those fitted to each of eight runs; allowed is their standard deviation",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate],
    digits=2,
    cases=[
        case(
            NUMBERS[name],
            lambda name=name: getattr(calibrated(EIGHT).shape, name),
            name,
            allowed=lambda name=name: Margin(off=getattr(spread(EIGHT), name)),
            missed="1.06 standard deviations: a fit to the whole curve rounds the sharp first peak"
            if name == "FIRST_HEIGHT"
            else None,
        )
        for name in Shape._fields
    ],
)
def test_shipped_beside_the_fits(name):
    return getattr(constants, name)


def test_runs_scatter_by_what_the_page_says():
    single = np.array([peaks_of(run) for run in map(cone_run, EIGHT)])
    scatter = Peaks(*single.std(axis=0, ddof=1))
    assert scatter.first / mean_peaks(EIGHT).first == pytest.approx(0.12, abs=0.005)
    assert scatter.second / mean_peaks(EIGHT).second == pytest.approx(0.15, abs=0.005)
    assert scatter.second_time == pytest.approx(0.08, abs=0.005)
    assert scatter.first_time == pytest.approx(0.013, abs=0.002)


def test_the_fit_runs_the_package_s_own_law():
    # With the shipped numbers it is the law itself; with others it is not.
    ours = course(SHIPPED)
    for place in range(0, ours.burnt.size, 100):
        assert ours.rate[place] == pytest.approx(two_humps(float(ours.burnt[place])), rel=1e-5)
    assert abs(course(SHIPPED._replace(SECOND_HEIGHT=0.3)).rate - ours.rate).max() > 0.1
