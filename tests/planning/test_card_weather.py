"""The band of nights of a stoking card: lows at whole steps, winds, the scenario in that weather, what is refused."""

import pytest

from simtent.planning.card_weather import (
    Weather,
    faults_of_weather,
    in_weather,
    lows_of,
    own_low,
    weathers,
    winds_of,
)
from simtent.scenario.load import load
from simtent.units import number, to_si
from tests.planning.camps import three_metres

FORD = "scenarios/alder_ford.toml"


def degrees(lows, system):
    return [number(low, "temperature", system) for low in lows]


@pytest.mark.parametrize(
    ("system", "wanted"), [("us", [0.0, 10.0, 20.0, 30.0, 40.0]), ("si", [-20.0, -15.0, -10.0, -5.0, 0.0])]
)
def test_two_steps_about_the_scenarios_own_low(system, wanted):
    assert degrees(lows_of(load(FORD), system), system) == pytest.approx(wanted)  # 18 degF, -7.8 degC


def test_a_band_that_is_given_goes_outward_to_whole_steps():
    given = [to_si(text, "temperature") for text in ("-3 degF", "21 degF")]
    assert degrees(lows_of(load(FORD), "us", given), "us") == pytest.approx([-10.0, 0.0, 10.0, 20.0, 30.0])
    one = [to_si("20 degF", "temperature")]
    assert degrees(lows_of(load(FORD), "us", one), "us") == pytest.approx([20.0])


def test_a_trip_sets_the_band():
    lows = lows_of(load("scenarios/sedge_hollow.toml"), "us")  # 6, -2 and 14 degF
    assert degrees(lows, "us") == pytest.approx([-10.0, 0.0, 10.0, 20.0])


@pytest.mark.parametrize(
    ("own", "wanted"), [("1.2 m/s", (1.2, 5.0)), ("2.5 m/s", (1.0, 2.5)), ("8 m/s", (1.0, 8.0))]
)
def test_the_scenarios_own_wind_is_one_of_the_two(tmp_path, own, wanted):
    assert winds_of(three_metres(tmp_path, outdoors__wind=own)) == pytest.approx(wanted)
    assert winds_of(three_metres(tmp_path), [6.0, 2.0, 2.0]) == (2.0, 6.0)


def test_air_is_colder_at_all_times_alike():
    scenario = load(FORD)
    night = in_weather(scenario, Weather(250.0, 5.0, True))
    here, there = (it.outdoors.track("air") for it in (scenario, night))
    assert own_low(night) == pytest.approx(250.0)
    apart = [there.at(3600.0 * hour) - here.at(3600.0 * hour) for hour in range(14)]
    assert apart == pytest.approx([apart[0]] * 14)
    assert set(night.outdoors.track("wind").values) == {5.0}


def test_wind_of_a_file_gives_way(tmp_path):
    lines = ["time,air,wind", *(f"2031-02-01 {hour:02d}:00,-9,{hour % 7}" for hour in range(18, 24))]
    lines += [f"2031-02-02 {hour:02d}:00,-11,2" for hour in range(9)]
    (tmp_path / "air.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    file = {
        "path": str(tmp_path / "air.csv"), "time": "time",
        "columns": {"air": "air", "wind": "wind"}, "units": {"air": "degC", "wind": "m/s"},
    }  # fmt: skip
    scenario = three_metres(tmp_path).replace({"outdoors.steady": "none", "outdoors.file": file})
    assert len(set(scenario.outdoors.track("wind").values)) > 1
    night = in_weather(scenario, Weather(255.0, 3.0))
    assert set(night.outdoors.track("wind").values) == {3.0}
    assert own_low(night) == pytest.approx(255.0)


def test_rows_by_low_calm_first():
    assert weathers((250.0, 255.0), (1.0, 5.0)) == [
        Weather(250.0, 1.0), Weather(250.0, 5.0, True), Weather(255.0, 1.0), Weather(255.0, 5.0, True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("lows", "winds", "words"),
    [
        ([250.0 + 5.0 * k for k in range(7)], (1.0, 5.0), "a card of 7 lows"),
        ([260.0], (1.0, 2.0, 3.0), "3 winds are given"),
        ([210.0], (1.0, 5.0), "too far from the scenario's night"),
    ],
)
def test_what_is_no_card(lows, winds, words):
    (fault,) = faults_of_weather(load(FORD), lows, winds)
    assert words in fault.what and fault.todo
