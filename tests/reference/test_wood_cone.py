"""The fire's two humps, its char and its heats against measured runs of 25 mm pine, one face heated.

Such a slab is like a piece of 50 mm heated all round. It burns with a first peak, a plateau (the median between the
peaks) and a second peak as the heat reaches its back. Readings are of a moving mean over 25 s, times over the time to
the laboratory's flame-out. simtent's numbers were read off the eight runs beside the tests, the height of the peaks,
the char and the heats off all 57 of the set: these lines are no predictions, they show how near one shape comes to all.
Laboratories are said to differ by 10 to 30 %.

*What one shape cannot show*: a run's own scatter; that at weak irradiance both peaks stand out more; oak, whose second
peak is the higher one; the glow that holds the release up as the flames die; and a moist first peak, which drying
flattens from 2.0 to 1.5 of the plateau at u .20 (the runs, air-dry, have at least 1.85).
"""

import numpy as np
import pytest

from simtent.assembly.combustion import rest_gone
from simtent.physics.burn import flame_feedback, free_burn_time, rest_rate
from simtent.physics.coals import coal_rate
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat

from .claims import PUBLISHED, at_most, between, case, claims, off, percent
from .cone_fit import SHIPPED, course, peaks
from .one_piece import DRY_HEAT, burn, two_humps
from .sources import MACFP, NIST_BOARDS
from .wood_cone import NOTED, READINGS, cone_run, mean_heats, mean_peaks, peaks_of, plateau

SUBJECT = "Slabs of wood in the cone calorimeter"
EIGHT = tuple(NOTED)
RUNS = {name: cone_run(name) for name in NOTED}
RATIOS = percent(15.0)


@claims(
    "The shipped numbers beside all 57 runs",
    MACFP,
    PUBLISHED,
    allowed=percent(12.0),
    laws=[rest_rate, gas_heat],
    cases=[
        case("first peak over plateau", 2.4, lambda: peaks(SHIPPED).first),
        case("second peak over plateau", 1.6, lambda: peaks(SHIPPED).second),
        case("mass left at flame-out", 0.176, lambda: CHAR_SHARE),
        case("MJ per kg lost in flames", 15.3, lambda: gas_heat(DRY_HEAT, CHAR_SHARE) / 1e6),
        case(
            "MJ per kg of char, a spread",
            None,
            lambda: COAL_HEAT / 1e6,
            allowed=between(28.0, 31.0),
        ),
        case(
            "the char's part of all heat",
            0.295,
            lambda: CHAR_SHARE * COAL_HEAT / DRY_HEAT,
            allowed=off(0.03),
        ),
    ],
)
def test_shipped_beside_all_runs(what):
    return what()


@claims(
    "The shipped numbers beside the mean of the eight runs",
    MACFP,
    PUBLISHED,
    allowed=percent(12.0),
    laws=[rest_rate, gas_heat],
    cases=[
        case("first peak over plateau", mean_peaks(EIGHT).first, lambda: peaks(SHIPPED).first),
        case("second peak over plateau", mean_peaks(EIGHT).second, lambda: peaks(SHIPPED).second),
        case(
            "first peak, share of the mass lost",
            mean_peaks(EIGHT).first_lost,
            lambda: peaks(SHIPPED).first_lost,
            allowed=off(0.02),
        ),
        case(
            "second peak, share of the mass lost",
            mean_peaks(EIGHT).second_lost,
            lambda: peaks(SHIPPED).second_lost,
            allowed=off(0.03),
        ),
        case(
            "second peak, share of the flaming time",
            mean_peaks(EIGHT).second_time,
            lambda: peaks(SHIPPED).second_time,
            allowed=off(0.06),
        ),
        case(
            "mass lost at half of the flaming time (a surface law says .75)",
            float(np.mean([np.interp(0.5 * run.flame_out, run.time, run.lost) for run in RUNS.values()])),
            lambda: float(np.interp(0.5, course(SHIPPED).time, course(SHIPPED).burnt)),
            allowed=off(0.04),
        ),
        case("mass left at flame-out", mean_heats(EIGHT).left, lambda: CHAR_SHARE, allowed=percent(10.0)),
        case(
            "MJ per kg lost in flames",
            mean_heats(EIGHT).gas / 1e6,
            lambda: gas_heat(DRY_HEAT, CHAR_SHARE) / 1e6,
            allowed=percent(6.0),
        ),
        case(
            "MJ per kg of char",
            mean_heats(EIGHT).char / 1e6,
            lambda: COAL_HEAT / 1e6,
            allowed=percent(10.0),
        ),
        case(
            "the char's part of all heat",
            mean_heats(EIGHT).char_part,
            lambda: CHAR_SHARE * COAL_HEAT / DRY_HEAT,
            allowed=off(0.03),
        ),
    ],
)
def test_shipped_beside_the_eight(what):
    return what()


BETWEEN = np.linspace(0.15, 0.90, 16)


def measured_release(lost):
    """Release over its mean at shares of the mass lost, averaged over the eight runs."""
    return np.mean([run.release_at(lost) for run in RUNS.values()], axis=0)


@claims(
    "Release over its mean, by the mass lost, beside the mean of the eight runs: how far off",
    MACFP,
    PUBLISHED,
    allowed=at_most(0.2),
    laws=[rest_rate],
    cases=[
        case("at worst of 16 places, .15 to .90 lost", None, np.max),
        case("on average there", None, np.mean, allowed=at_most(0.08)),
    ],
)
def test_shape_between(of):
    ours = np.array([two_humps(float(place)) for place in BETWEEN])
    return float(of(np.abs(ours - measured_release(BETWEEN))))


GLOW = "in the runs the char already glows under the heater, here it burns as slowly as in a bed"


@claims(
    "Release over its mean as the flames die, beside the mean of the eight runs",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate, coal_rate],
    cases=[
        case("95 % lost, gas alone", float(measured_release([0.95])[0]), 0.95, False, missed=GLOW),
        case("95 % lost, gas and coals", float(measured_release([0.95])[0]), 0.95, True),
        case("98 % lost, gas and coals", float(measured_release([0.98])[0]), 0.98, True, missed=GLOW),
    ],
)
def test_glow_near_the_end(lost, coals):
    if not coals:
        return two_humps(lost)
    found = burn(0.05, 0.0)
    flames = found.time <= found.until(0.01)
    average = np.trapezoid(found.release[flames], found.time[flames]) / found.until(0.01)
    return float(np.interp(found.until(1.0 - lost), found.time, found.release)) / average


LEVELS = ("25-30", "45-50", "60-75")
BY_IRRADIANCE = {
    "first": (147 / 51, 179 / 78, 243 / 98),
    "second": (96 / 51, 116 / 78, 133 / 98),
    "second_time": (1490 / 2045, 1098 / 1443, 945 / 1183),
}
ONE_SHAPE = {
    ("first", "25-30"): "17 % below: one shape for every irradiance",
    ("second", "25-30"): "16 % below: one shape for every irradiance",
    ("second", "60-75"): "16 % above: one shape for every irradiance",
}


@claims(
    "The shipped numbers beside all 57 runs, by irradiance",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate],
    cases=[
        case(f"{level} kW/m2: {READINGS[what]}", value, what, missed=ONE_SHAPE.get((what, level)))
        for what, values in BY_IRRADIANCE.items()
        for level, value in zip(LEVELS, values, strict=True)
    ],
)
def test_by_irradiance(what):
    return getattr(peaks(SHIPPED), what)


@claims(
    "The shipped numbers beside each of the eight runs",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_rate],
    cases=[
        case(
            f"eight runs: {READINGS[what]}",
            [getattr(peaks_of(run), what) for run in RUNS.values()],
            what,
            missed=f"runs scatter from {low} to {high}, one shape stands for all",
        )
        for what, low, high in (
            ("first", "1.85", "2.61"),
            ("second", "1.16", "1.75"),
            ("second_time", ".56", ".79"),
        )
    ],
)
def test_run_by_run(what):
    return [getattr(peaks(SHIPPED), what)] * len(RUNS)


@claims(
    "The shipped numbers beside other boards at 35 kW/m2, peaks over the trough between them",
    NIST_BOARDS,
    PUBLISHED,
    allowed=percent(30.0),  # laboratories differ by 10 to 30 %
    laws=[rest_rate],
    cases=[
        case("pine, 158 over 65 kW/m2", 158 / 65, "first"),
        case("pine, 114 over 65 kW/m2", 114 / 65, "second"),
        case("oak, 146 over 74 kW/m2", 146 / 74, "first"),
        case(
            "oak, 188 over 74 kW/m2",
            188 / 74,
            "second",
            missed="37 % below: its second peak is the higher one, ours is that of pine",
        ),
    ],
)
def test_other_boards(what):
    ours, found = peaks(SHIPPED), course(SHIPPED)
    inside = (found.burnt > ours.first_lost) & (found.burnt < ours.second_lost)
    rate = float(np.interp(getattr(ours, f"{what}_lost"), found.burnt, found.rate))
    return rate / float(found.rate[inside].min())


def strength(low, high):
    """Mean irradiance of some runs, and their mean release while they flamed."""
    chosen = [run for run in RUNS.values() if low <= run.irradiance <= high]
    return np.mean([(run.irradiance, run.mean_release) for run in chosen], axis=0)


(WEAK, SLOW), (STRONG, FAST) = strength(20e3, 35e3), strength(55e3, 80e3)


@claims(
    "Mean release at 60 and 75 kW/m2 over that at 25 and 30; ours between black boxes of the same irradiance, floor .6",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[flame_feedback],
    cases=[case("2.45 times the irradiance", FAST / SLOW)],
)
def test_feedback_of_a_hotter_firebox():
    cold, hot = ((flux / STEFAN_BOLTZMANN) ** 0.25 for flux in (WEAK, STRONG))
    return flame_feedback(hot, 0.6) / flame_feedback(cold, 0.6)


def piece(moisture):
    """A piece of 50 mm in a firebox held at 600 degC, gas and coals: peaks over the plateau, and other readings."""
    found = burn(0.05, moisture)
    half = int(np.searchsorted(found.time, 0.4 * free_burn_time(0.05)))
    first = int(np.argmax(found.release[:half]))
    second = half + int(np.argmax(found.release[half:]))
    level = plateau(found.release, first, second)
    return {
        "first": found.release[first] / level,
        "second": found.release[second] / level,
        "trough": found.release[first:second].min() / found.release[second],
        "first minutes": found.time[first] / 60.0,
        "second time": found.time[second] / found.until(0.02),
    }


WHOLE = {
    "first": ("first peak over plateau", between(1.7, 2.7)),
    "second": ("second peak over plateau", between(1.1, 1.8)),
    "trough": ("trough over second peak", at_most(0.8)),
    "first minutes": ("minutes to the first peak", at_most(5.0)),
    "second time": ("time of the second peak over flaming time", between(0.6, 0.9)),
}


@claims(
    "A whole piece of 50 mm, gas and coals, in a firebox held at 600 degC: within the runs' own spread",
    MACFP,
    PUBLISHED,
    allowed=RATIOS,
    laws=[rest_gone, rest_rate, coal_rate],
    cases=[
        case(
            f"u {moisture:.2f}: {told}",
            None,
            moisture,
            what,
            allowed=allowed,
            missed="drying flattens the first peak; least of the runs, air-dry: 1.85"
            if (moisture, what) == (0.2, "first")
            else None,
        )
        for moisture in (0.0, 0.1, 0.2)
        for what, (told, allowed) in WHOLE.items()
    ],
)
def test_whole_piece(moisture, what):
    return float(piece(moisture)[what])


def test_readings_of_the_runs():
    # Published notes of the data set, one run: first mass [g], both peaks [kW/m2], heat and mass up to flame-out.
    run, (_, area, _) = RUNS["fpl_50kw_run1"], NOTED["fpl_50kw_run1"]
    first, second = run.peaks()
    assert run.mass[0] == pytest.approx(0.0990, rel=0.01)
    assert run.release[first] / area == pytest.approx(158e3, rel=0.02)
    assert run.release[second] / area == pytest.approx(111e3, rel=0.02)
    lost = run.mass[0] - run.at_flame_out(run.mass)
    assert run.heat(0.0, run.flame_out) / lost == pytest.approx(14.0e6, rel=0.1)
    assert 0.15 < run.at_flame_out(run.mass) / run.mass[0] < 0.20


@pytest.mark.parametrize("name", NOTED)
def test_every_run_has_two_peaks(name):
    found = peaks_of(RUNS[name])
    assert found.first > 1.7
    assert found.second > 1.1


def test_coals_hold_their_part_as_the_flames_go_out():
    found = burn(0.05, 0.1)
    end = int(np.searchsorted(found.time, found.until(0.02)))
    assert 0.10 < found.coals[end] * COAL_HEAT / DRY_HEAT < 0.295
