"""Nights that run into day: the sun warms, the ledger closes, and a sun that never rises changes nothing."""

import numpy as np
import pytest

from simtent.assembly import sun
from simtent.readings import accounts, readings
from simtent.run import run
from simtent.simulate import simulate
from tests.simulate.cases import scenario

pytestmark = pytest.mark.compiled

CLEAR = {"site.latitude": "46 deg N", "outdoors.cloud": "0 %", "night.evening": "2031-03-21"}
NOTHING = {"heat.table": [{"at": "18:00", "power": "0 W"}]}
AROUND = {"night.begin": "18:00", "night.end": "17:00"}  # through the night and the day after it
SHORT = {"night.begin": "16:30", "night.end": "18:30", "heat.table": [{"at": "16:30", "power": "0 W"}]}


@pytest.fixture(scope="module")
def day():
    """A night and the day after it, with the sun and without."""
    lit = scenario().replace(CLEAR | NOTHING | AROUND)
    return run(lit), run(lit.replace("site.latitude", "none"))


def test_the_sun_warms_by_day_and_is_gone_by_night(day):
    """A canvas box in the sun; tents in hot sun were 3 to 6 K above the air outside (Buildings 2021, 11(12), 655)."""
    lit, dark = day
    hours = lit.solution.times / 3600.0
    warmer = (lit.air - dark.air).mean(axis=1)
    assert np.abs(warmer[hours < 11.5]).max() < 0.01  # the sun rises at about six
    noon = (hours > 17.5) & (hours < 18.5)
    assert 3.0 < warmer[noon].mean() < 20.0
    assert 3.0 < (lit.air[noon].mean() - 263.15) < 15.0


def test_what_the_sun_gave_is_found_again(day):
    lit, dark = day
    assert lit.residual < 1e-6
    assert "sun" in accounts(lit) and "sun" not in accounts(dark)
    values, _ = readings(lit)
    rate = values["heat_flow"][:, lit.model.net.path_names.index("sun")]
    by_rate = np.trapezoid(rate, lit.solution.times)
    assert accounts(lit)["sun"][-1] == pytest.approx(by_rate, rel=2e-3)  # in steps of five minutes
    assert (rate[values["sunshine"] == 0.0] == 0.0).all()
    assert (rate[values["sunshine"] > 20.0] > 0.0).all()


def test_a_finer_table_gives_the_same_day(day, monkeypatch):
    """Knots every 5 min against every minute: 0.05 K, what a night may be off by."""
    monkeypatch.setattr(sun, "STEP", 60.0)
    fine = run(day[0].scenario)
    assert np.abs(fine.air - day[0].air).max() < 0.05


def test_a_sun_that_does_not_rise_changes_nothing():
    """Polar night: one path more in the state moves the solver's steps, and by no more than its tolerance."""
    night = scenario()
    with_sun = run(night.replace({"site.latitude": "80 deg N"}))
    without = run(night)
    assert "sun" not in without.model.net.path_names
    assert len(without.model.net.path_names) + 1 == len(with_sun.model.net.path_names)
    assert (accounts(with_sun)["sun"] == 0.0).all()
    assert np.abs(with_sun.temperatures - without.temperatures).max() < 0.01


def test_overcast_takes_three_quarters_of_the_suns_heat():
    """Kasten and Czeplak 1980: one quarter is left; all of it diffuse, so that roof and walls share it another way."""
    clear, dull = (
        accounts(run(scenario().replace(CLEAR | SHORT | {"outdoors.cloud": cloud})))["sun"][-1]
        for cloud in ("0 %", "100 %")
    )
    assert 0.15 < dull / clear < 0.35


def test_the_whole_answer_of_a_sunny_evening():
    """At the equinox, 4.5 h past noon: s = cos 46 cos 67.5 degrees; 1098 s exp(-0.059 / s) by hand (Haurwitz 1945)."""
    lit = scenario().replace(CLEAR | SHORT | {"model.layers": 8})
    night = simulate(lit)
    assert night["sunshine"].values[0] == pytest.approx(234.0, rel=0.03)
    assert night["sunshine"].values[-1] == 0.0
    assert float(night["energy"].sel(account="sun")[-1]) > 0.0
    values, coords = readings(run(lit.replace("site.latitude", "none")))
    assert (values["sunshine"] == 0.0).all()
    assert "sun" not in coords["path"]
