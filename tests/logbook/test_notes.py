"""Notes of a night: every way to write them and every fault has a small invented file here; nothing measured.

Masses of pieces are those of the scenario: a split of 1 kg by its own word, a stick by its size. How unsure a note is
stands in the sources as own choice; the tests hold the order of it, not the numbers.
"""

from datetime import UTC, datetime

import pytest

from simtent.errors import InputError
from simtent.logbook.notes import read_notes
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.logbook.files import log_table, rows, told
from tests.scenario.example import FIRE, OPEN, written

AT_20 = datetime(2031, 2, 15, 3, 0, tzinfo=UTC).timestamp()  # 20:00 at -07:00
HEADER = "time,load,air,damper,coals,remark\n"


def noted(folder, text, base=FIRE, header=HEADER, **given):
    """The notes as read; the file is as it was."""
    data = text if isinstance(text, bytes) else (header + text).encode()
    (folder / "notes.csv").write_bytes(data)
    scenario = load(written(folder, base + log_table(notes='"notes.csv"', **given)))
    found = read_notes(scenario, scenario.log[0])
    assert (folder / "notes.csv").read_bytes() == data
    return found


def refused(folder, text, **given):
    """The only fault of the notes: with file, line, and a way out."""
    with pytest.raises(InputError) as caught:
        noted(folder, text, **given)
    (fault,) = caught.value.faults
    assert fault.file == str(folder / "notes.csv") and fault.todo, str(fault)
    return fault


def first(folder, text, **given):
    return noted(folder, text, **given).notes[0]


def minutes(note):
    return (note.seconds - AT_20) / 60.0


def test_a_night(tmp_path):
    text = "20:00,3 split + 1 stick,wide,open,no,lit by match\n21:00,,2,across,,\n"
    text += "01:10,2 kg,,,yes,\n04:00,?,,,,half asleep\n"
    found = noted(tmp_path, text)
    lit, turned, fed, half_asleep = found.notes
    assert lit.pieces == {"split": 3, "stick": 1} and lit.remark == "lit by match" and lit.line == 2
    assert lit.mass == pytest.approx(3.0 + 0.2199, abs=1e-4) and lit.coals is False and lit.loaded
    assert (turned.air, turned.damper, turned.mass, turned.loaded) == ("2", "across", None, False)
    assert [minutes(it) for it in found.notes] == [0, 60, 310, 480]
    assert fed.pieces is None and fed.mass == 2.0 and fed.coals is True
    assert half_asleep.mass == pytest.approx((2.0 + lit.mass) / 2)  # the middle of two
    assert half_asleep.mass_unsure > lit.mass_unsure > fed.mass_unsure > 0.0
    assert told(found.doubts, "nobody knows", "line 5", ": 1.") and not found.repairs


def test_they_come_with_the_log_and_a_file_that_is_lost_stops_only_that(tmp_path):
    (tmp_path / "night.csv").write_text(rows([10, 11, 12]), encoding="utf-8")
    (tmp_path / "notes.csv").write_text(HEADER + "20:01,1 split,,,,\n", encoding="utf-8")
    # The logger's clock is a minute ahead, the watch is not.
    text = FIRE + log_table(notes='"notes.csv"', clock_ahead='"1 min"')
    found = read_log(load(written(tmp_path, text)))
    assert minutes(found.notes[0]) == 1.0 and found.sensors["head"].seconds[0] == AT_20 - 60.0
    assert found.log[0].notes == tmp_path / "notes.csv"
    (tmp_path / "notes.csv").unlink()
    scenario = load(written(tmp_path, text))
    with pytest.raises(InputError, match=r"notes\.csv, log\[1\]\.notes: the file does not exist"):
        read_log(scenario)


def test_joined_logs_take_the_same_notes_once(tmp_path):
    for name in ("night.csv", "out.csv"):
        (tmp_path / name).write_text(rows([10, 11, 12]), encoding="utf-8")
    (tmp_path / "notes.csv").write_text(HEADER + "20:01,1 split,,,,\n03:00,?,,,,\n", encoding="utf-8")
    second = log_table(file='"out.csv"', sensors='{ T = "outdoors" }', notes='"notes.csv"')
    scenario = load(written(tmp_path, FIRE + log_table(notes='"notes.csv"') + second))
    found = read_log(scenario, scenario.log[0].evening)
    assert [it.line for it in found.notes] == [2, 3] and len(found.log) == 2 and len(found.doubts) == 2
    assert told(found.doubts, "times without readings", "line 3")


@pytest.mark.parametrize(
    ("text", "minutes_later", "unsure"),
    [
        ("21:30", 90, 0),
        ("21:30:15", 90.25, 0),
        ("~21:30", 90, 600),
        ("about 21:30", 90, 600),
        ("21:30?", 90, 600),
        ("21:30 +-20 min", 90, 1200),
        ("21:30 ± 5 min", 90, 300),
        ("9:30 pm", 90, 0),
        ("1 am", 300, 0),
        ("07:00", 660, 0),
        ("2031-02-14 21:30", 90, 0),
        ("~2031-02-14 21:30", 90, 600),
        ("14.02.2031 21:30:30", 90.5, 0),
        ("02/14/2031 9:30 pm", 90, 0),
        ("2031-02-15T04:30Z", 90, 0),
    ],
)
def test_times(tmp_path, text, minutes_later, unsure):
    note = first(tmp_path, f"{text},1 split,,,,\n")
    assert minutes(note) == pytest.approx(minutes_later) and note.unsure == unsure


def test_the_evening_tells_day_and_month_apart(tmp_path):
    note = first(tmp_path, "03/02/2031 21:30,1 split,,,,\n", evening='"2031-02-03"')
    other = first(tmp_path, "03/02/2031 21:30,1 split,,,,\n", evening='"2031-03-02"')
    assert other.seconds - note.seconds == 27 * 86400


@pytest.mark.parametrize(
    ("text", "pieces", "mass"),
    [
        ("3 split + 1 stick", {"split": 3, "stick": 1}, None),
        ('"split=3, stick=1"', {"split": 3, "stick": 1}, None),
        ("3x Split and 1 stick", {"split": 3, "stick": 1}, None),
        ("3 splits", {"split": 3}, 3.0),
        ("3 split (2.9 kg)", {"split": 3}, 2.9),
        ("split = 2.1 kg", {"split": 2.1}, 2.1),
        ("4.1 kg", None, 4.1),
        ('"4,1 kg"', None, 4.1),
        ("9 lb", None, 9 * 0.45359237),
        ("9 lb 4 oz", None, 9.25 * 0.45359237),
        ("?", None, None),
    ],
)
def test_loads(tmp_path, text, pieces, mass):
    note = first(tmp_path, f"21:30,{text},,,,\n")
    assert note.pieces == pieces and note.loaded
    if pieces is None or mass is not None:
        assert note.mass == (pytest.approx(mass) if mass else None)
    else:
        assert [type(it) for it in note.pieces.values()] == [int, int]


def test_what_is_weighed_is_surer_than_what_is_counted_or_about(tmp_path):
    texts = ("2 kg", "2 split", "9 stick", "~2 split", "?")
    found = [first(tmp_path, f"21:30,{text},,,,\n").mass_unsure for text in texts]
    assert found[0] < found[1] < found[2] == found[3] < found[4]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (HEADER.replace(",", ";").encode() + b"20:00;4,1 kg;;;;\n", ""),
        (HEADER.replace(",", "\t").encode() + b"20:00\t4,1 kg\t\t\t\t\n", ""),
        (b"\xef\xbb\xbf" + HEADER.encode() + b"20:00,4.1 kg,,,,\n", "Byte-order marks"),
        (("\ufeff" + HEADER + "20:00,4.1 kg,,,,\n").encode("utf-16-le"), "Byte-order marks"),
        (HEADER.encode() + b"20:00,4.1 kg,,,,caf\xe9\n", "Windows-1252"),
        (b"My notes\n\n" + HEADER.encode() + b"20:00,4.1 kg,,,,\n", "Lines above the header"),
        (HEADER.encode() + b"\n20:00,4.1 kg,,,,\n,,,,,\n", "Empty lines"),
        (b"Time,Load\n20:00,4.1 kg\n", ""),
        (b"time,load,who\n20:00,4.1 kg,both\n", "Columns passed over (who): 1."),
    ],
)
def test_files(tmp_path, data, words):
    found = noted(tmp_path, data)
    assert found.notes[0].mass == pytest.approx(4.1) and minutes(found.notes[0]) == 0
    assert told(found.repairs, words) if words else not found.repairs


def test_unsorted_rows_are_sorted_and_told(tmp_path):
    found = noted(tmp_path, "22:00,1 split,,,,\n20:00,2 split,,,,\n01:00,3 split,,,,\n")
    assert [it.line for it in found.notes] == [3, 2, 4]
    assert told(found.repairs, "step back", ": 1.")


def test_what_says_nothing_is_told(tmp_path):
    found = noted(tmp_path, "20:00,,,,,\n21:00,,,,yes,\n")
    assert told(found.doubts, "Line 2", "nothing else") and told(found.doubts, "Line 3", "no load")


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("25:00,1 split,,,,", "time", "cannot be read"),
        ("soon,1 split,,,,", "time", '"21:30"'),
        ("2130,1 split,,,,", "time", '"21:30"'),
        ("21:30 +-10,1 split,,,,", "time", "no unit"),
        ("21:30 +-9 h,1 split,,,,", "time", "up to 4 h"),
        ("2031-02-16 21:30,1 split,,,,", "time", "not of the night"),
        ("2031-02-14,1 split,,,,", "time", "cannot be read"),
        (",1 split,,,,", "time", "has no time"),
        ("21:30,3 splat,,,,", "load", 'Is "split" meant?'),
        ("21:30,lots,,,,", "load", "is no load"),
        ("21:30,4.1,,,,", "load", '"4.1 kg"'),
        ("21:30,0 split,,,,", "load", "1 to 200"),
        ("21:30,300 kg,,,,", "load", "out of range"),
        ('21:30,"1 split, 2 split",,,,', "load", "twice"),
        ("21:30,3 split (many),,,,", "load", "no mass"),
        ("21:30,,wid,,,", "air", 'Is "wide" meant?'),
        ("21:30,,,slant,,", "damper", "across, open"),
        ("21:30,1 split,,,perhaps,", "coals", "yes, no"),
    ],
)
def test_faults_of_a_row(tmp_path, row, column, words):
    fault = refused(tmp_path, f"20:00,1 split,,,,\n{row}\n")
    assert fault.line == 3 and f'column "{column}"' in fault.what and words in str(fault), str(fault)
    assert fault.value, str(fault)


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (b"", None, "empty"),
        (b"\x00\x01\x02", None, "not a text file"),
        (b"when,load\n20:00,1 split\n", 1, 'no column is called "time"'),
        (b"time,lode\n20:00,1 split\n", None, 'Is "load" meant?'),
        (b"time,load,load\n20:00,1 split,\n", None, '2 columns are called "load"'),
        (HEADER.encode() + b"20:00,1 split, 2 stick,,,,dry\n", 2, "quotation marks"),
        (HEADER.encode() + b'20:00,"1 split,,,,\n', 2, "unclosed quotation mark"),
        (HEADER.encode() + b"20:00,1 split,,,,\n20:00,,2,,,\n", 3, "same time as in line 2"),
        (HEADER.encode() + b"5:30,1 split,,,,\n12:10,,2,,,\n1:00,1 split,,,,\n", 4, "am or pm"),
    ],
)
def test_faults_of_a_file(tmp_path, data, line, words):
    (tmp_path / "notes.csv").write_bytes(data)
    with pytest.raises(InputError) as caught:
        noted(tmp_path, data)
    (fault,) = caught.value.faults
    assert fault.file == str(tmp_path / "notes.csv") and fault.line == line and words in str(fault), str(
        fault
    )


def test_all_faults_are_told_at_once(tmp_path):
    with pytest.raises(InputError) as caught:
        noted(tmp_path, "25:00,3 splat,wid,slant,perhaps,\n,1 split,,,,\n")
    assert [it.line for it in caught.value.faults] == [2, 2, 2, 2, 2, 3]


def test_clocks_that_change(tmp_path):
    """Directive 2000/84/EC: 30 March 2031, 02:00 becomes 03:00; 26 October, 03:00 becomes 02:00."""
    base = FIRE.replace('zone = "-07:00"', 'zone = "Europe/Berlin"').replace("2031-02-14", "2031-03-29")
    notes = noted(tmp_path, "01:30,1 split,,,,\n03:30,1 split,,,,\n", base=base, evening='"2031-03-29"').notes
    assert notes[1].seconds - notes[0].seconds == 3600.0
    fault = refused(tmp_path, "02:30,1 split,,,,\n", base=base, evening='"2031-03-29"')
    assert "does not exist" in fault.what


def test_a_night_without_a_stove_takes_remarks_only(tmp_path):
    (tmp_path / "heater.toml").write_text(
        'stove = "none"\nwood = "none"\nstoking = "none"\n[heat]\nradiant_share = "20 %"\n'
        'table = [{ at = "17:30", power = "1 kW" }]\n',
        encoding="utf-8",
    )
    given = {"with": '"heater.toml"'}
    assert first(tmp_path, "20:00,,,,,heater at 2\n", **given).remark == "heater at 2"
    assert "no wood" in refused(tmp_path, "20:00,1 split,,,,\n", **given).what
    assert "no air lever" in refused(tmp_path, "20:00,,wide,,,\n", **given).what


def test_marks_and_pieces_are_those_of_the_night(tmp_path):
    (tmp_path / "other.toml").write_text(
        '[stove.air.marks]\nhalf = "50 %"\n[wood.pieces]\nlog = { thick = "6 cm", long = "40 cm", mass = "800 g" }\n',
        encoding="utf-8",
    )
    note = first(tmp_path, "20:00,2 log,half,,,\n", **{"with": '"other.toml"'})
    assert note.mass == pytest.approx(1.6) and note.air == "half"
    assert "unknown pieces" in refused(tmp_path, "20:00,2 log,,,,\n").what


def test_a_burn_in_the_open(tmp_path):
    text = OPEN.replace("pieces = { split = 2", "pieces = { split = 1")
    found = first(tmp_path, "20:00,2 split,wide,,,\n", base=text, sensors='{ T = "stove" }', shelter='"none"')
    assert found.mass == 2.0
    rules = first(tmp_path, "20:00,2 split,wide,,,\n", sensors='{ T = "stove" }', shelter='"none"')
    assert rules.mass == 2.0
