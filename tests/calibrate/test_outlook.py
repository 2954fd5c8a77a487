"""Slopes of what sensors show, of a tent and of a stove in the open, against differences of what they show."""

import numpy as np
import pytest

from simtent.calibrate import numbers
from simtent.calibrate.nights import night_of
from simtent.calibrate.outlook import Outlook, Setting
from simtent.driver import SWIFT, drive
from simtent.logbook.read import read_log
from simtent.network.solve import Accuracy
from simtent.scenario.load import load
from tests.calibrate import logs, yard

pytestmark = pytest.mark.compiled

CLOSE = Accuracy(SWIFT.method, 1e-8, 1e-6)
HAIR = 0.02  # deviations


def outlook(path):
    scenario = load(path)
    night = night_of(scenario, read_log(scenario), path.parent, "night")
    sought = (*numbers.of_scenario(scenario), *numbers.of_sensors([night]), *night.sought)
    return Outlook(night, Setting(sought, numbers.bases(scenario, sought), accuracy=CLOSE))


def differences(it, z):
    """Central differences of all that is shown, by every number."""
    out = []
    for k in range(z.size):
        there = []
        for sign in (-1.0, 1.0):
            moved = z.copy()
            moved[k] += sign * HAIR
            there.append(it.shown(it.simulated(moved), moved))
        out.append([(more - less) / (2.0 * HAIR) for less, more in zip(*there, strict=True)])
    return [np.stack(columns, axis=1) for columns in zip(*out, strict=True)]


def agree(it, z, names, share):
    shown, raw = it.moved(z)
    slopes = it.slopes(shown, raw, z)
    wanted = differences(it, z)
    sizes = dict.fromkeys(names, 0.0)
    for mine, other in zip(slopes, wanted, strict=True):
        assert mine.shape == other.shape
        for k, name in enumerate(names):
            size = np.abs(other[:, k]).max(initial=0.0)
            sizes[name] = max(sizes[name], size)
            assert mine[:, k] == pytest.approx(other[:, k], abs=share * size + 2e-3), name
    return sizes


def test_a_tent_its_sensors_and_tied_numbers(tmp_path):
    fit = '\n[fit]\nfree = ["model.walls", "model.leak_area", "model.mixing", "outdoors.shift"]\n'
    fit += 'tied = [["model.walls", "model.leak_area"]]\n'
    it = outlook(logs.camp(tmp_path, fit=fit))
    names = [one.name for one in it.setting.sought]
    assert names[:3] == ["model.walls", "model.mixing", "outdoors.shift"]
    z = 0.3 * np.cos(np.arange(len(names)))
    sizes = agree(it, z, names, 0.02)
    assert all(sizes[name] > 0.05 for name in names if "glow" not in name)


def test_a_stove_in_the_open_its_loads_and_the_odds_of_its_coals(tmp_path):
    it = outlook(yard.camp(tmp_path))
    names = [one.name for one in it.setting.sought]
    assert {"contact of stove", "mass of the load at 14:30, night", "time of 15:45, night"} < set(names)
    z = 0.2 * np.cos(np.arange(len(names)))
    sizes = agree(it, z, names, 0.05)
    assert sizes["time of 15:45, night"] > 1.0 and sizes["mass of the load at 14:30, night"] > 1.0


def test_a_number_that_moves_no_night_costs_none(tmp_path):
    it = outlook(logs.camp(tmp_path))
    moving = {it.setting.sought[k].name for k in it.moving()}
    assert moving == {"model.walls", "model.leak_area"}


def test_the_step_divides_the_night(tmp_path):
    it = outlook(logs.camp(tmp_path))
    times = it.night.scenario.night.seconds / it.step
    assert times == pytest.approx(round(times)) and 100.0 < it.step < 140.0


def test_the_chance_is_read_before_the_moved_time_of_a_load(tmp_path):
    """The load noted at about 15:45 is put on twelve minutes earlier and later: the chance is that of each moment."""
    it = outlook(yard.camp(tmp_path))
    k = [one.name for one in it.setting.sought].index("time of 15:45, night")
    one = it.setting.sought[k]
    which = [found.time for found in it.night.relit].index(one.name)
    for seconds in (-720.0, 0.0, 720.0):
        z = np.zeros(len(it.setting.sought))
        z[k] = seconds / one.spread
        night = drive(it.scenario(z), accuracy=CLOSE, step=it.step)
        before = it.night.relit[which].at + one.value(float(z[k])) - 1.0
        row = int(before // it.step)
        chance = it.shown(it.simulated(z), z)[-1][which]
        assert chance == pytest.approx(night.tending.chance(night.solution.states[row]), abs=1e-6)
        assert chance > 0.0
