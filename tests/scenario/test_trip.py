"""[[trip]] and [carry]: what is read, what is refused, and the scenario of a night."""

import pytest

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.tripped import of_trip
from tests.supply.trips import TEXT

COLD = 273.15
WEATHER = """\
when,T,W
2031-02-02 18:00,-20.0,3.0
2031-02-02 21:00,-25.0,3.0
2031-02-02 23:00,-30.0,4.0
2031-02-03 02:00,-31.0,4.0
2031-02-03 05:00,-32.0,5.0
2031-02-03 08:00,-28.0,2.0
"""
BY_FILE = """
[[trip]]
evening = "2031-02-02"
[trip.file]
path = "weather.csv"
columns = { air = "T", wind = "W" }
units = { air = "degC", wind = "m/s" }
"""
FIRST = TEXT[: TEXT.index("[[trip]]")]


def camp(folder, text):
    path = folder / "camp.toml"
    path.write_text(text, encoding="utf-8")
    return path


def told(folder, text):
    with pytest.raises(InputError) as refused:
        load(camp(folder, text))
    (fault,) = refused.value.faults
    return fault


def test_what_is_read(tmp_path):
    scenario = load(camp(tmp_path, TEXT))
    assert [night.low and night.low - COLD for night in scenario.trip] == pytest.approx([None, -24.0, -6.0])
    assert (scenario.carry.sled_load, scenario.carry.margin) == (25.0, 0.2)
    assert load(camp(tmp_path, FIRST)).trip == ()


def test_us_and_si_texts_say_the_same(tmp_path):
    si = load(camp(tmp_path, TEXT))
    us = TEXT.replace('"-24 degC"', '"-11.2 degF"').replace('"-12 degC"', '"10.4 degF"')
    other = load(camp(tmp_path, us.replace('"25 kg"', '"55.1155655462 lb"')))
    assert other.trip[1].low == pytest.approx(si.trip[1].low)
    assert other.carry.sled_load == pytest.approx(25.0)


REFUSED = {
    "upside down": ('low = "-24 degC"', 'low = "-4 degC"', "trip[2].low", "low is above the high"),
    "twice": ('evening = "2031-02-03"', 'evening = "2031-02-02"', "trip[3].evening", "in the trip twice"),
    "one of two": ('high = "1 degC"', "", "trip[3].low", "low without high"),
    "out of range": ('wind = "3 m/s"', 'wind = "90 m/s"', "trip[2].wind", "out of range"),
    "unknown": ('wind = "3 m/s"', 'cloud = "3 %"', "trip[2].cloud", "unknown key"),
    "no date": ('[[trip]]\nevening = "2031-02-01"', "[[trip]]", "trip[1].evening", "required key is missing"),
    "sled": ('sled_load = "25 kg"', 'sled_load = "0 kg"', "carry.sled_load", "out of range"),
    "margin": ('sled_load = "25 kg"', 'margin = "-5 %"', "carry.margin", "out of range"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_one_fault_with_its_line(tmp_path, name):
    old, new, key, words = REFUSED[name]
    assert old in TEXT
    fault = told(tmp_path, TEXT.replace(old, new))
    assert fault.key == key
    assert words in fault.what
    assert fault.line is not None


def test_a_file_and_a_low_at_once(tmp_path):
    text = FIRST + BY_FILE.replace("[trip.file]", 'low = "-9 degC"\nhigh = "-3 degC"\n[trip.file]')
    assert "at once" in told(tmp_path, text).what


def test_weather_from_a_file(tmp_path):
    (tmp_path / "weather.csv").write_text(WEATHER, encoding="utf-8")
    night = of_trip(load(camp(tmp_path, FIRST + BY_FILE)), 0)
    assert night.outdoors.track("air").at(4.0 * 3600.0) == pytest.approx(COLD - 30.0)  # 23:00
    assert night.outdoors.track("wind").at(10.0 * 3600.0) == pytest.approx(5.0)


def test_a_file_that_does_not_cover_the_night_is_told_with_its_night(tmp_path):
    (tmp_path / "weather.csv").write_text(WEATHER, encoding="utf-8")
    text = (FIRST + BY_FILE).replace('evening = "2031-02-02"', 'evening = "2031-02-05"')
    with pytest.raises(InputError) as refused:
        of_trip(load(camp(tmp_path, text)), 0)
    (fault,) = refused.value.faults
    assert fault.what.startswith("for the night of 2031-02-05: the file does not cover the night")
    assert fault.key == "trip[1].file"
    assert fault.line is not None


def test_a_single_field_of_the_list_is_not_changed_from_outside(tmp_path):
    with pytest.raises(InputError, match=r"single field of a \[\[trip\]\]"):
        load(camp(tmp_path, TEXT), settings=["trip.low=-4 degC"])


def test_another_hour_of_the_low_is_kept(tmp_path):
    text = TEXT.replace(
        'steady = "-9 degC"',
        'low = { at = "04:00", air = "-9 degC" }\nhigh = { at = "14:00", air = "-2 degC" }',
    )
    night = of_trip(load(camp(tmp_path, text)), 1)
    assert night.outdoors.low.at == "04:00"
    assert night.outdoors.track("air").at(9.0 * 3600.0) == pytest.approx(COLD - 24.0)
