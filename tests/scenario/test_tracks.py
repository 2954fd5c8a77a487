"""Weather and heat as tracks through the night: constants, high and low, files; and files that fall short."""

import math
from datetime import datetime

import pytest
from hypothesis import given

from simtent.scenario.load import load
from simtent.scenario.track import Track
from tests.scenario.example import TEXT, faults, spoilt, the_fault, written
from tests.strategies import scenarios

HOUR = 3600.0
STEADY = 'steady = "-10 degC"'
HIGH_LOW = 'high = { at = "15:00", air = "-2 degC" }\nlow = { at = "06:00", air = "-20 degC" }'
FILE = (
    'file = { path = "air.csv", columns = { air = "T", wind = "W" }, '
    'units = { air = "degC", wind = "km/h" } }'
)


def with_file(folder, hours, row="{when},{air},9.0", text=TEXT, extra=""):
    """A scenario on a file with a row for each of the hours after the evening's noon."""
    rows = [
        row.format(when=f"2031-02-{14 + (12 + hour) // 24} {(12 + hour) % 24:02d}:00", air=-5.0 - hour / 2)
        for hour in hours
    ]
    (folder / "air.csv").write_text("when,T,W\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return spoilt(STEADY, FILE + extra, text)


def test_steady(tmp_path):
    air = load(written(tmp_path)).outdoors.track("air")
    assert air == Track((0.0,), (263.15,), "steps")
    assert air.at(-1e6) == air.at(1e6) == 263.15


def test_high_and_low_bracket_the_night(tmp_path):
    air = load(written(tmp_path, spoilt(STEADY, HIGH_LOW))).outdoors.track("air")
    assert air.times == (-2.5 * HOUR, 12.5 * HOUR, 21.5 * HOUR)
    assert air.values == pytest.approx((271.15, 253.15, 271.15))
    assert air.at(12.5 * HOUR) == pytest.approx(253.15)
    assert air.at(5 * HOUR) == pytest.approx((271.15 + 253.15) / 2)  # half way between, by symmetry


def test_high_within_a_long_night(tmp_path):
    text = spoilt('bed = "21:30"', "", spoilt('at = "22:00", power', 'at = "23:30", power', TEXT))
    text = spoilt('end = "07:30"', 'end = "17:00"', spoilt(STEADY, HIGH_LOW, text))
    air = load(written(tmp_path, text)).outdoors.track("air")
    assert [time / HOUR for time in air.times] == [-2.5, 12.5, 21.5, 36.5]


def test_a_night_that_begins_before_the_day_s_first_moment(tmp_path):
    text = spoilt('bed = "21:30"', "", spoilt('at = "17:30"', 'at = "02:00"', TEXT))
    text = spoilt('begin = "17:30"', 'begin = "01:00"', spoilt('at = "22:00"', 'at = "05:00"', text))
    air = load(written(tmp_path, spoilt(STEADY, HIGH_LOW, text))).outdoors.track("air")
    assert [time / HOUR for time in air.times] == [-10.0, 5.0, 14.0]


def test_daily_hours_stay_on_the_clock_where_it_changes(tmp_path):
    """Night of 29 to 30 March 2031 in Central Europe: one hour is left out (Directive 2000/84/EC)."""
    text = spoilt("2031-02-14", "2031-03-29", spoilt('"-07:00"', '"Europe/Berlin"', TEXT))
    scenario = load(written(tmp_path, spoilt(STEADY, HIGH_LOW, text)))
    assert [time / HOUR for time in scenario.outdoors.track("air").times] == [-2.5, 11.5, 20.5]
    assert scenario.night.seconds == 13 * HOUR


@given(scenarios())
def test_generated_weather_covers_the_night_between_its_extremes(scenario):
    air, end = scenario.outdoors.track("air"), scenario.night.seconds
    if air.shape == "smooth":
        assert air.times[0] <= 0.0 and air.times[-1] >= end
        assert air.times[1] > 0.0 and air.times[-2] < end
    values = [air.at(end * n / 50) for n in range(51)]
    assert min(air.values) - 1e-9 <= min(values) <= max(values) <= max(air.values) + 1e-9
    steady = scenario.outdoors.steady
    if steady is not None:
        assert values == [steady + scenario.outdoors.shift] * 51


def test_shift_moves_the_air_by_a_difference(tmp_path):
    scenario = load(written(tmp_path, spoilt(STEADY, HIGH_LOW)))
    colder = scenario.replace("outdoors.shift", "-9 degF")  # 9 degF = 5 K, NIST SP 811
    assert colder.outdoors.track("air").values == pytest.approx((266.15, 248.15, 266.15))


def test_track_shapes():
    for shape, quarter, half in (("steps", 0.0, 0.0), ("lines", 2.0, 4.0), ("smooth", 1.25, 4.0)):
        track = Track((0.0, 1.0), (0.0, 8.0), shape)
        assert [track.at(t) for t in (-1.0, 0.0, 0.25, 0.5, 1.0, 9.0)] == [0.0, 0.0, quarter, half, 8.0, 8.0]
    jump = Track((0.0, 1.0, 1.0, 2.0), (0.0, 0.0, 5.0, 7.0), "lines")
    assert [jump.at(t) for t in (0.999, 1.0, 1.5)] == [0.0, 5.0, 6.0]


def test_a_file(tmp_path):
    scenario = load(written(tmp_path, with_file(tmp_path, range(0, 24))))
    air, wind = scenario.outdoors.track("air"), scenario.outdoors.track("wind")
    assert air.shape == wind.shape == "lines"
    assert (air.times[0], air.times[-1]) == (-0.5 * HOUR, 14.5 * HOUR)
    assert air.at(0.5 * HOUR) == pytest.approx(273.15 - 5 - 6 / 2)
    assert wind.at(0.0) == pytest.approx(2.5)  # 9 km/h
    assert scenario.outdoors.track("cloud") == Track((0.0,), (0.0,), "steps")
    assert scenario.repairs == scenario.outdoors.repairs


def test_a_file_names_its_own_zone(tmp_path):
    text = with_file(tmp_path, range(0, 30))
    scenario = load(written(tmp_path, spoilt('path = "air.csv"', 'path = "air.csv", zone = "-06:00"', text)))
    assert scenario.outdoors.track("air").at(0.5 * HOUR) == pytest.approx(273.15 - 5 - 7 / 2)


def test_a_file_of_an_overlay_is_found_beside_the_overlay(tmp_path):
    (tmp_path / "weather").mkdir()
    with_file(tmp_path / "weather", range(0, 24))
    overlay = written(tmp_path / "weather", f'[outdoors]\nsteady = "none"\n{FILE}\n', "file.toml")
    scenario = load(written(tmp_path), overlays=[overlay])
    assert scenario.outdoors.file.path == tmp_path / "weather" / "air.csv"
    for text in (scenario.given, scenario.effective):
        assert 'path = "weather/air.csv"' in text
        assert load(written(tmp_path, text, "again.toml")) == scenario


def test_a_path_in_a_setting_counts_from_the_working_folder(tmp_path, monkeypatch):
    (tmp_path / "here").mkdir()
    with_file(tmp_path / "here", range(0, 24))
    (tmp_path / "here" / "air.csv").rename(tmp_path / "here" / "b.csv")
    text = with_file(tmp_path, range(0, 24))
    monkeypatch.chdir(tmp_path / "here")
    camp = written(tmp_path, text)
    assert load(camp, settings=["outdoors.file.path=b.csv"]).outdoors.file.path == tmp_path / "here" / "b.csv"
    assert load(camp).outdoors.file.path == tmp_path / "air.csv"


def test_a_changed_file_is_read_again(tmp_path):
    camp = written(tmp_path, with_file(tmp_path, range(0, 24)))
    before = load(camp).outdoors.track("air").at(0.0)
    with_file(tmp_path, range(0, 24), row="{when},-30.0,9.0")
    assert load(camp).outdoors.track("air").at(0.0) == pytest.approx(243.15) != before


@pytest.mark.parametrize(
    ("hours", "missing"),
    [
        (range(6, 24), "2031-02-14 17:30 to 18:00"),
        (range(0, 15), "2031-02-15 02:00 to 07:30"),
        ([*range(0, 8), *range(12, 24)], "2031-02-14 19:00 to 00:00"),
        ([0, *range(6, 24)], "2031-02-14 17:30 to 18:00"),
        (range(30, 40), "2031-02-14 17:30 to 07:30"),
        ([0, 1], "2031-02-14 17:30 to 07:30"),
    ],
)
def test_missing_hours_are_named(tmp_path, hours, missing):
    fault = the_fault(tmp_path, with_file(tmp_path, hours))
    assert fault.key == "outdoors.file.path"
    assert fault.line
    assert missing in fault.what


def test_several_holes_are_named_at_once(tmp_path):
    fault = the_fault(tmp_path, with_file(tmp_path, [*range(6, 8), *range(12, 18)]))
    assert "17:30 to 18:00, 2031-02-14 19:00 to 00:00, 2031-02-15 05:00 to 07:30" in fault.what


def test_a_gap_of_three_hours_is_bridged(tmp_path):
    load(written(tmp_path, with_file(tmp_path, range(3, 27, 3))))


def test_values_out_of_range_in_a_file(tmp_path):
    fault = the_fault(tmp_path, with_file(tmp_path, range(0, 24), row="{when},{air},99"))
    assert 'column "W" has 27.5 m/s at 2031-02-14 17:00' in fault.what
    assert "25 m/s" in fault.allowed


@pytest.mark.parametrize(
    ("old", "new", "key", "word"),
    [
        ('air = "T"', 'air = "Temp"', "outdoors.file.path", "Temp"),
        ("air.csv", "ear.csv", "outdoors.file.path", "not exist"),
        ('wind = "km/h"', 'wind = "kg"', "outdoors.file.units.wind", "a mass"),
        (', wind = "km/h"', "", "outdoors.file.columns.wind", "no unit"),
        ('wind = "W"', 'cloud = "W"', "outdoors.file.columns.cloud", "no unit"),
        ('air = "T", ', "", "outdoors.file.columns.air", "missing"),
        ("units = {", "unit = {", "outdoors.file.unit", "units meant"),
        ('path = "air.csv", ', "", "outdoors.file.path", "missing"),
        ('"air.csv"', "7", "outdoors.file.path", "path of a file"),
    ],
)
def test_faults_of_a_file(tmp_path, old, new, key, word):
    found = faults(tmp_path, spoilt(old, new, with_file(tmp_path, range(0, 24))))
    assert any(fault.key == key and word in str(fault) for fault in found), list(map(str, found))


def heat(folder, entries, between="steps"):
    table = ", ".join(f'{{ at = "{at}", power = "{power} W" }}' for at, power in entries)
    text = TEXT[: TEXT.index("table = [")] + f'between = "{between}"\ntable = [{table}]\n'
    return load(written(folder, text)).heat.track()


def test_heat_holds_each_step_and_is_nothing_before_the_first(tmp_path):
    track = heat(tmp_path, [("18:30", 1000), ("02:30", 500)])
    assert track == Track((0.0, HOUR, 9 * HOUR), (0.0, 1000.0, 500.0), "steps")
    assert [track.at(h * HOUR) for h in (0, 0.99, 1, 8.9, 9, 14)] == [0, 0, 1000, 1000, 500, 500]


def test_heat_in_lines_jumps_to_its_first_entry(tmp_path):
    track = heat(tmp_path, [("18:30", 1000), ("20:30", 3000)], "lines")
    assert track == Track((0.0, HOUR, HOUR, 3 * HOUR), (0.0, 0.0, 1000.0, 3000.0), "lines")
    assert [track.at(h * HOUR) for h in (0.99, 1, 2, 3, 14)] == [0, 1000, 2000, 3000, 3000]


def test_heat_from_the_begin_on(tmp_path):
    assert heat(tmp_path, [("17:30", 100)], "lines") == Track((0.0,), (100.0,), "lines")


def heat_file(folder, rows, options=""):
    (folder / "heat.csv").write_text("clock;P\n" + "\n".join(rows) + "\n", encoding="utf-8")
    table = f'file = {{ path = "heat.csv", time = "clock", power = "P", unit = "kW"{options} }}\n'
    return TEXT[: TEXT.index("table = [")] + 'between = "lines"\n' + table


def test_heat_from_a_file(tmp_path):
    text = heat_file(tmp_path, ["2031-02-14 18:30;1,5", "2031-02-14 20:30;2,5", "2031-02-15 12:00;0,5"])
    track = load(written(tmp_path, text)).heat.track()
    assert track.times[:3] == (0.0, HOUR, HOUR)
    assert [track.at(h * HOUR) for h in (0.5, 1, 2)] == [0.0, 1500.0, 2000.0]


@pytest.mark.parametrize(
    ("rows", "options", "key", "word"),
    [
        (["2031-02-15 08:30;1,5"], "", "heat.file.path", "no power within the night"),
        (["2031-02-14 16:30;1,5", "2031-02-14 17:29;1"], "", "heat.file.path", "no power within the night"),
        (["2031-02-14 18:30;-1,5"], "", "heat.file.path", "0 W to 50 kW"),
        (["2031-02-14 18:30;1,5"], ', zone = "nowhere"', "heat.file.zone", "zone"),
    ],
)
def test_faults_of_a_heat_file(tmp_path, rows, options, key, word):
    fault = the_fault(tmp_path, heat_file(tmp_path, rows, options))
    assert fault.key == key
    assert word in str(fault)


def hours_of_heat(folder, *stamps):
    """What a scenario tells whose file of heat has a row at each of the moments."""
    return load(written(folder, heat_file(folder, [f"{stamp};1,5" for stamp in stamps]))).repairs


def test_a_heat_table_that_begins_late_is_told(tmp_path):
    late = spoilt('{ at = "17:30", power = "1.5 kW" },\n', "")
    told = ("The table of heat begins at 22:00: no heat is released before.",)
    assert load(written(tmp_path, late)).repairs == told
    assert load(written(tmp_path)).repairs == ()


def test_a_heat_file_that_begins_late_or_ends_early_is_told(tmp_path):
    inside = [f"2031-02-14 {hour}:30" for hour in (17, 20, 23)] + ["2031-02-15 02:30", "2031-02-15 05:30"]
    decimal = 'heat.csv: Decimal commas in column "P" read as points: '
    assert hours_of_heat(tmp_path, *inside, "2031-02-15 07:00") == (f"{decimal}6.",)  # half an hour short
    assert hours_of_heat(tmp_path, "2031-02-14 17:31", *inside[1:], "2031-02-15 08:00")[1:] == (
        "heat.csv begins at 17:31: no heat is released before.",
    )
    assert hours_of_heat(tmp_path, *inside, "2031-02-15 06:59")[1:] == (
        "heat.csv ends at 06:59: its last power is held until the end.",
    )
    assert hours_of_heat(tmp_path, "2031-02-14 18:00", "2031-02-14 19:00")[1:] == (
        "heat.csv begins at 18:00: no heat is released before.",
        "heat.csv ends at 19:00: its last power is held until the end.",
    )


def test_hours_that_a_heat_file_leaves_out_are_told(tmp_path):
    stamps = [
        "2031-02-14 17:30",
        "2031-02-14 20:30",
        "2031-02-15 00:00",
        "2031-02-15 03:00",
        "2031-02-15 07:00",
    ]
    told = hours_of_heat(tmp_path, *stamps)
    missing = [line for line in told if "no entry" in line]
    assert missing == [
        "heat.csv has no entry from 20:30 to 00:00.",
        "heat.csv has no entry from 03:00 to 07:00.",
    ]


def test_what_was_mended_names_its_file(tmp_path):
    text = with_file(tmp_path, range(0, 24))
    rows = (tmp_path / "air.csv").read_text(encoding="utf-8").splitlines()
    (tmp_path / "air.csv").write_text("\n".join([rows[0], "", *rows[1:]]) + "\n", encoding="utf-8")
    repairs = load(written(tmp_path, text)).repairs
    assert repairs == ("air.csv: Empty lines passed over: 1.",)


def test_a_forecast_is_shifted_no_further_than_allowed(tmp_path):
    air = 'steady = "-10 degC"\nspread = "3 K"\nshift = '
    for shift, low, high in (("0 K", -3.0, 3.0), ("39 K", 36.0, 40.0), ("-38 K", -40.0, -35.0)):
        scenario = load(written(tmp_path, spoilt('steady = "-10 degC"', f'{air}"{shift}"')))
        (prior,) = [prior for prior in scenario.priors() if prior.key == "outdoors.shift"]
        ends = [scenario.replace(change).outdoors.shift for change in (prior.low, prior.high)]
        assert ends == pytest.approx([low, high], abs=1e-9)


def test_moments_are_in_utc(tmp_path):
    begin = load(written(tmp_path)).night.begin_utc
    assert begin.isoformat() == "2031-02-15T00:30:00+00:00"
    assert math.isclose(begin.timestamp(), datetime.fromisoformat("2031-02-14T17:30:00-07:00").timestamp())
