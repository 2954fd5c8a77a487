"""Hours of a logged night: burns after midnight, clocks that are set back, notes that name no load."""

import pytest

from simtent.calibrate.nights import night_of
from simtent.errors import InputError
from simtent.logbook.read import read_log
from simtent.scenario.load import load
from tests.calibrate import logs, yard
from tests.logbook import nights

BACK = "2026-10-25"  # clocks of central Europe are set back from 03:00 to 02:00 on this day


def prepared(path):
    scenario = load(path)
    return night_of(scenario, read_log(scenario), path.parent, "the night")


def midnight(folder, hours="00"):
    """The burn in the open begun at half past midnight, logged as of the evening before."""
    path = yard.camp(folder)
    file = folder / f"{yard.EVENING}.csv"
    head, *rows = file.read_text().splitlines()
    moved = []
    for row in rows:
        day, rest = row[:10], row[11:]
        hour = int(rest[:2]) + 11  # from 14:00 (13:00 in UTC) to 01:00
        moved.append(f"{day[:8]}{int(day[8:]) + hour // 24:02d}T{hour % 24:02d}{rest[2:]}")
    file.write_text("\n".join([head, *moved, ""]))
    notes = yard.NOTES
    for old, new in (("14:00", "01:00"), ("14:30", "01:30"), ("~15:45", "~02:45"), ("16:30", "03:30")):
        notes = notes.replace(old, new)
    (folder / "notes.csv").write_text(notes)
    return path


def test_a_burn_lit_after_midnight_begins_on_the_next_day(tmp_path):
    night = prepared(midnight(tmp_path))
    assert night.scenario.night.evening.isoformat() == "2031-01-12"
    assert night.scenario.night.begin == "01:00" and night.deeds[0].at == 0.0
    assert night.logged.evening.isoformat() == yard.EVENING
    (stove,) = night.readings
    assert stove.seconds[0] == pytest.approx(0.0, abs=61.0) and stove.seconds.size > 200


def back(folder, last_utc, notes=nights.NOTES):
    """The logged night in a place whose clocks are set back at 03:00; readings in UTC until a time."""
    path = nights.camp(folder)
    text = path.read_text().replace("2031-01-24", "2026-10-24").replace("2031-02-14", "2026-10-24")
    text = text.replace('zone = "-07:00"', 'zone = "Europe/Berlin"').replace('clock_ahead = "4 min"\n', "")
    path.write_text(text)
    lines = ["Date/Time,CH1,CH2,CH3,CH4,CH5"]
    for minute in range(-20, 830, 2):
        hour, rest = divmod(15 * 60 + 30 + minute, 60)  # 17:30 there is 15:30 in UTC
        stamp = f"2026-10-{24 + hour // 24}T{hour % 24:02d}:{rest:02d}:00Z"
        if stamp <= last_utc:
            lines.append(",".join([stamp, *(f"{it:.2f}" for it in nights.night(minute))]))
    (folder / "porch_night.csv").write_text("\n".join(lines))
    (folder / "porch_night_notes.csv").write_text(notes)
    return path


def test_a_night_over_a_clock_change_is_an_hour_longer_and_its_loads_stand_where_they_were(tmp_path):
    night = prepared(
        back(tmp_path, "2026-10-25T09:00:00Z", "time,load,coals\n17:30,6 stick,no\n04:11,3 split,yes\n")
    )
    assert night.deeds[1].at == pytest.approx(
        11 * 3600.0 + 41 * 60.0
    )  # 10 h 41 min by the clock, and one more
    assert night.scenario.stoking.loads[1].at == pytest.approx(night.deeds[1].at)
    assert max(one.seconds[-1] for one in night.readings) == pytest.approx(828 * 60.0)


def test_readings_that_end_in_the_repeated_hour_are_not_cut_an_hour_short(tmp_path):
    """01:40 in UTC is 02:40 for the second time: its notes and readings count, and it is told when they end."""
    notes = "time,load,coals\n17:30,6 stick,no\n"
    night = prepared(back(tmp_path, "2026-10-25T01:40:00Z", notes))
    assert any("readings end at 03:00" in text for text in night.told)
    assert max(one.seconds[-1] for one in night.readings) == pytest.approx(10 * 3600.0 + 600.0)


def test_a_load_in_the_second_of_a_repeated_hour_is_refused(tmp_path):
    text = "time,load,coals\n17:30,6 stick,no\n2026-10-25T01:20:00Z,3 split,yes\n"
    with pytest.raises(InputError) as caught:
        prepared(back(tmp_path, "2026-10-25T09:00:00Z", text))
    said = str(caught.value)
    assert (
        "02:20 is there twice" in said
        and "porch_night_notes.csv" in said
        and "line 3" in said
        and "zone" in said
    )


@pytest.mark.parametrize("text", ["time,air\n18:10,wide\n", "time,load,remark\n18:10,,a cold wind\n"])
def test_notes_without_a_load_are_named_with_their_file(tmp_path, text):
    path = nights.camp(tmp_path)
    (tmp_path / "porch_night_notes.csv").write_text(text)
    with pytest.raises(InputError) as caught:
        prepared(path)
    said = str(caught.value)
    assert "notes of the night name no load" in said and "porch_night_notes.csv" in said
    assert "Write a line for every load" in said and "[[stoking.load]]" not in said


def test_notes_of_a_known_heat_need_no_load(tmp_path):
    path = logs.camp(tmp_path)
    (tmp_path / "n.csv").write_text("time,remark\n18:00,the wind got up\n")
    path.write_text(path.read_text().replace('time = "when"', 'time = "when"\nnotes = "n.csv"'))
    assert prepared(path).deeds == ()
