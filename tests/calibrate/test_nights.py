"""Logged nights made ready: hours, weather, readings, notes, and what is told of all that was left out."""

import numpy as np
import pytest

from simtent.assembly.drivers import driver
from simtent.calibrate.calibrated import outdoors_at
from simtent.calibrate.nights import THINNEST, night_of
from simtent.errors import InputError
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.calibrate import logs
from tests.logbook import nights

OPEN = "2031-01-18"


def prepared(path, which=1):
    scenario = load(path)
    return night_of(scenario, read_log(scenario, which), path.parent, "the night")


def changed(path, name, old, new):
    """The camp with a part of one of its files replaced."""
    file = path.parent / name
    text = file.read_text(encoding="utf-8")
    assert text.count(old) >= 1, old
    file.write_text(text.replace(old, new), encoding="utf-8")
    return path


def told(night, *words):
    return any(all(word in text for word in words) for text in night.told)


@pytest.fixture
def camp(tmp_path):
    return nights.camp(tmp_path)


def test_a_night_runs_from_the_scenarios_begin_to_its_end(camp):
    """The scenario's night ends at 07:30; the last reading lies 828 min after 17:30, at 07:18."""
    night = prepared(camp)
    assert (night.scenario.night.begin, night.scenario.night.end) == ("17:30", "07:30")
    assert max(one.seconds[-1] for one in night.readings) == 828 * 60.0
    assert night.scenario.night.evening.isoformat() == "2031-01-24"
    for one in night.readings:
        assert one.seconds[0] >= 0.0 and one.seconds[-1] <= night.scenario.night.seconds
    assert [one.place for one in night.readings] == ["head", "cot", "floor", "stove"]


def test_a_fire_that_was_lit_before_the_scenarios_night_begins_it(camp):
    night = prepared(changed(camp, "porch_night_notes.csv", "17:30,6 stick", "17:14,6 stick"))
    assert night.scenario.night.begin == "17:14" and night.deeds[0].at == 0.0


def test_a_fire_that_was_lit_at_an_unsure_time_leaves_room_before_it(camp):
    night = prepared(changed(camp, "porch_night_notes.csv", "17:30,6 stick", "~17:30,6 stick"))
    assert night.scenario.night.begin < "17:15" and night.deeds[0].at > 900.0
    assert night.sought[0].low < -2.0 * night.sought[0].spread


def test_its_weather_is_what_the_outdoor_sensor_showed(camp):
    night = prepared(camp)
    outdoors = night.logged.sensors["outdoors"]
    seconds = np.asarray(outdoors.seconds) - night.scenario.night.begin_utc.timestamp()
    inside = (seconds > 600.0) & (seconds < night.scenario.night.seconds - 600.0)
    there = outdoors_at(night, seconds[inside])
    assert there == pytest.approx(np.asarray(outdoors.kelvin)[inside], abs=0.1)


def test_without_an_outdoor_sensor_the_scenarios_weather_is_taken_and_told(camp):
    night = prepared(
        changed(camp, "bench.toml", ', CH4 = "outdoors", CH5 = "stove" }\n\n', ', CH5 = "stove" }\n\n')
    )
    assert told(night, "no sensor hung outdoors")
    assert outdoors_at(night, np.array([0.0, 3e4])) == pytest.approx(263.15)


def test_an_outdoor_sensor_takes_the_place_of_high_and_low(tmp_path):
    night = prepared(logs.camp(tmp_path))
    plain = load(logs.LARCH)
    assert plain.outdoors.high is not None and night.scenario.outdoors.high is None
    seconds = np.arange(0.0, 4 * 3600.0, 600.0)
    wanted = driver(load(tmp_path / "camp.toml").outdoors.track("air")).values(seconds)
    assert np.ptp(wanted) > 3.0
    assert outdoors_at(night, seconds) == pytest.approx(wanted, abs=0.1)


def test_suspect_readings_are_left_out_and_told(camp):
    night = prepared(camp)
    assert told(night, "suspect readings of cot", ": 1")
    sizes = {one.place: one.seconds.size for one in night.readings}
    assert sizes["cot"] == sizes["head"] - 1
    assert max(night.readings[1].kelvin) < 310.0  # the spike of 40 degF is not there


def test_readings_closer_than_a_minute_are_thinned(tmp_path):
    path = logs.camp(tmp_path)
    file = tmp_path / "2031-02-14.csv"
    head, *rows = file.read_text().split("\n")
    more = [row.replace(":00Z", f":{second:02d}Z") for row in rows if row for second in (0, 20, 40)]
    file.write_text("\n".join([head, *more, ""]))
    (one, *_) = prepared(path).readings
    assert np.diff(one.seconds).min() >= THINNEST - 1.0
    assert one.seconds.size == len([row for row in rows if row])


def test_a_shelter_that_is_warm_as_the_night_begins_starts_so(tmp_path):
    """Half an hour of heat before the night: the mean of head and cot in the minutes around its begin."""
    early = {**logs.SHORT, "heat.table": [{"at": "17:30", "power": "4 kW"}]}
    path = logs.camp(
        tmp_path, {place: logs.sensors.Traits() for place in ("head", "cot")}, changes=early, noise=0.01
    )
    text = (
        path.read_text().replace('begin = "17:30"', 'begin = "18:00"').replace('at = "17:30"', 'at = "18:00"')
    )
    path.write_text(text)
    night = prepared(path)
    begin = night.scenario.night.begin_utc.timestamp()
    near = [
        kelvin
        for place in ("head", "cot")
        for t, kelvin in zip(
            night.logged.sensors[place].seconds, night.logged.sensors[place].kelvin, strict=True
        )
        if -900.0 <= t - begin <= 60.0
    ]
    assert np.mean(near) > outdoors_at(night, np.array([0.0]))[0] + 5.0
    assert night.scenario.night.inside_at_start == pytest.approx(np.mean(near), abs=0.01)


def test_a_shelter_as_cold_as_outdoors_starts_as_it_always_does(tmp_path):
    assert prepared(logs.camp(tmp_path, noise=0.01)).scenario.night.inside_at_start is None


def test_without_notes_the_scenarios_loads_are_taken_and_that_is_told(camp):
    night = prepared(changed(camp, "bench.toml", 'notes = "porch_night_notes.csv"\n', ""))
    assert told(night, "no notes", "[stoking]")
    assert night.deeds == () and night.sought == ()
    assert [load.at for load in night.scenario.stoking.loads] == [0.0, 3.5 * 3600.0]


def test_its_notes_take_the_place_of_the_scenarios_stoking(camp):
    night = prepared(camp)
    stoking = night.scenario.stoking
    assert [load.at for load in stoking.loads] == [0.0, 3720.0, 13800.0, 27660.0]
    assert [load.lit for load in stoking.loads] == [True, False, False, True]
    assert [load.catches for load in stoking.loads] == [False, True, True, False]
    assert not stoking.rules and not night.scenario.log[0].in_the_open
    assert [(one.at, one.lit) for one in night.relit] == [(3720.0, True), (13800.0, True), (27660.0, False)]
    assert {"time of 18:32, the night", "mass of the load at 01:11, the night"} < {
        one.name for one in night.sought
    }


def test_notes_after_the_last_reading_are_left_out_and_told(camp):
    """The battery was empty at one; what was noted later cannot be compared with anything."""
    file = camp.parent / "porch_night.csv"
    head, found, _ = file.read_text().partition("2031-01-25 01:00")
    assert found
    file.write_text(head)
    night = prepared(camp)
    assert (
        night.scenario.night.end == "07:30" and max(one.seconds[-1] for one in night.readings) < 7.5 * 3600.0
    )
    assert told(night, "readings end at 00:54", "outdoors")
    held = outdoors_at(night, np.array([7.5, 12.0]) * 3600.0)
    assert held[0] == pytest.approx(held[1], abs=0.2)
    assert told(night, "notes outside 17:30 to 00:54", "line 6, 7")
    assert len(night.scenario.stoking.loads) == 3


def test_a_burn_in_the_open_has_hours_of_its_own_and_no_levels(camp):
    night = prepared(camp, 2)
    assert night.scenario.shelter is None and night.logged.in_the_open
    assert (night.scenario.night.begin, night.scenario.night.end) == ("13:10", "16:19")
    assert [one.place for one in night.readings] == ["stove"]
    assert night.scenario.night.evening.isoformat() == OPEN
    assert outdoors_at(night, np.array([60.0]))[0] == pytest.approx(266.48, abs=0.3)  # 20 degF, falling


def test_too_few_readings_of_a_sensor_are_told_and_of_all_are_refused(camp):
    file = camp.parent / "porch_night.csv"
    lines = file.read_text().split("\n")
    lines[3:] = [
        line if n < 11 else ",".join([line.split(",")[0], "", *line.split(",")[2:]])
        for n, line in enumerate(lines[3:])
    ]
    file.write_text("\n".join(lines))
    night = prepared(camp)
    assert told(night, "head has 1 readings", "fewer than 12") and "head" not in {
        one.place for one in night.readings
    }
    stolen = camp.read_text().replace(
        'CH1 = "head", CH2 = "cot", CH3 = "floor", CH4 = "outdoors", CH5 = "stove"', 'CH1 = "head"', 1
    )
    camp.write_text(stolen)
    with pytest.raises(InputError) as caught:
        prepared(camp)
    assert "no sensor has 12 readings" in str(caught.value) and "the night" in str(caught.value)


def test_a_known_heat_is_no_stove_and_its_notes_are_passed_over(tmp_path):
    night = prepared(logs.camp(tmp_path))
    assert night.scenario.heat is not None and night.deeds == () and night.told == ()


def test_a_log_of_another_evening_is_refused(camp):
    """All readings lie before the scenario's night: in the afternoon."""
    file = camp.parent / "porch_night.csv"
    head, _, _ = file.read_text().partition("2031-01-24 17:36")
    file.write_text(head)
    with pytest.raises(InputError, match="no sensor has 12 readings within the night"):
        prepared(camp)


def test_a_logger_left_running_after_a_burn_in_the_open_is_cut_after_a_day(camp):
    file = camp.parent / "yard_burn.csv"
    last = "\n".join(
        f"2031-01-{day} {hour:02d}:00;19,0;20,00" for day in (19, 20) for hour in (8, 12, 16, 20)
    )
    file.write_text(file.read_text() + "\n" + last)
    night = prepared(camp, 2)
    assert (night.scenario.night.begin, night.scenario.night.end) == ("13:10", "13:09")


def test_a_night_in_which_an_hour_comes_twice_has_it_twice(tmp_path):
    """From 20:30 to 06:30 are eleven hours, and readings lie where the true clock has them."""
    changes = {**logs.SHORT, "night.zone": "America/Denver", "night.begin": "20:30", "night.end": "06:30"}
    changes["heat.table"] = [{"at": at, "power": "3 kW"} for at in ("20:30", "23:30")]
    path = logs.camp(tmp_path, evenings=("2031-11-01",), changes=changes)
    night = prepared(path)
    assert night.scenario.night.seconds == 11 * 3600.0
    assert night.readings[0].seconds[-1] == pytest.approx(11 * 3600.0, abs=120.0)
