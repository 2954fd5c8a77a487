"""Clock times as seconds of the night, also where the clocks change.

Source of the changes: Directive 2000/84/EC (last Sundays of March and October, 01:00 UTC) and, for the United
States, the Energy Policy Act of 2005, section 110 (second Sunday of March, first Sunday of November, 02:00).
In 2031 these are 30 March, 26 October, 9 March and 2 November.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.assess import moments
from simtent.errors import InputError
from simtent.scenario.clock import Span, clock_text, read_clock, read_date
from simtent.scenario.load import load
from simtent.stamps import zone_from_text
from tests.scenario.example import FIRE, TEXT, spoilt, the_fault, written

HOUR = 3600.0


def span(evening, zone="-07:00", begin="17:30", end="07:30"):
    return Span(date.fromisoformat(evening), zone_from_text(zone), read_clock(begin), read_clock(end))


def at(night, clock):
    return night.seconds_at(read_clock(clock)) / HOUR


def test_an_ordinary_night():
    night = span("2031-02-14")
    assert night.begin_utc == datetime(2031, 2, 15, 0, 30, tzinfo=UTC)
    assert night.seconds == 14 * HOUR
    assert [at(night, text) for text in ("17:30", "23:59", "00:00", "7:30")] == [0, 6 + 29 / 60, 6.5, 14]


def test_a_time_before_begin_belongs_to_the_next_day():
    night = span("2031-12-31", begin="20:00", end="19:59")
    assert at(night, "19:59") == pytest.approx(24 - 1 / 60)
    assert night.clock_at(night.seconds).date() == date(2032, 1, 1)


def test_a_night_that_begins_after_midnight_begins_on_its_evening_date():
    night = span("2031-02-15", begin="00:15", end="08:00")
    assert night.begin_utc == datetime(2031, 2, 15, 7, 15, tzinfo=UTC)
    assert at(night, "00:15") == 0


@pytest.mark.parametrize(
    ("evening", "zone", "hours", "three"),
    [
        ("2031-03-29", "Europe/Berlin", 8, 4),
        ("2031-10-25", "Europe/Berlin", 10, 6),
        ("2031-03-08", "America/Denver", 8, 4),
        ("2031-11-01", "America/Denver", 10, 6),
        ("2031-03-29", "+01:00", 9, 5),
    ],
)
def test_true_hours_of_nights_in_which_the_clocks_change(evening, zone, hours, three):
    night = span(evening, zone, "22:00", "07:00")
    assert night.seconds == hours * HOUR
    assert at(night, "03:00") == three


def test_of_a_repeated_time_the_first_is_meant():
    night = span("2031-10-25", "Europe/Berlin", "22:00", "07:00")
    assert at(night, "02:30") == 4.5
    assert at(span("2031-11-01", "America/Denver", "22:00", "07:00"), "01:30") == 3.5


@pytest.mark.parametrize(
    ("evening", "zone", "clock", "meant"),
    [("2031-03-29", "Europe/Berlin", "02:30", "03:30"), ("2031-03-08", "America/Denver", "02:00", "03:00")],
)
def test_a_skipped_time_is_refused_with_the_one_perhaps_meant(evening, zone, clock, meant):
    with pytest.raises(InputError, match=rf'does not exist.*"{meant}"'):
        at(span(evening, zone, "22:00", "07:00"), clock)


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('begin = "17:30"', 'begin = "02:30"', "night.begin"),
        ('end = "07:30"', 'end = "02:15"', "night.end"),
        ('bed = "21:30"', 'bed = "02:45"', "wish.bed"),
        ('at = "22:00"', 'at = "02:00"', "heat.table[2].at"),
    ],
)
def test_skipped_times_in_a_file(tmp_path, old, new, key):
    evening = "2031-03-30" if key == "night.begin" else "2031-03-29"
    text = spoilt('zone = "-07:00"', 'zone = "Europe/Berlin"', spoilt("2031-02-14", evening, TEXT))
    fault = the_fault(tmp_path, spoilt(old, new, text))
    assert fault.key == key
    assert "does not exist" in fault.what
    assert fault.line


@given(
    st.dates(date(2029, 1, 1), date(2033, 12, 31)),
    st.sampled_from(["Europe/Berlin", "America/Denver", "Australia/Lord_Howe", "UTC"]),
    st.times(),
    st.integers(1, 1439),
)
def test_every_moment_of_every_night_has_its_seconds(day, zone, begin, minutes):
    """The local clock at the seconds of a clock time shows that clock time."""
    begin = begin.replace(second=0, microsecond=0)
    end = (datetime.combine(day, begin) + timedelta(minutes=minutes)).time()
    night = Span(day, ZoneInfo(zone), begin, end)
    try:
        length = night.seconds
    except InputError as error:
        assert "does not exist" in str(error)
        return
    for clock in (begin, end, time(2, 30), time(3, 0), time(0, 0)):
        try:
            seconds = night.seconds_at(clock)
        except InputError:
            continue
        assert 0 <= seconds <= length
        assert night.clock_at(seconds).time() == clock


@pytest.mark.parametrize(
    "text",
    [
        "",
        "25:00",
        "7",
        "12:60",
        "noon",
        "7.30",
        "-1:00",
        "07:30:60",
        "07:30:1",
        "07:30:00.",
        "07:30:00.1234567",
    ],
)
def test_what_is_no_clock_time(text):
    with pytest.raises(InputError, match="no clock time"):
        read_clock(text)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("5:30 pm", "17:30"),
        ("12am", "00:00"),
        ("12:15 PM", "12:15"),
        ("2230", "22:30"),
        ("7.30", "07:30"),
        ("24:00", "00:00"),
        ("9:30:15 pm", "21:30:15"),
        ("21:30:17,25", "21:30:17.25"),
        ("21:30:75", "21:30"),
    ],
)
def test_the_likely_clock_time_is_offered(text, meant):
    with pytest.raises(InputError, match=f'"{meant}"'):
        read_clock(text)


@pytest.mark.parametrize(
    "text", ["2031-2-14", "20310214", "14.02.2031", "02/14/2031", "tonight", "2031-13-01", 2031]
)
def test_what_is_no_date(text):
    with pytest.raises(InputError, match="2031-02-14"):
        read_date(text)


@given(st.times())
def test_clock_times_come_back_to_the_microsecond(clock):
    text = clock_text(clock)
    assert read_clock(text) == clock
    assert len(text) == 5 or clock.second or clock.microsecond


@pytest.mark.parametrize(
    ("text", "seconds", "written_as"),
    [
        ("21:30:17.25", 17.25, "21:30:17.25"),
        ("21:30:17", 17.0, "21:30:17"),
        ("21:30:00.000001", 1e-6, "21:30:00.000001"),
        ("21:30:00.0", 0.0, "21:30"),
        ("21:30:00", 0.0, "21:30"),
    ],
)
def test_a_load_at_a_second(tmp_path, text, seconds, written_as):
    scenario = load(written(tmp_path, spoilt('at = "21:00"', f'at = "{text}"', FIRE)))
    assert scenario.stoking.loads[1].at == pytest.approx(4 * 3600.0 + seconds, abs=1e-9)
    assert scenario.stoking.load[1].at == written_as
    assert load(written(tmp_path, scenario.effective, "again.toml")) == scenario


def test_a_second_without_quotes(tmp_path):
    fault = the_fault(tmp_path, spoilt('bed = "21:30"', "bed = 21:30:17.25", TEXT))
    assert fault.key == "wish.bed" and '"21:30:17.25"' in fault.todo
    several = spoilt('bed = "21:30"', "bed = 3:30:17", TEXT)  # no TOML, unlike the other
    assert "3:30:17 stands without quotes" in the_fault(tmp_path, several).what


def test_outside_the_night_by_a_second(tmp_path):
    text = spoilt('at = "22:00"', 'at = "07:30:00.5"', TEXT)
    assert "07:30:00.5 is outside the night" in the_fault(tmp_path, text).what


def test_a_night_that_begins_at_a_second_is_told_by_the_minute(tmp_path):
    text = spoilt('begin = "17:30"', 'begin = "17:30:40"', spoilt('at = "17:30"', 'at = "17:31"', TEXT))
    night = load(written(tmp_path, text)).night
    assert [moments.clock(night, it) for it in (0.0, 25.0, 80.0)] == ["17:31", "17:31", "17:32"]
    assert moments.full_hours(night)[:2] == [29 * 60 + 20.0, 89 * 60 + 20.0]
    assert all(moments.local(night, it).minute == 0 for it in moments.full_hours(night))
