"""The verb log on nights made of triangles: every cell of the tables is known beforehand, and nothing is measured.

A load lifts the head by 25 K in 30 min, the cot by 12 K in 60 min, the stove by 300 K in 20 min; the cot is down again
120 min after its peak, so it passes 5 degC 25 min after a load on its way up and 130 min after it on its way down.
"""

import pytest
import xarray as xr

from simtent.assess.cautions import CALCULATED_FIRE, GIVEN_HEAT, HEATER, LOGGED, of_logged, standing
from simtent.cli import main
from simtent.scenario.load import load
from tests.logbook.files import log_table
from tests.logbook.triangles import SENSORS, TEXT, camp, rows
from tests.scenario.example import OPEN, written
from tests.scenario.example import TEXT as HEATED


@pytest.fixture(autouse=True)
def coarse(monkeypatch):
    monkeypatch.setattr("simtent.tell.look.PIXELS_PER_INCH", 40)  # drawn faster


def printed(capsys, *arguments):
    assert main(["log", *map(str, arguments), "--quiet"]) == 0
    return capsys.readouterr().out


def cells(text, *begin):
    """The cells of every line that begins with the words."""
    return [line.split() for line in text.splitlines() if line.split()[: len(begin)] == list(begin)]


def test_every_cell_of_the_tables(tmp_path, capsys):
    text = printed(capsys, camp(tmp_path))
    for begin in (["20:00", "~2.0", "kg"], ["~23:00", "2.0", "kg"], ["04:00", "1.0", "kg"]):
        (found,) = cells(text, *begin)
        assert found[3:9] == ["30", "0:30", "12", "1:00", "300", "2:10"]
    assert [it[-1] for clock in ("20:00", "~23:00", "04:00") for it in cells(text, clock)[:1]] == [
        "no",
        "yes",
        "-",
    ]
    assert cells(text, "head", "390") == [["head", "390", "5", "06:58", "30", "20:30", "-", "-"]]
    plain = " ".join(text.split())
    # In bed from 21:30 to 06:30: 40 min of the first load's, 105 min of each other's.
    assert "at 5 degC or more for 4 h 10 min, below it for 4 h 50 min." in plain
    assert "30 K at most, at 20:30" in plain  # 25 + 5 against -2 + 1.5


def test_what_was_not_logged_counts_neither_way(tmp_path, capsys):
    text = " ".join(printed(capsys, camp(tmp_path, rows(skip=range(500, 560, 2)))).split())
    assert "or more for 4 h 10 min, below it for 3 h 48 min, not logged for 1 h 2 min." in text


def test_it_fell_while_nobody_looked(tmp_path, capsys):
    text = printed(capsys, camp(tmp_path, rows(skip=range(220, 280, 2))))
    assert (
        cells(text, "20:00", "~2.0")[0][8] == "2:40"
    )  # seen at 22:40, by the straight line it would be sooner


def test_a_file_of_several_days_is_told_night_by_night(tmp_path, capsys):
    again = log_table(evening='"2031-02-15"', sensors=SENSORS)
    path = camp(tmp_path, rows(minutes=range(0, 2400, 2)), text=TEXT + again)
    text = printed(capsys, path)
    first, second = cells(text, "outdoors")
    # At 18:00 it is -10 degC, 1 K less every 100 min; the next noon comes after 1080 min, the file's end after 2398.
    assert (first[1], first[2:4], first[4:6]) == ("660", ["-34", "09:58"], ["-21", "12:00"])
    assert (second[1], second[2:4], second[4:6]) == ("540", ["-21", "11:58"], ["-10", "18:00"])
    assert "from noon to noon, not shown: 3300." in " ".join(text.split())
    with xr.open_dataset(tmp_path / "camp.log.nc", engine="h5netcdf") as dataset:
        assert dataset.sizes["time"] == 1200


def test_a_place_without_a_reading_of_that_night_is_told(tmp_path, capsys):
    lines = rows(minutes=range(0, 2400, 2)).splitlines()
    data = [
        line if at > 600 else ",".join([*line.split(",")[:5], ""]) for at, line in enumerate(lines[1:], 1)
    ]
    text = printed(capsys, camp(tmp_path, "\n".join([lines[0], *data]) + "\n"))
    assert "Places without a reading from noon to noon: stove." in " ".join(text.split())
    assert not cells(text, "stove", "660")


def test_the_clock_is_the_place_s_whatever_the_file_s_zone(tmp_path, capsys):
    text = printed(capsys, camp(tmp_path, rows(), zone='"UTC"'))
    assert cells(text, "outdoors")[0][4:6] == ["-11", "12:00"]  # 18:00 in UTC is 11:00 there; from noon on


def test_cautions_of_what_was_logged(tmp_path):
    fire = load(written(tmp_path, TEXT))
    found = of_logged([fire])
    assert found[-1] == LOGGED and set(standing(fire)) - set(found) == {CALCULATED_FIRE}
    both = of_logged([fire, load(written(tmp_path, HEATED))])
    assert HEATER in both and GIVEN_HEAT not in both and set(found) < set(both)
    assert len(of_logged([fire, fire])) == len(found)


def test_a_heater_that_a_log_lays_over_a_stove_brings_its_caution(tmp_path, capsys):
    heat = 'stove = "none"\nwood = "none"\nstoking = "none"\n' + HEATED[HEATED.index("[heat]") :]
    (tmp_path / "heater.toml").write_text(heat, encoding="utf-8")
    path = camp(tmp_path, text=TEXT, notes=None, **{"with": '"heater.toml"'})
    text = " ".join(printed(capsys, path).split())
    assert "electric heater and its cord" in text and "no thermometer tells of smoke" in text
    assert "This fire is calculated" not in text and "This night is calculated" not in text


def test_a_burn_in_the_open_from_a_scenario_in_the_open(tmp_path, capsys):
    path = camp(tmp_path, text=OPEN, sensors='{ E = "outdoors", G = "stove" }', shelter='"none"')
    text = printed(capsys, path)
    assert cells(text, "20:00", "~2.0")[0][3:5] == ["300", "0:20"] and "THE NIGHT" not in text
