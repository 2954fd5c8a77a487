"""A thick piece with two peaks, char and gas: our laws against measured runs in a cone calorimeter.

Published: MaCFP wood calibration set, 25 mm pine, one face heated, about a 50 mm piece heated on both. Eight of its 57
usable runs are beside the tests. Laboratories differ by 10 to 30 %; margins are for the mean of the eight.
"""

import numpy as np
import pytest

from simtent.physics.burn import flame_feedback, free_burn_time
from simtent.physics.constants import STEFAN_BOLTZMANN
from simtent.physics.wood import CHAR_SHARE, COAL_HEAT, gas_heat

from .one_piece import DRY_HEAT, burn, two_humps
from .wood_cone import NOTED, cone_run

RUNS = {name: cone_run(name) for name in NOTED}
SHARES = np.linspace(0.0, 1.0, 1001)


def mean(values):
    return float(np.mean(list(values)))


def by_time(count=20001):
    """Rate of the law over its mean, on even steps of its own time, up to 0.99 burnt."""
    shares = np.linspace(0.0, 0.99, count)
    rate = np.array([two_humps(float(share)) for share in shares])
    time = np.concatenate([[0.0], np.cumsum(np.diff(shares) * 0.5 * (1.0 / rate[1:] + 1.0 / rate[:-1]))])
    even = np.linspace(0.0, time[-1], 2001)
    return even, np.interp(even, time, rate), np.interp(even, time, shares)


def ratios(release, first, second):
    """Both peaks over the plateau: the median in time between them."""
    plateau = float(np.median(release[first:second]))
    return release[first] / plateau, release[second] / plateau


def law_peaks():
    """First and second peak over the plateau, and where they lie: burnt shares, and time of the second."""
    time, rate, share = by_time()
    first = int(np.argmax(np.where(share < 0.3, rate, 0.0)))
    second = int(np.argmax(np.where(share > 0.5, rate, 0.0)))
    return *ratios(rate, first, second), share[first], share[second], time[second]


def run_peaks(run):
    first, second = run.peaks()
    return (
        *ratios(run.release, first, second),
        run.lost[first],
        run.lost[second],
        run.time[second] / run.flame_out,
    )


def test_readings_of_the_runs():
    # Published notes of the data set, 25 s moving mean: first mass [g], first peak and second [kW/m2], of one run each.
    run, (_, area, _) = RUNS["fpl_50kw_run1"], NOTED["fpl_50kw_run1"]
    first, second = run.peaks()
    assert run.mass[0] == pytest.approx(0.0990, rel=0.01)
    assert run.release[first] / area == pytest.approx(158e3, rel=0.02)
    assert run.release[second] / area == pytest.approx(111e3, rel=0.02)


@pytest.mark.parametrize("name", NOTED)
def test_every_run_has_two_peaks(name):
    first, second, *_ = run_peaks(RUNS[name])
    assert first > 1.7
    assert second > 1.1


def test_heights_of_the_peaks():
    # The eight: 2.27 (1.85 to 2.61) and 1.42 (1.16 to 1.75) times the median between them; all 57 runs: 2.4 and
    # 1.6 times their plateau. Ours lies between, within 12 % of both.
    runs = np.array([run_peaks(run)[:2] for run in RUNS.values()])
    first, second, *_ = law_peaks()
    for ours, eight, all_runs in zip((first, second), runs.mean(axis=0), (2.4, 1.6), strict=True):
        assert ours == pytest.approx(eight, rel=0.12)
        assert ours == pytest.approx(all_runs, rel=0.12)


def test_places_of_the_peaks():
    # The eight: at .04 +-.014 and .80 +-.06 of the mass lost; the second at .72 +-.08 of the flaming time.
    runs = np.array([run_peaks(run)[2:] for run in RUNS.values()])
    _, _, first, second, late = law_peaks()
    for ours, place, margin in zip((first, second, late), runs.mean(axis=0), (0.02, 0.03, 0.06), strict=True):
        assert ours == pytest.approx(place, abs=margin)


def test_shape_between():
    # Heat release over its mean, averaged over the eight at the same share lost: within .2 from the flank of the first
    # peak to .90. Nearer the end the glow of the char, which is no part of the law, holds the measured release up.
    places = np.linspace(0.15, 0.90, 16)
    curves = []
    for run in RUNS.values():
        average = run.heat(0.0, run.flame_out) / run.flame_out
        reached = np.maximum.accumulate(run.lost)
        curves.append(np.interp(places, reached, run.release) / average)
    ours = np.array([two_humps(float(place)) for place in places])
    assert np.abs(ours - np.mean(curves, axis=0)).max() < 0.20
    assert np.abs(ours - np.mean(curves, axis=0)).mean() < 0.08


def test_burnt_at_half_time():
    # The eight: .55 +-.03 of the mass loss at half of the flaming time; a free-burning surface law says .75.
    time, _, share = by_time()
    runs = mean(np.interp(0.5 * run.flame_out, run.time, run.lost) for run in RUNS.values())
    assert float(np.interp(0.5, time, share)) == pytest.approx(runs, abs=0.04)


def test_mean_run_at_flame_out():
    # Published notes: 14.0 MJ per kg lost and .157 of the mass left, fpl_50kw_run1, 10 %.
    run = RUNS["fpl_50kw_run1"]
    lost = run.mass[0] - run.at_flame_out(run.mass)
    assert run.heat(0.0, run.flame_out) / lost == pytest.approx(14.0e6, rel=0.1)
    assert 0.15 < run.at_flame_out(run.mass) / run.mass[0] < 0.20


def test_mass_left_at_flame_out():
    # All 57 runs: .176 (.11 to .27); the eight .169.
    left = mean(run.at_flame_out(run.mass) / run.mass[0] for run in RUNS.values())
    assert pytest.approx(left, rel=0.10) == CHAR_SHARE


def test_heat_of_gas():
    # MJ per kg lost while flaming, the eight 15.9; the gas of dry wood of 18.5 MJ/kg is 16.0.
    lost = [run.mass[0] - run.at_flame_out(run.mass) for run in RUNS.values()]
    heats = [run.heat(0.0, run.flame_out) for run in RUNS.values()]
    assert gas_heat(DRY_HEAT, CHAR_SHARE) == pytest.approx(mean(np.divide(heats, lost)), rel=0.06)


def test_heat_of_char():
    # MJ per kg lost after the flames, the eight 31 (26 to 38); all runs 28 to 31. Ours 30.
    runs = []
    for run in RUNS.values():
        gone = run.at_flame_out(run.mass) - run.mass[-1]
        runs.append(run.heat(run.flame_out, run.time[-1]) / gone)
    assert pytest.approx(mean(runs), rel=0.10) == COAL_HEAT


def test_split_of_the_energy():
    # Char left at flame-out carries .295 of the heat of air-dry wood (all runs); ours .285 of dry wood, all of the gas
    # burnt.
    shares = []
    for run in RUNS.values():
        char = run.at_flame_out(run.mass) * COAL_HEAT
        shares.append(char / (char + run.heat(0.0, run.flame_out)))
    assert pytest.approx(mean(shares), abs=0.03) == CHAR_SHARE * COAL_HEAT / DRY_HEAT
    assert mean(shares) == pytest.approx(0.295, abs=0.03)


def test_feedback_of_a_hotter_firebox():
    # Twice the irradiation, less than twice the rate: mean release up to flame-out at 60 and 75 kW/m2 over that at 25
    # and 30. Against the law between the temperatures of a black box of the same irradiation, floor .6.
    def strength(low, high):
        chosen = [run for run in RUNS.values() if low <= run.irradiance <= high]
        rate = mean(run.heat(0.0, run.flame_out) / run.flame_out for run in chosen)
        return mean(run.irradiance for run in chosen), rate

    (weak, slow), (strong, fast) = strength(20e3, 35e3), strength(55e3, 80e3)
    cold, hot = ((flux / STEFAN_BOLTZMANN) ** 0.25 for flux in (weak, strong))
    ours = flame_feedback(hot, 0.6) / flame_feedback(cold, 0.6)
    assert 1.4 < fast / slow < 1.8
    assert ours == pytest.approx(fast / slow, rel=0.15)


WET_START = pytest.mark.xfail(
    strict=True,
    reason="drying flattens the first peak: 1.64 of the plateau at u .10 and 1.26 at u .20, least run 1.85",
)


@pytest.mark.parametrize(
    "moisture", [0.0, pytest.param(0.1, marks=WET_START), pytest.param(0.2, marks=WET_START)]
)
def test_simulated_piece_shows_both_peaks(moisture):
    # A piece of 50 mm, gas and coals together, in a firebox held at 600 degC. The eight runs' own spread.
    found = burn(0.05, moisture)
    half = int(np.searchsorted(found.time, 0.4 * free_burn_time(0.05)))
    first = int(np.argmax(found.release[:half]))
    second = half + int(np.argmax(found.release[half:]))
    one, two = ratios(found.release, first, second)
    trough = float(found.release[first:second].min())
    assert 1.7 < one < 2.7
    assert 1.1 < two < 1.8
    assert trough < 0.8 * found.release[second]
    assert found.time[first] < 5.0 * 60.0
    out = found.until(0.02)
    assert 0.6 < found.time[second] / out < 0.9


def test_simulated_piece_splits_its_energy():
    # Gas and coals over the whole burn come to the heating value; as the flames go out the coals hold a tenth and
    # more of it.
    found = burn(0.05, 0.1, hours=9.0)
    total = float(np.trapezoid(found.release, found.time))
    assert total == pytest.approx(DRY_HEAT, rel=0.005)
    end = int(np.searchsorted(found.time, found.until(0.02)))
    coals = found.coals[end] * COAL_HEAT / DRY_HEAT
    assert 0.10 < coals < 0.295
