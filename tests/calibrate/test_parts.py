"""Several loggers of an evening, a heater in place of the stove, moved loads: nights that logs describe in parts."""

from datetime import date

import numpy as np
import pytest

from simtent.calibrate import numbers
from simtent.calibrate.calibrate import calibrate
from simtent.calibrate.nights import night_of
from simtent.calibrate.outlook import Outlook, Setting
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.calibrate import logs, yard

EVENING = "2031-02-14"


def prepared(path):
    scenario = load(path)
    return night_of(scenario, read_log(scenario, date.fromisoformat(EVENING)), path.parent, "the night")


def test_two_loggers_of_an_evening_are_one_night(tmp_path):
    """Head and outdoors in one file, the cot in another whose clock was five minutes fast."""
    path = logs.camp(tmp_path)
    file = tmp_path / f"{EVENING}.csv"
    head, *rows = file.read_text().strip().split("\n")
    assert head == "when,head,cot,outdoors"
    cells = [row.split(",") for row in rows]
    file.write_text("\n".join(["when,head,outdoors", *(f"{t},{a},{c}" for t, a, _, c in cells), ""]))
    ahead = [f"{np.datetime64(t.removesuffix('Z')) + 300}Z,{cot}" for t, _, cot, _ in cells]
    (tmp_path / "other.csv").write_text("\n".join(["when,cot", *ahead, ""]))
    text = path.read_text()
    log = text[text.index("\n[[log]]") :]
    one = log.replace('cot = "cot", ', "")
    two = one.replace(f"{EVENING}.csv", "other.csv").replace(
        'head = "head", outdoors = "outdoors"', 'cot = "cot"'
    )
    path.write_text(text.replace(log, one + two.replace("sensors", 'clock_ahead = "5 min"\nsensors')))
    night = prepared(path)
    (tmp_path / "plain").mkdir()
    alone = prepared(logs.camp(tmp_path / "plain"))
    assert [it.place for it in night.readings] == [it.place for it in alone.readings] == ["head", "cot"]
    for mine, theirs in zip(night.readings, alone.readings, strict=True):
        assert mine.seconds == pytest.approx(theirs.seconds) and mine.kelvin == pytest.approx(theirs.kelvin)


@pytest.mark.compiled
def test_the_chance_is_read_before_a_load_where_its_time_was_moved_to(tmp_path):
    """Noted at about 15:45 and moved half an hour later: coals have burned down until then."""
    scenario = load(yard.camp(tmp_path))
    night = night_of(scenario, read_log(scenario, 1), tmp_path, "the burn")
    sought = (*numbers.of_scenario(scenario), *night.sought)
    outlook = Outlook(night, Setting(sought, numbers.bases(scenario, sought)))
    k = next(n for n, one in enumerate(sought) if one.name.startswith("time of 15:45"))
    chances = []
    for z in (-2.0, 0.0, 2.0):
        point = np.zeros(len(sought))
        point[k] = z
        *_, chance = outlook.shown(outlook.simulated(point), point)
        chances.append(chance)
    assert len(chances[0]) == len(night.relit) == 2
    assert chances[0][1] > chances[1][1] > chances[2][1]
    assert chances[0][0] == pytest.approx(chances[2][0], abs=1e-6)


@pytest.mark.compiled
def test_a_night_with_another_heater_is_fitted_with_it(tmp_path):
    """The logs were made with 1 to 6 kW; told half of it, the fit takes the walls for far tighter."""
    path = logs.camp(tmp_path)
    table = ", ".join(
        f'{{ at = "{at}", power = "{float(power.split()[0]) / 2} kW" }}' for at, power in logs.HEAT
    )
    (tmp_path / "half.toml").write_text(f"[heat]\ntable = [{table}]\n", encoding="utf-8")
    right = calibrate(load(path), starts=1)
    path.write_text(path.read_text().replace('time = "when"', 'time = "when"\nwith = "half.toml"'))
    wrong = calibrate(load(path), starts=1)
    assert wrong.nights[0].scenario.heat.table[1].power == pytest.approx(3000.0)
    ends = [one.posterior.interval("model.walls", 0.99) for one in (right, wrong)]
    assert ends[1][1] < ends[0][0]
