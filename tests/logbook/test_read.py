"""Reading logs: every fault of loggers and their files has a small invented file here; nothing measured."""

from datetime import UTC, date, datetime

import pytest

from simtent.errors import InputError
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.logbook.files import OPEN, TEXT, camp, log_table, logged, refused, rows, told
from tests.scenario.example import the_fault, written

C0 = 273.15
AT_20 = datetime(2031, 2, 15, 3, 0, tzinfo=UTC).timestamp()  # 20:00 at -07:00
TWO = '{ A = "head", B = "outdoors" }'


def celsius(found, place="head"):
    return [kelvin - C0 for kelvin in found.sensors[place].kelvin]


def minutes(found, place="head"):
    return [(it - AT_20) / 60.0 for it in found.sensors[place].seconds]


def test_plain(tmp_path):
    found = logged(tmp_path, rows([10, 10.5, 11]))
    assert celsius(found) == pytest.approx([10, 10.5, 11]) and minutes(found) == pytest.approx([0, 1, 2])
    assert found.repairs == () and found.doubts == () and not found.in_the_open
    assert found.evening == date(2031, 2, 14)


@pytest.mark.parametrize("separator", [";", "\t"])
def test_separators_and_decimal_commas(tmp_path, separator):
    text = rows(["10,5", "11,25"]).replace("00,", "00;").replace("01,", "01;").replace("when,", "when;")
    found = logged(tmp_path, text.replace(";", separator))
    assert celsius(found) == pytest.approx([10.5, 11.25])
    assert told(found.repairs, "Decimal commas", ": 2.")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_marks_and_encodings(tmp_path, encoding):
    text = rows([10, 11], header="when,T (°C)")
    mark = "\ufeff" if encoding[-2:] in ("le", "be") else ""
    found = logged(tmp_path, (mark + text).encode(encoding), unit='"header"')
    assert celsius(found) == pytest.approx([10, 11]) and told(found.repairs, "Byte-order marks", ": 1.")


def test_windows_text(tmp_path):
    found = logged(tmp_path, rows([50, 51], header="when,T (°F)").encode("cp1252"), unit='"header"')
    assert celsius(found) == pytest.approx([10.0, 10.0 + 5 / 9]) and told(found.repairs, "Windows-1252")


def test_header_over_several_lines(tmp_path):
    text = "Logger 7\nserial,12\n\n" + rows([50, 59]).replace("when,T\n", "when,T\nlocal,degF\n")
    found = logged(tmp_path, text, unit='"header"')
    assert celsius(found) == pytest.approx([10, 15])
    assert told(found.repairs, "Lines above the header", ": 3.") and told(
        found.repairs, "beneath its first", ": 1."
    )


def test_date_and_clock_apart(tmp_path):
    text = "Date,Time,T\n2031-02-14,20:00,10\n2031-02-14,20:05,11\n"
    assert minutes(logged(tmp_path, text, time='["Date", "Time"]')) == pytest.approx([0, 5])


def test_different_sampling_takes_nothing_from_others(tmp_path):
    text = rows(["10,-5", "11,", "12,", "13,-6"], header="when,A,B")
    found = logged(tmp_path, text, sensors=TWO)
    assert minutes(found) == pytest.approx([0, 1, 2, 3]) and minutes(found, "outdoors") == pytest.approx(
        [0, 3]
    )
    assert told(found.repairs, "column B", "Rows left out", ": 2.")


def test_one_file_for_each_sensor_with_clocks_of_their_own(tmp_path):
    (tmp_path / "out.csv").write_text(rows([-5, -6], begin=20 * 60 + 4), encoding="utf-8")
    second = log_table(file='"out.csv"', sensors='{ T = "outdoors" }', clock_ahead='"4 min"')
    scenario = camp(tmp_path, rows([10, 11]), TEXT + second)
    found = read_log(scenario, date(2031, 2, 14))
    assert minutes(found) == minutes(found, "outdoors") == pytest.approx([0, 1])
    assert (
        list(read_log(scenario, scenario.log[0]).sensors)
        == list(read_log(scenario, 1).sensors)
        == ["outdoors"]
    )
    dataset = found.to_dataset()
    assert dataset["temperature"].sel(sensor="outdoors").values == pytest.approx([-5, -6])


def test_the_same_place_twice_of_an_evening(tmp_path):
    scenario = camp(tmp_path, rows([10, 11]), TEXT + log_table())
    with pytest.raises(InputError, match='"head" stands in two files'):
        read_log(scenario, date(2031, 2, 14))


@pytest.mark.parametrize(
    ("header", "values", "expected"),
    [
        ("T (°F)", [50, 59], [10, 15]), ("T [degC]", [50, 59], [50, 59]), ("T, K", [283.15, 288.15], [10, 15]),
        ("T deg F", [50, 59], [10, 15]), ("T/Celsius", [50, 59], [50, 59]), ("T_F", [50, 59], [10, 15]),
        ("T ℉", [50, 59], [10, 15]),
    ],
)  # fmt: skip
def test_unit_of_the_header(tmp_path, header, values, expected):
    text = rows(values, header=f'when;"{header}"').replace(",", ";", 0)
    text = "\n".join([text.split("\n")[0], *(line.replace(",", ";") for line in text.split("\n")[1:])])
    found = logged(tmp_path, text, unit=None, sensors=f'{{ "{header}" = "head" }}')
    assert celsius(found) == pytest.approx(expected)


def test_a_header_may_go_on_with_its_unit(tmp_path):
    assert celsius(logged(tmp_path, rows([50, 59], header="when,T (F)"), unit=None)) == pytest.approx(
        [10, 15]
    )


def test_no_unit_anywhere(tmp_path):
    fault = refused(tmp_path, rows([50, 59]), unit=None).faults[0]
    assert "names no unit" in fault.what and "guess" in fault.todo and fault.key == "log[1].unit"


@pytest.mark.parametrize(("head", "out", "unit"), [(86, 5, "degF"), (30, -25, "degC"), (303.15, 248.15, "K")])
def test_a_guess_is_told(tmp_path, head, out, unit):
    text = rows([f"{head},{out}"] * 3, header="when,A,B")
    found = logged(tmp_path, text, sensors=TWO, unit='"guess"')
    factor, zero = {"degF": (5 / 9, 459.67 * 5 / 9), "degC": (1, C0), "K": (1, 0)}[unit]
    assert found.sensors["head"].kelvin[0] == pytest.approx(head * factor + zero)
    assert told(found.doubts, "guessed", unit, "no other is likely")


def test_a_guess_with_two_readings_is_refused_with_both(tmp_path):
    fault = refused(tmp_path, rows([44, 50]), unit='"guess"').faults[0]
    assert "two units are likely" in fault.what
    assert "44 to 50 degF is 7 to 10 degC" in fault.what and "44 to 50 degC is 44 to 50 degC" in fault.what


def test_a_guess_without_a_reading_is_refused(tmp_path):
    assert "no unit is likely" in refused(tmp_path, rows([160, 161]), unit='"guess"').faults[0].what


def test_a_stated_unit_is_held_against_what_is_likely(tmp_path):
    assert told(logged(tmp_path, rows([86, 90])).doubts, 'Unlikely of "head"', "86 to 90 degC")
    found = logged(tmp_path, rows([50, 51], header="when,T (F)"), unit='"degC"')
    assert told(found.doubts, "says degF", "read in degC") and celsius(found) == pytest.approx([50, 51])


def test_below_absolute_zero(tmp_path):
    assert "absolute zero" in refused(tmp_path, rows([10, -300])).faults[0].what


@pytest.mark.parametrize("zone", ['"Europe/Berlin"', '"+01:00"'])
def test_zone_of_the_file(tmp_path, zone):
    found = logged(tmp_path, rows([10], form="2031-02-15 {:02d}:{:02d}", begin=240), zone=zone)
    assert minutes(found) == pytest.approx([0])


def test_an_hour_that_the_clock_repeats(tmp_path):
    stamps = ["01:30", "01:45", "01:00", "01:15"]
    text = "when,T\n" + "".join(f"2031-11-02 {stamp},{10 + at}\n" for at, stamp in enumerate(stamps))
    found = logged(tmp_path, text, zone='"America/Denver"', evening='"2031-11-01"')
    begin = datetime(2031, 11, 2, 7, 30, tzinfo=UTC).timestamp()  # 01:30 at -06:00
    assert [(it - begin) / 60 for it in found.sensors["head"].seconds] == pytest.approx([0, 15, 30, 45])
    assert told(found.repairs, "repeats", ": 4.")


def test_an_hour_that_the_clock_leaves_out(tmp_path):
    error = refused(tmp_path, "when,T\n2031-03-09 02:30,5\n", zone='"America/Denver"', evening='"2031-03-08"')
    assert error.faults[0].line == 2 and "does not exist" in error.faults[0].what


def test_twelve_hour_clock(tmp_path):
    text = "when,T\n2/14/2031 11:59 PM,10\n2/15/2031 12:01 AM,11\n2/15/2031 1:00 AM,12\n"
    assert minutes(logged(tmp_path, text)) == pytest.approx([239, 241, 300])


def test_twelve_hour_clock_without_am_and_pm(tmp_path):
    text = "when,T\n" + "".join(f"2031-02-14 {hour:02d}:30,{10 + hour}\n" for hour in (11, 12, 1, 2))
    fault = refused(tmp_path, text).faults[0]
    assert fault.line == 4 and "am or pm" in fault.what and "12:30 to 01:30" in fault.what


def test_order_of_day_and_month_is_refused_with_both_readings(tmp_path):
    fault = refused(tmp_path, "when,T\n03/04/2031 20:00,10\n03/04/2031 20:01,11\n").faults[0]
    assert (
        fault.line == 2 and "3 April 2031 or 4 March 2031" in fault.what and fault.value.startswith("03/04")
    )


def test_order_of_day_and_month_that_one_row_shows(tmp_path):
    text = "when,T\n03/04/2031 23:59,10\n13/04/2031 00:01,11\n"
    found = logged(tmp_path, text, evening='"2031-04-03"')
    assert told(found.repairs, "day first") and told(found.doubts, "after the next noon, kept: 1.")
    assert len(found.sensors["head"].kelvin) == 2


def test_gaps_are_told(tmp_path):
    text = rows(range(10, 20)) + "2031-02-14 23:00,5\n"
    assert told(logged(tmp_path, text).repairs, "Gaps", "the longest 2:51:00", ": 1")


def test_duplicates_are_averaged_where_they_agree_and_refused_where_not(tmp_path):
    found = logged(tmp_path, rows([10, 11]) + "2031-02-14 20:01,12\n")
    assert celsius(found) == pytest.approx([10, 11.5]) and told(found.repairs, "averaged", ": 1.")
    fault = refused(tmp_path, rows([10, 11]) + "2031-02-14 20:01,31\n").faults[0]
    assert fault.line == 4 and "line 3" in fault.what


def test_rows_out_of_order_and_newest_first(tmp_path):
    found = logged(tmp_path, rows([10, 11, 12]) + "2031-02-14 19:59,9\n")
    assert celsius(found) == pytest.approx([9, 10, 11, 12]) and told(found.repairs, "step back", ": 1.")
    head, *lines = rows([10, 11, 12]).splitlines()
    found = logged(tmp_path, "\n".join([head, *reversed(lines)]))
    assert celsius(found) == pytest.approx([10, 11, 12]) and told(found.repairs, "newest first", ": 3.")


@pytest.mark.parametrize("word", ["", "---", "NaN", "Err", "OL", "-999"])
def test_missing_values_are_counted(tmp_path, word):
    found = logged(tmp_path, rows([10, word, 12]))
    assert celsius(found) == pytest.approx([10, 12]) and told(found.repairs, "Rows left out", ": 1.")


def test_a_stuck_sensor_is_flagged_and_kept(tmp_path):
    text = rows(
        [f"{20.0 if 10 <= at <= 80 else 15 + at / 10},{-5 - at / 10}" for at in range(100)], header="when,A,B"
    )
    found = logged(tmp_path, text, sensors=TWO)
    suspect = found.sensors["head"].suspect
    assert len(suspect) == 100 and [at for at, it in enumerate(suspect) if it] == list(range(10, 81))
    assert told(found.doubts, "stuck", '"head"', ": 71.") and not any(found.sensors["outdoors"].suspect)


def test_a_steady_night_is_not_stuck(tmp_path):
    found = logged(tmp_path, rows(["10,-5"] * 100, header="when,A,B"), sensors=TWO)
    assert found.doubts == () and not any(found.sensors["head"].suspect)


def test_the_only_sensor_may_stand_still_for_three_hours(tmp_path):
    found = logged(tmp_path, rows([10 if 20 <= at <= 201 else at / 10 for at in range(230)], begin=18 * 60))
    assert sum(found.sensors["head"].suspect) == 182 and told(found.doubts, "for hours", "stuck", ": 182.")
    found = logged(tmp_path, rows([10 if 20 <= at <= 199 else at / 10 for at in range(230)], begin=18 * 60))
    assert not any(found.sensors["head"].suspect)


def test_a_spike_is_flagged_and_kept(tmp_path):
    found = logged(tmp_path, rows([10, 10.1, 45, 10.3, 10.4, 20, 30]))
    assert found.sensors["head"].suspect == (False, False, True, False, False, False, False)
    assert celsius(found)[2] == pytest.approx(45) and told(found.doubts, "spikes", "20:02", ": 1.")


def test_a_door_that_warm_air_leaves_slowly_is_no_spike(tmp_path):
    found = logged(tmp_path, rows([10, 10, 30, 18, 14, 12]))
    assert not any(found.sensors["head"].suspect) and found.doubts == ()


def test_what_a_stove_does_is_no_spike(tmp_path):
    found = logged(tmp_path, rows([200, 260, 210]), sensors='{ T = "stove" }')
    assert not any(found.sensors["stove"].suspect)


@pytest.mark.parametrize(("ahead", "shift", "way"), [("4 min", -4, "ahead"), ("-90 s", 1.5, "behind")])
def test_a_clock_that_is_wrong(tmp_path, ahead, shift, way):
    found = logged(tmp_path, rows([10, 11]), clock_ahead=f'"{ahead}"')
    assert minutes(found) == pytest.approx([shift, shift + 1]) and told(found.repairs, way, ": 2.")


def test_a_clock_that_drifts(tmp_path):
    found = logged(tmp_path, rows([10, 11], step=120), clock_ahead='"1 min"', drift='"60 s"')
    true = (120 * 60.0) / (1.0 + 60.0 / 86400.0) / 60.0 - 1.0
    assert minutes(found) == pytest.approx([-1, true]) and told(found.repairs, "gains 60 s a day", ": 2.")


def test_another_night(tmp_path):
    fault = refused(tmp_path, rows([10, 11]), evening='"2031-02-20"').faults[0]
    assert "no reading is of that night" in fault.what and "2031-02-14 20:00" in fault.what
    assert fault.key == "log[1].evening"


def test_one_reading_is_a_doubt(tmp_path):
    assert told(logged(tmp_path, rows([10])).doubts, "one reading only")


@pytest.mark.parametrize("text", [TEXT, OPEN])
def test_a_burn_in_the_open(tmp_path, text):
    sensors = '{ T = "stove" }'
    scenario = camp(tmp_path, rows([200, 260]), text, shelter='"none"', sensors=sensors)
    assert scenario.log[0].in_the_open and read_log(scenario).in_the_open
    assert load(written(tmp_path, scenario.effective)) == scenario


@pytest.mark.parametrize(
    ("data", "what"),
    [(b"", "empty"), (b"PK\x03\x04\x00\x00", "not a text file"), (b"when,X\n2031-02-14 20:00,1\n", 'called "T"'),
     (b"when,T\nyesterday at 8,10\n", "cannot be read"), (b"when,T\n2031-02-14 20:00,warm\n", "cannot be read")],
)  # fmt: skip
def test_files_that_are_none(tmp_path, data, what):
    assert what in str(refused(tmp_path, data))


def test_a_file_that_is_not_there(tmp_path):
    scenario = camp(tmp_path, "", file='"other.csv"')
    with pytest.raises(InputError, match="does not exist"):
        read_log(scenario)


def test_no_such_log(tmp_path):
    scenario = camp(tmp_path, rows([10]))
    for which in (0, -1, 2, date(2031, 1, 1)):
        with pytest.raises(InputError, match=r"no such log.*1 \(2031-02-14\)"):
            read_log(scenario, which)


# The scenario


@pytest.mark.parametrize(
    ("given", "key", "words"),
    [
        (
            {"sensors": '{ T = "haed" }'},
            "log[1].sensors.T",
            ['no place is called "haed"', "outdoors", '"head"'],
        ),
        (
            {"sensors": '{ T = "rafter" }'},
            "log[1].sensors.T",
            ["[levels] takes names of your own", 'rafter = "1.4 m"'],
        ),
        ({"sensors": '{ T = "head", U = "head" }'}, "log[1].sensors.U", ["two columns"]),
        ({"sensors": "{}"}, "log[1].sensors", ["no column"]),
        ({"sensors": None}, "log[1].sensors", ["required key"]),
        ({"unit": '"F"'}, "log[1].unit", ["degF"]),
        ({"time": '["a", "b", "c"]'}, "log[1].time", ["one column", "or of two"]),
        ({"clock_ahead": '"4 days"'}, "log[1].clock_ahead", ["out of range"]),
        ({"shelter": '"none"'}, "log[1].sensors.T", ["outdoors, stove, pipe"]),
        ({"zome": '"UTC"'}, "log[1].zome", ["unknown key", "zone"]),
    ],
)
def test_faults_of_the_table(tmp_path, given, key, words):
    fault = the_fault(tmp_path, TEXT + log_table(**given))
    assert fault.key == key and fault.line and all(word in str(fault) for word in words)


def test_paths_count_from_the_file_and_are_kept(tmp_path):
    scenario = camp(tmp_path, rows([10]))
    assert scenario.log[0].file == tmp_path / "night.csv"
    assert (
        'file = "night.csv"' in scenario.effective and load(written(tmp_path, scenario.effective)) == scenario
    )


def test_dataset(tmp_path):
    text = rows(["10,-5", "11,"], header="when,A,B")
    dataset = logged(tmp_path, text, sensors=TWO).to_dataset()
    assert (
        dataset["temperature"].dims == ("time", "sensor") and dataset["temperature"].attrs["units"] == "degC"
    )
    assert dataset["temperature"].values[0] == pytest.approx([10, -5])
    assert str(dataset["time"].values[0]) == "2031-02-15T03:00:00.000000000"
    assert dataset["temperature"].isnull().values.sum() == 1 and "Rows left out" in dataset.attrs["repairs"]
