"""Outdoor readings as a file of weather: means, gaps, ends, and what is refused."""

from datetime import UTC, date, time

import numpy as np
import pytest

from simtent.calibrate.weather import taken, written
from simtent.errors import InputError
from simtent.logbook.logged import Sensor
from simtent.scenario.clock import Span

SPAN = Span(date(2031, 2, 14), UTC, time(18, 0), time(22, 0))
BEGIN = SPAN.begin_utc.timestamp()
LENGTH = 4 * 3600.0


def sensor(times, kelvin, suspect=None):
    false = (False,) * len(times)
    return Sensor("T", tuple(BEGIN + np.asarray(times)), tuple(kelvin), suspect or false)


def told(folder, one):
    """Seconds after the begin, and kelvin, that stand in the file."""
    section = written(one, SPAN, folder, "night")
    assert section["columns"] == {"air": "air"} and section["units"] == {"air": "degC"}
    path = folder / "night.csv"
    assert section["path"] == str(path)
    raw = np.genfromtxt(path, delimiter=",", names=True, dtype=None, encoding="utf-8")
    seconds = [
        (np.datetime64(it[:-1]) - np.datetime64("2031-02-14T18:00")) / np.timedelta64(1, "s")
        for it in raw["when"]
    ]
    return np.array(seconds), raw["air"] + 273.15


def test_ten_minutes_are_one_mean(tmp_path):
    """By hand: a sensor that jumps by 2 K to either side each minute shows 270 K all night."""
    times = np.arange(0.0, LENGTH + 1.0, 60.0)
    seconds, kelvin = told(tmp_path, sensor(times, 270.0 + 2.0 * (-1.0) ** np.arange(times.size)))
    inner = (seconds > 600.0) & (seconds < LENGTH - 600.0)
    assert kelvin[inner] == pytest.approx(270.0, abs=1e-3)
    assert np.diff(seconds) == pytest.approx(600.0)


def test_a_steady_fall_is_neither_early_nor_late(tmp_path):
    times = np.arange(-1800.0, LENGTH + 1801.0, 60.0)
    seconds, kelvin = told(tmp_path, sensor(times, 270.0 - times / 3600.0))
    inner = (seconds >= 0.0) & (seconds <= LENGTH)
    assert kelvin[inner] == pytest.approx(270.0 - seconds[inner] / 3600.0, abs=1e-3)
    assert inner.sum() in (24, 25)


def test_a_gap_is_bridged_by_a_straight_line(tmp_path):
    times = np.arange(0.0, LENGTH + 1.0, 60.0)
    times = times[(times < 3600.0) | (times > 9000.0)]
    seconds, kelvin = told(tmp_path, sensor(times, 270.0 - times / 3600.0))
    inner = (seconds > 600.0) & (seconds < LENGTH - 600.0)
    assert kelvin[inner] == pytest.approx(270.0 - seconds[inner] / 3600.0, abs=0.01)


def test_suspect_readings_are_no_weather(tmp_path):
    times = np.arange(0.0, LENGTH + 1.0, 60.0)
    spoilt = (times > 3000.0) & (times < 3300.0)
    values = np.where(spoilt, 320.0, 270.0)
    _, kelvin = told(tmp_path, sensor(times, values, tuple(spoilt)))
    assert kelvin == pytest.approx(270.0)


@pytest.mark.parametrize(("first", "last"), [(3500.0, LENGTH), (0.0, LENGTH - 3500.0)])
def test_the_first_and_the_last_value_hold_for_an_hour(tmp_path, first, last):
    times = np.arange(first, last + 1.0, 60.0)
    seconds, kelvin = told(tmp_path, sensor(times, np.linspace(275.0, 265.0, times.size)))
    assert seconds[0] <= 0.0 and seconds[-1] >= LENGTH
    assert kelvin[seconds < first] == pytest.approx(275.0, abs=0.5)
    assert kelvin[seconds > last] == pytest.approx(265.0, abs=0.5)


@pytest.mark.parametrize(("first", "last", "words"), [
    (3720.0, LENGTH, "from 19:02 to 22:00"), (0.0, LENGTH - 3720.0, "from 18:00 to 20:58"),
])  # fmt: skip
def test_more_than_an_hour_without_is_refused_with_a_way_out(tmp_path, first, last, words):
    times = np.arange(first, last + 1.0, 60.0)
    fault = refused(tmp_path, sensor(times, 270.0 + 0.0 * times))
    assert words in fault.what and "do not cover the night" in fault.what
    assert "18:00 to 22:00" in fault.allowed and "`begin` and `end`" in fault.todo


def test_readings_that_are_all_suspect_are_refused_as_such(tmp_path):
    times = np.arange(0.0, LENGTH + 1.0, 60.0)
    fault = refused(tmp_path, sensor(times, 270.0 + times, (True,) * times.size))
    assert "suspect" in fault.what and "another sensor" in fault.todo


def test_air_that_stands_still_for_hours_is_weather_where_nothing_else_is(tmp_path):
    """Suspect is what stands still while a fire warms others; outdoors it may be true. A spike never is."""
    times = np.arange(0.0, LENGTH + 1.0, 60.0)
    values = np.where(times < 7200.0, 275.0 - times / 3600.0, 273.0)
    values[200] = 300.0
    one = sensor(times, values, tuple(times >= 7200.0))
    _, kelvin = told(tmp_path, one)
    assert kelvin[-6:] == pytest.approx(273.0) and kelvin.max() <= 275.0
    few = sensor(times, values, tuple((times > 7200.0) & (times < 9000.0)))
    assert not taken(few, SPAN)[(times > 7200.0) & (times < 9000.0)].any()


def refused(folder, one):
    with pytest.raises(InputError) as caught:
        written(one, SPAN, folder, "night")
    assert list(folder.iterdir()) == []
    (fault,) = caught.value.faults
    return fault
