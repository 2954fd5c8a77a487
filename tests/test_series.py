"""The reader of dated columns: every form it reads, every repair it tells, everything it refuses.

Clock changes are held to the published rules: the European Union changes at 01:00 UTC on the last Sundays of
March and October (Directive 2000/84/EC), the United States at 02:00 local time on the second Sunday of March
and the first of November (Energy Policy Act of 2005). Plain files are also held to pandas.
"""

import io
import tempfile
import time
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import InputError
from simtent.series import Column, Series, read_series
from simtent.stamps import zone_from_text

FIXED = timezone(timedelta(hours=-7))
EUROPE = ZoneInfo("Europe/Berlin")
AMERICA = ZoneInfo("America/Denver")
AIR = {"air": Column("T", "temperature", "degC")}
BOTH = {**AIR, "wind": Column("W", "speed", "km/h")}


def read(text: str | bytes, zone=FIXED, columns=AIR, **options: str) -> Series:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_series(path, time="when", columns=columns, zone=zone, **options)


def refused(text: str | bytes, zone=FIXED, columns=AIR, **options: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read(text, zone, columns, **options)
    assert all(fault.file and fault.file.endswith("log.csv") for fault in caught.value.faults)
    return caught.value


def rows(*stamps: str) -> str:
    """A file with the given times and the air temperature 0, 0.1, 0.2 ... degC."""
    return "when,T\n" + "".join(f"{stamp},{at / 10}\n" for at, stamp in enumerate(stamps))


def utc(*texts: str) -> tuple[datetime, ...]:
    return tuple(datetime.fromisoformat(text).replace(tzinfo=UTC) for text in texts)


def told(series: Series, words: str) -> bool:
    return any(words in repair for repair in series.repairs)


# Forms of the table


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_separators_and_line_ends(separator: str, ending: str) -> None:
    table = [
        ["when", "x", "T", "W"],
        ["2031-02-14 17:00", "a", "-5.5", "3.6"],
        ["2031-02-14 18:00", '"b c"', "1", "36"],
    ]
    series = read(ending.join(separator.join(row) for row in table) + ending, columns=BOTH)
    assert series.times == utc("2031-02-15 00:00", "2031-02-15 01:00")
    assert series.values["air"] == pytest.approx((267.65, 274.15))
    assert series.values["wind"] == pytest.approx((1.0, 10.0))
    assert series.repairs == ()


def test_plain_file_equals_pandas() -> None:
    start = datetime(2031, 2, 14, 17)
    text = "when,T\n" + "".join(
        f"{start + timedelta(minutes=7 * at)},{at % 13 - 20.25}\n" for at in range(500)
    )
    series = read(text, AMERICA)
    frame = pd.read_csv(io.StringIO(text), parse_dates=["when"])
    times = frame["when"].dt.tz_localize("America/Denver").dt.tz_convert("UTC")
    assert list(series.times) == [moment.to_pydatetime() for moment in times]
    assert series.values["air"] == pytest.approx(frame["T"].to_numpy() + 273.15)


@pytest.mark.parametrize("separator", [";", "\t"])
def test_decimal_commas(separator: str) -> None:
    table = f"when{separator}T\n2031-02-14 17:00{separator}-5,5\n2031-02-14 18:00{separator}6\n"
    series = read(table)
    assert series.values["air"] == pytest.approx((267.65, 279.15))
    assert told(series, 'Decimal commas in column "T" read as points: 1.')


def test_decimal_commas_between_commas_are_refused() -> None:
    error = refused("when,T\n2031-02-14T17:00,3,5\n")
    assert error.faults[0].line == 2
    assert "semicolons" in str(error)


def test_commas_that_may_be_thousands_are_refused() -> None:
    power = {"heat": Column("P", "power", "W")}
    error = refused("when;P\n2031-02-14T17:00;1,500\n2031-02-14T18:00;2,500\n", columns=power)
    assert "thousands" in str(error)
    assert error.faults[0].line == 2
    series = read("when;P\n2031-02-14T17:00;1,500\n2031-02-14T18:00;0,500\n", columns=power)
    assert series.values["heat"] == pytest.approx((1.5, 0.5))


def test_commas_and_points_mixed_are_refused() -> None:
    error = refused("when;T\n2031-02-14T17:00;3.5\n2031-02-14T18:00;3,5\n")
    assert error.faults[0].line == 3
    assert "line 2" in str(error)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_byte_order_mark(encoding: str) -> None:
    series = read(rows("2031-02-14T17:00").encode(encoding))
    assert len(series.times) == 1
    assert told(series, "Byte-order marks at the start of the file passed over: 1.")


def test_windows_text_is_read_and_told() -> None:
    text = "when,T,Hüfte °C\n2031-02-14T17:00,1,2\n".encode("cp1252")
    series = read(text)
    assert told(series, "Lines read as Windows-1252, since the text is not in UTF-8: 3.")
    assert read(text, encoding="cp1252").repairs == ()


def test_wrong_encoding_is_refused() -> None:
    text = "when,T\n2031-02-14T17:00,1\n# °\n".encode("cp1252")
    assert refused(text, encoding="utf-8").faults[0].line == 3
    assert "no encoding" in str(refused(text, encoding="utf-99"))
    assert "not encoded in UTF-8" in str(refused(text + b"\x81"))


def test_lines_above_the_header_and_empty_lines() -> None:
    text = "A logger of our own\nserial;17\n\nwhen;T\n2031-02-14T17:00;1\n\n;;\n2031-02-14T18:00;2\n;3\n"
    series = read(text)
    assert len(series.times) == 2
    assert told(series, "Lines above the header passed over: 3.")
    assert told(series, "Empty lines passed over: 2.")
    assert told(series, "Rows without a time left out: 1.")


def test_line_numbers_count_preamble_and_quoted_line_breaks() -> None:
    text = 'note\nwhen,T,remark\n2031-02-14T17:00,1,"two\nlines"\n2031-02-14T18:00,x,\n'
    assert refused(text).faults[0].line == 5


def test_headers_in_another_case_or_spacing() -> None:
    assert read("WHEN , t\n2031-02-14T17:00,1\n").values["air"] == pytest.approx((274.15,))
    assert read("when,t,T\n2031-02-14T17:00,9,1\n").values["air"] == pytest.approx((274.15,))


# Times


FORMS = [
    "2031-02-14T17:00",
    "2031-02-14 17:00",
    "2031-02-14 17:00:00",
    "2031-02-14T17:00:00.000",
    "2031/02/14 17:00",
    "2031-02-14 5:00 PM",
    "2031-02-14 05:00:00 p.m.",
    "2031-02-15T00:00Z",
    "2031-02-15 00:00 UTC",
    "2031-02-14T17:00-07:00",
    "2031-02-14 17:00:00 -0700",
    "2031-02-15T01:00+01:00",
    "14/02/2031 17:00",
    "14.02.2031 17:00",
    "14-02-2031 17:00",
    "02/14/2031 17:00",
    "2/14/2031 5:00 pm",
    "14/02/2031, 17:00:00",
]


@pytest.mark.parametrize("stamp", FORMS)
def test_forms_of_one_moment(stamp: str) -> None:
    assert read(f"when;T\n{stamp};0\n").times == utc("2031-02-15 00:00")


@pytest.mark.parametrize(
    ("stamp", "moment"),
    [
        ("2031-02-14 12:30 AM", "2031-02-14 07:30"),
        ("2031-02-14 12:30 PM", "2031-02-14 19:30"),
        ("2031-02-14 11:59 PM", "2031-02-15 06:59"),
        ("2031-02-14 24:00", "2031-02-15 07:00"),
        ("14/02/2031 17:00:30.5", "2031-02-15 00:00:30.500"),
    ],
)
def test_hours_at_the_edges_of_the_day(stamp: str, moment: str) -> None:
    assert read(rows(stamp)).times == utc(moment)


def test_dates_without_an_hour_are_midnight_and_told() -> None:
    series = read(rows("2031-02-14", "2031-02-14 00:30"))
    assert series.times == utc("2031-02-14 07:00", "2031-02-14 07:30")
    assert told(series, "midnight: 1.")


@pytest.mark.parametrize(
    "stamp",
    [
        "2031-02-30 17:00",
        "2031-02-14 25:00",
        "2031-02-14 24:01",
        "2031-02-14 17:60",
        "2031-02-14 13:30 PM",
        "2031-02-14 0:30 AM",
        "14/02/31 17:00",
        "0031-02-14 17:00",
        "14 Feb 2031 17:00",
        "2031-02/14 17:00",
        "17:00",
        "45337.7",
        "soon",
    ],
)
def test_times_that_cannot_be_read(stamp: str) -> None:
    error = refused(rows("2031-02-14 17:00", stamp))
    assert error.faults[0].line == 3
    assert error.faults[0].value == stamp
    assert "2031-02-14 17:00" in str(error.faults[0].todo)


def test_one_clear_date_settles_day_and_month_for_the_file() -> None:
    series = read(rows("12/02/2031 23:00", "13/02/2031 00:00"))
    assert series.times == utc("2031-02-13 06:00", "2031-02-13 07:00")
    assert told(series, "with the day first, as line 3 shows")
    series = read(rows("02/12/2031 23:00", "02/13/2031 00:00"))
    assert series.times == utc("2031-02-13 06:00", "2031-02-13 07:00")
    assert told(series, "with the month first, as line 3 shows")


@pytest.mark.parametrize("stamp", ["03/02/2031 17:00", "3.2.2031 17:00", "03-02-2031 17:00"])
def test_ambiguous_dates_are_refused(stamp: str) -> None:
    error = refused(rows("02/02/2031 17:00", stamp))
    assert error.faults[0].line == 3
    assert "day or the month" in str(error)


def test_dates_the_same_either_way_are_read() -> None:
    assert read(rows("02/02/2031 17:00")).times == utc("2031-02-03 00:00")


def test_both_orders_in_one_file_are_refused() -> None:
    error = refused(rows("14/02/2031 17:00", "02/14/2031 18:00"))
    assert error.faults[0].line == 3
    assert "line 2" in str(error)


def test_times_with_and_without_offset_mixed_are_refused() -> None:
    error = refused(rows("2031-02-14 17:00", "2031-02-14 18:00Z"))
    assert error.faults[0].line == 3
    assert "mixed" in str(error)


def test_different_offsets_are_read_and_told() -> None:
    series = read(rows("2031-02-14 17:00-07:00", "2031-02-14 19:00-06:00", "2031-02-15 02:00Z"))
    assert series.times == utc("2031-02-15 00:00", "2031-02-15 01:00", "2031-02-15 02:00")
    assert told(series, "Different offsets from UTC, each read as it stands: 3.")


# Clock changes


AUTUMN = [
    "2031-10-26 01:30",
    "2031-10-26 02:00",
    "2031-10-26 02:30",
    "2031-10-26 02:00",
    "2031-10-26 02:30",
    "2031-10-26 03:00",
]
AUTUMN_UTC = utc(
    "2031-10-25 23:30",
    "2031-10-26 00:00",
    "2031-10-26 00:30",
    "2031-10-26 01:00",
    "2031-10-26 01:30",
    "2031-10-26 02:00",
)


def test_repeated_hour_is_told_apart_by_order() -> None:
    series = read(rows(*AUTUMN), EUROPE)
    assert series.times == AUTUMN_UTC
    assert told(series, "2031-10-26 in the hour that the clock of Europe/Berlin repeats, told apart")


def test_repeated_hour_newest_first() -> None:
    series = read(rows(*reversed(AUTUMN)), EUROPE)
    assert series.times == AUTUMN_UTC
    assert series.values["air"][0] > series.values["air"][-1]
    assert told(series, "newest first")


def test_repeated_hour_of_an_hourly_record() -> None:
    series = read(
        rows("2031-10-26 01:00", "2031-10-26 02:00", "2031-10-26 02:00", "2031-10-26 03:00"), EUROPE
    )
    assert series.times == utc("2031-10-25 23:00", "2031-10-26 00:00", "2031-10-26 01:00", "2031-10-26 02:00")


def test_repeated_hour_passed_once_is_read_as_the_first_and_told() -> None:
    series = read(rows("2031-10-26 01:30", "2031-10-26 02:30", "2031-10-26 03:30"), EUROPE)
    assert series.times == utc("2031-10-25 23:30", "2031-10-26 00:30", "2031-10-26 02:30")
    assert told(series, "first passage: 1.")


@pytest.mark.parametrize("order", [(0, 1, 3, 2, 4, 5), (1, 0, 2, 3, 4, 5)])
def test_repeated_hour_out_of_order_is_refused(order: tuple[int, ...]) -> None:
    error = refused(rows(*(AUTUMN[at] for at in (*order, 2, 1))), EUROPE)
    assert "cannot be told apart" in str(error)
    assert error.faults[0].line


def test_american_autumn() -> None:
    series = read(
        rows("2031-11-02 00:30", "2031-11-02 01:30", "2031-11-02 01:30", "2031-11-02 02:30"), AMERICA
    )
    assert series.times == utc("2031-11-02 06:30", "2031-11-02 07:30", "2031-11-02 08:30", "2031-11-02 09:30")


@pytest.mark.parametrize(
    ("stamp", "zone"),
    [("2031-03-30 02:00", EUROPE), ("2031-03-30 02:59", EUROPE), ("2031-03-09 02:30", AMERICA)],
)
def test_time_skipped_in_spring_is_refused(stamp: str, zone: ZoneInfo) -> None:
    error = refused(rows(stamp[:11] + "01:30", stamp, stamp[:11] + "03:30"), zone)
    assert error.faults[0].line == 3
    assert error.faults[0].value == stamp
    assert "does not exist" in str(error)


def test_spring_night_is_an_hour_shorter() -> None:
    series = read(rows("2031-03-30 01:30", "2031-03-30 03:00"), EUROPE)
    assert series.times == utc("2031-03-30 00:30", "2031-03-30 01:00")


@given(
    st.sampled_from(["2031-03-29", "2031-10-25", "2031-03-08", "2031-11-01", "2031-07-01", "2031-04-05"]),
    st.sampled_from([EUROPE, AMERICA, ZoneInfo("Australia/Lord_Howe"), ZoneInfo("America/Havana")]),
    st.sampled_from([1, 5, 10, 15, 30]),
    st.booleans(),
)
def test_local_record_of_a_day_and_a_half_comes_back(
    day: str, zone: ZoneInfo, minutes: int, newest_first: bool
) -> None:
    start = datetime.fromisoformat(day).replace(tzinfo=UTC)
    times = [start + timedelta(minutes=minutes * at) for at in range(36 * 60 // minutes)]
    stamps = [moment.astimezone(zone).replace(tzinfo=None).isoformat() for moment in times]
    series = read(rows(*(reversed(stamps) if newest_first else stamps)), zone)
    assert list(series.times) == times


# Zones


@pytest.mark.parametrize(
    ("text", "hours"),
    [("-07:00", -7), ("\u221207:00", -7), ("+05:30", 5.5), ("UTC", 0), ("Europe/Berlin", 1), (" +00:00 ", 0)],
)
def test_zones(text: str, hours: float) -> None:
    assert datetime(2031, 1, 1, tzinfo=zone_from_text(text)).utcoffset() == timedelta(hours=hours)


@pytest.mark.parametrize(
    ("text", "todo"),
    [
        ("Europe/Berln", '"Europe/Berlin"'),
        ("europe/berlin", '"Europe/Berlin"'),
        ("Berlin", '"Europe/Berlin"'),
        ("UTC+1", '"+01:00"'),
        ("-7:00", '"-07:00"'),
        ("-0700", '"-07:00"'),
        ("+7", '"+07:00"'),
        ("+15:00", "-14:00"),
        ("+01:75", "-14:00"),
        ("MST", "several clocks; write the offset"),
        ("CEST", "several clocks; write the offset"),
        ("Europe", "IANA"),
        ("../etc", "IANA"),
        ("", "IANA"),
    ],
)
def test_zones_refused(text: str, todo: str) -> None:
    with pytest.raises(InputError) as caught:
        zone_from_text(text)
    assert todo in str(caught.value)


# Repairs


def test_missing_values_leave_out_their_rows() -> None:
    lines = ["T17:00,1,1", "T18:00,,1", "T19:00,NaN,n/a", "T20:00,2,3", "T21:00"]
    text = "when,T,W\n" + "".join(f"2031-02-14{line}\n" for line in lines)
    series = read(text, columns=BOTH)
    assert series.times == utc("2031-02-15 00:00", "2031-02-15 03:00")
    assert told(series, 'Values missing in column "T": 3.')
    assert told(series, 'Values missing in column "W": 2.')
    assert told(series, "Rows left out because a wanted value is missing: 3.")


def test_marks_of_missing_values() -> None:
    series = read("when,T\n2031-02-14T17:00,-9999.9\n2031-02-14T18:00,-999\n2031-02-14T19:00,3\n")
    assert len(series.times) == 1
    assert told(series, 'in column "T", taken as missing: 2.')


def test_a_column_without_any_number_is_refused() -> None:
    assert "no row has a number" in str(refused("when,T\n2031-02-14T17:00,\n2031-02-14T18:00,--\n"))


def test_rows_of_the_same_time_are_averaged() -> None:
    series = read(
        "when,T\n2031-02-14T17:00,1\n2031-02-14T17:00,2\n2031-02-14T18:00,3\n2031-02-14T17:00,1.5\n"
    )
    assert series.values["air"] == pytest.approx((274.65, 276.15))
    assert told(series, "averaged: 2.")


@pytest.mark.parametrize(
    ("kind", "unit", "values"),
    [("temperature", "degC", "1 4"), ("power", "W", "0 1500"), ("share", "%", "10 50")],
)
def test_rows_of_the_same_time_that_disagree_are_refused(kind: str, unit: str, values: str) -> None:
    first, second = values.split()
    text = f"when,T\n2031-02-14T17:00,{first}\n2031-02-14T17:00,{second}\n"
    error = refused(text, columns={"x": Column("T", kind, unit)})
    assert error.faults[0].line == 3
    assert "as in line 2" in str(error)


def test_rows_out_of_order_are_sorted_and_told() -> None:
    series = read(rows("2031-02-14 17:00", "2031-02-14 19:00", "2031-02-14 18:00", "2031-02-14 20:00"))
    assert series.values["air"] == pytest.approx((273.15, 273.35, 273.25, 273.45))
    assert told(series, "sorted by time: 1.")


def test_gaps_are_told_in_local_time() -> None:
    stamps = [f"2031-02-14 {hour:02d}:00" for hour in (10, 11, 12, 17, 18)]
    assert told(
        read(rows(*stamps)),
        "Gaps of more than three usual steps (1:00:00), the longest 5:00:00 from 2031-02-14 12:00: 1.",
    )


@given(st.permutations(range(8)))
def test_any_order_gives_the_same_series(order: list[int]) -> None:
    lines = [f"2031-02-14T{hour + 10}:00,{hour}\n" for hour in range(8)]
    series = read("when,T\n" + "".join(lines[at] for at in order))
    assert series.values["air"] == pytest.approx([273.15 + hour for hour in range(8)])
    assert list(series.times) == sorted(series.times)


cells = st.one_of(
    st.floats(-60, 60).map(lambda value: f"{value:.3f}"),
    st.sampled_from(["", "nan", "-", "-9999", "12,5", "x", "1_0"]),
)


@given(st.lists(cells, min_size=1, max_size=12))
def test_every_row_is_kept_or_accounted_for(texts: list[str]) -> None:
    table = "when;T\n" + "".join(f"2031-02-14T{at + 10}:00;{cell}\n" for at, cell in enumerate(texts))
    try:
        series = read(table)
    except InputError as error:
        assert all(fault.file for fault in error.faults)
        return
    lost = sum(
        int(repair.rstrip(".").rsplit(" ", 1)[1]) for repair in series.repairs if "Rows left out" in repair
    )
    assert len(series.times) + lost == len(texts)


# Refusals


def test_every_fault_is_told_at_once() -> None:
    error = refused(
        "when,T,W\n2031-02-14T17:00,x,1\n2031-02-31T18:00,1,2\n2031-02-14T19:00,1,?\n", columns=BOTH
    )
    assert sorted(fault.line or 0 for fault in error.faults) == [2, 3, 4]
    assert {fault.value for fault in error.faults} == {"x", "2031-02-31T18:00", "?"}


def test_a_flood_of_faults_is_cut_short() -> None:
    error = refused(rows(*["soon"] * 500))
    assert len(error.faults) == 21
    assert "480 more faults" in str(error)


def test_missing_column_names_the_nearest_header() -> None:
    error = refused(
        "logger 3\nwhen,Temp air,Wind\n2031-02-14T17:00,1,2\n",
        columns={"a": Column("Temp aire", "temperature", "degC")},
    )
    assert error.faults[0].line == 2
    assert '"Temp air"' in str(error)
    assert "when, Temp air, Wind" in str(error)


def test_all_missing_columns_are_named() -> None:
    assert len(refused("a,b\n1,2\n", columns=BOTH).faults) == 3


def test_two_columns_of_one_name_are_refused() -> None:
    error = refused("when,T,T\n2031-02-14T17:00,1,2\n")
    assert '2 columns are called "T"' in str(error)


@pytest.mark.parametrize("cell", ["x", "1_000", "inf", "12 °C", "٣", "1.2.3", "1,2,3"])
def test_numbers_that_cannot_be_read(cell: str) -> None:
    error = refused(f"when;T\n2031-02-14T17:00;1\n2031-02-14T18:00;{cell}\n")
    assert error.faults[0].line == 3
    assert error.faults[0].value == cell


def test_temperature_below_absolute_zero_is_refused() -> None:
    assert refused("when,T\n2031-02-14T17:00,-300\n").faults[0].line == 2


@pytest.mark.parametrize("content", [b"", b"\n \n", b"\xef\xbb\xbf"])
def test_empty_file(content: bytes) -> None:
    assert "empty" in str(refused(content))


def test_header_without_rows() -> None:
    error = refused("note\nwhen,T\n\n")
    assert "no rows" in str(error)
    assert error.faults[0].line == 2


@pytest.mark.parametrize(
    "content",
    [b"\x1f\x8b\x08\x00abc", b"PK\x03\x04\x14\x00", bytes(range(256)), "when,T\n".encode("utf-16-le")],
)
def test_binary_file(content: bytes) -> None:
    assert "not a text file" in str(refused(content))


def test_one_endless_line() -> None:
    (fault,) = refused("x" * 300_000).faults
    assert fault.line == 1
    assert "the header is one column" in str(fault)


@pytest.mark.parametrize("separator", ["|", "  ", ":"])
def test_a_header_of_one_column_names_the_separators(separator: str) -> None:
    lines = [["when", "T", "W"], ["2031-02-14T17:00", "1", "2"]]
    (fault,) = refused("\n".join(separator.join(line) for line in lines) + "\n", columns=BOTH).faults
    assert fault.line == 1
    for words in ("the header is one column", "when", "commas, semicolons or tabs"):
        assert words in str(fault)


def test_unclosed_quotation_mark() -> None:
    error = refused('when,T,remark\n2031-02-14T17:00,1,\n2031-02-14T18:00,1,"so\n2031-02-14T19:00,1,\n')
    assert error.faults[0].line == 3
    assert "quotation mark" in str(error)


def test_missing_file_and_folder(tmp_path: Path) -> None:
    for path, words in (
        (tmp_path / "none.csv", "does not exist"),
        (tmp_path, "cannot be read"),
        ("a\0b", "cannot be read"),
    ):
        with pytest.raises(InputError) as caught:
            read_series(path, time="when", columns=AIR, zone=FIXED)
        assert words in str(caught.value)
        assert caught.value.faults[0].file == str(path)


def test_wrong_unit_of_a_column() -> None:
    with pytest.raises(InputError) as caught:
        read(rows("2031-02-14 17:00"), columns={"air": Column("T", "temperature", "mph")})
    assert "wanted is a temperature" in str(caught.value)


# The series


def test_a_tenth_of_a_year_by_the_minute_reads_quickly() -> None:
    start = datetime(2031, 1, 1)
    text = "when,T\n" + "".join(f"{start + timedelta(minutes=at)},{at % 40 - 20.5}\n" for at in range(52_560))
    begin = time.process_time()
    series = read(text, AMERICA)
    assert len(series.times) == 52_560
    assert time.process_time() - begin < 3.0  # measured 0.5 s
