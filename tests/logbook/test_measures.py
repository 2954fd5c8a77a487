"""What a logged night says by itself, against values known in closed form; nothing measured."""

from datetime import UTC, date
from math import inf, log, tau

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.logbook import measures
from simtent.logbook.dataset import nights_dataset
from simtent.logbook.logged import Logged, Sensor
from simtent.logbook.notes import Note

ZERO = 273.15


def sensor(celsius, step=60.0, suspect=(), seconds=None):
    """A sensor with a reading a minute."""
    at = [k * step for k in range(len(celsius))] if seconds is None else seconds
    flags = tuple(k in suspect for k in range(len(celsius)))
    return Sensor("T", tuple(map(float, at)), tuple(float(it) + ZERO for it in celsius), flags)


def logged(notes=(), **sensors):
    return Logged(date(2031, 2, 14), UTC, False, sensors, (), (), tuple(notes))


def load(seconds, **given):
    return Note(2, seconds, mass=1.0, mass_unsure=0.02, **given)


def test_extremes_and_gaps_leave_out_what_may_be_made_up():
    found = measures.extent(
        "cot", sensor([1, 2, 90, 3, 0, 5], suspect={2}, seconds=[0, 60, 120, 180, 600, 660])
    )
    assert (found.count, found.suspect, found.gaps) == (6, 1, 1)
    assert (found.lowest.kelvin, found.lowest.seconds) == (ZERO, 600) and found.highest.kelvin == ZERO + 5
    assert found.longest_gap == (180, 600)


def test_nothing_but_doubtful_readings():
    found = measures.extent("cot", sensor([1, 2], suspect={0, 1}))
    assert found.lowest is None and found.longest_gap is None and found.suspect == 2


def test_a_peak_and_its_time():
    """T = t exp(-t / tau) is highest at t = tau."""
    t = np.arange(300)
    rise = 100.0 * t / 40.0 * np.exp(-t / 40.0)
    peak = measures.peak_after(load(0.0), 300 * 60.0, "cot", logged(cot=sensor(rise)))
    assert peak.top.seconds == 40 * 60.0 and peak.top.kelvin == pytest.approx(ZERO + 100 / np.e)
    assert not peak.rising and peak.more == ()


def test_until_the_next_load_it_may_still_rise():
    cot = sensor(range(100))
    peak = measures.peak_after(load(600.0), 1800.0, "cot", logged(cot=cot))
    assert peak.rising and peak.top.seconds == 1800.0


@pytest.mark.parametrize(
    "celsius", [[5.0] * 50, list(range(50, 0, -1)), [5.0 + 0.4 * (k % 2) for k in range(50)]]
)
def test_what_does_not_rise_has_no_peak(celsius):
    assert measures.peak_after(load(0.0), 3000.0, "cot", logged(cot=sensor(celsius))).top is None


@pytest.mark.parametrize(
    ("place", "height", "count"), [("cot", 3.0, 1), ("cot", 1.0, 0), ("stove", 3.0, 0), ("stove", 60.0, 1)]
)
def test_other_peaks_stand_out_by_the_limit_of_their_place(place, height, count):
    """A hump on a slope: its prominence is its height less what the slope falls before it."""
    base = np.concatenate([np.linspace(0, 100, 20), np.full(80, 20.0)])
    base[60:70] += height
    found = measures.peak_after(load(0.0), 6000.0, place, logged(**{place: sensor(base)}))
    assert found.top.seconds == 19 * 60.0 and len(found.more) == count
    assert all(3600.0 <= it.seconds < 4200.0 for it in found.more)


def test_two_points_of_one_flat_peak_are_one():
    base = [0, 5, 10, 9.8, 10, 5, 0, 3, 6, 5.9, 6, 3, 0]
    found = measures.peak_after(load(0.0), 6000.0, "cot", logged(cot=sensor(base)))
    assert found.top.kelvin == ZERO + 10 and [it.kelvin for it in found.more] == [ZERO + 6]


def test_a_spike_is_no_peak():
    found = measures.peak_after(load(0.0), 6000.0, "cot", logged(cot=sensor([0, 1, 50, 3, 2], suspect={2})))
    assert found.top.kelvin == ZERO + 3


def test_how_long_a_cooling_place_stays_above_a_limit():
    """T = 40 exp(-t / 100 min) passes 10 after 100 ln 4 minutes."""
    cooling = 40.0 * np.exp(-np.arange(300) / 100.0)
    found = measures.fell_below(ZERO + 10.0, 0.0, 300 * 60.0, sensor(cooling))
    assert found == pytest.approx(6000.0 * log(4.0), abs=1.0)
    assert measures.fell_below(ZERO + 50.0, 0.0, 300 * 60.0, sensor(cooling)) is None
    assert measures.fell_below(ZERO + 10.0, 0.0, 60 * 60.0, sensor(cooling)) == inf


def test_it_counts_from_when_the_limit_was_reached():
    found = measures.fell_below(ZERO + 10.0, 0.0, 6000.0, sensor([0, 5, 15, 15, 5, 0]))
    assert found == pytest.approx(3.5 * 60.0)


def test_hours_of_a_sine():
    """A sine is above half its height for a third of its period."""
    t = np.arange(0, 24 * 60 + 1)
    hours = measures.hours_against(ZERO + 0.5, 0.0, 86400.0, sensor(np.sin(tau * t / (24 * 60))))
    assert hours.above == pytest.approx(86400.0 / 3.0, abs=2.0)
    assert hours.below == pytest.approx(2.0 * 86400.0 / 3.0, abs=2.0) and hours.unknown == 0.0


@given(
    st.lists(st.floats(-30, 30), min_size=3, max_size=40),
    st.floats(-30, 30),
    st.floats(-500, 3000),
    st.floats(1, 4000),
)
def test_hours_are_all_of_the_time(celsius, limit, begin, length):
    hours = measures.hours_against(limit + ZERO, begin, begin + length, sensor(celsius))
    assert min(hours.above, hours.below, hours.unknown) >= 0.0
    assert hours.above + hours.below + hours.unknown == pytest.approx(length)


def test_what_was_not_logged_is_neither_above_nor_below():
    seconds = [*range(0, 3600, 60), *range(7200, 10800, 60)]
    hours = measures.hours_against(ZERO, 0.0, 10740.0, sensor([1.0] * 60 + [-1.0] * 60, seconds=seconds))
    assert hours.above == 59 * 60.0 and hours.below == 59 * 60.0
    assert hours.unknown == pytest.approx(10740.0 - 2 * 59 * 60.0)


def test_at_a_moment():
    cot = sensor([0.0, 2.0, 4.0, 9.0], seconds=[0, 60, 120, 900])
    assert measures.at(90.0, cot) == pytest.approx(ZERO + 3.0)
    assert measures.at(500.0, cot) is None and measures.at(-1.0, cot) is None


def test_head_over_floor():
    head = sensor([10.0, 20.0, 30.0, 20.0], seconds=[30, 90, 150, 210])
    middle, most = measures.difference(head, sensor([0.0, 4.0, 8.0, 12.0]))
    assert most.kelvin == pytest.approx(20.0) and most.seconds == 150.0
    assert middle == pytest.approx(14.0)  # of 8, 14 and 20; the last is beyond the floor's readings


def test_head_over_floor_leaves_out_the_floors_gaps():
    head = sensor([10.0] * 30)
    floor = sensor([0.0, 0.0, 0.0, 0.0, -20.0, -20.0], seconds=[0, 60, 120, 180, 1200, 1260])
    middle, most = measures.difference(head, floor)
    assert middle == pytest.approx(10.0) and most.kelvin == pytest.approx(30.0) and most.seconds == 1200.0
    half = sensor([0.0, 0.0, 0.0, 0.0, 0.0, 30.0], seconds=[0, 60, 120, 180, 240, 1440])
    assert measures.difference(sensor([10.0] * 24), half)[0] == pytest.approx(10.0)


def test_each_load_lasts_until_the_next():
    night = logged([load(0.0), Note(3, 100.0, air="wide"), load(600.0)], cot=sensor(range(50)))
    assert [until for _, until in measures.loads_of(night)] == [600.0, 49 * 60.0]


def test_levels_come_from_the_top_down():
    assert measures.by_height(
        ["stove", "cot", "head", "outdoors"], {"cot": 0.4, "head": 1.7, "waist": 1.0}
    ) == [
        "head",
        "cot",
        "stove",
        "outdoors",
    ]


def test_nights_in_one_dataset(tmp_path):
    first = logged(
        [load(60.0, air="wide", coals=True, pieces={"split": 3})], cot=sensor([1, 2, 3], suspect={1})
    )
    second = Logged(
        date(2031, 2, 15), UTC, True, {"stove": sensor([90, 80], seconds=[86400, 86460])}, ("mended",), ()
    )
    found = nights_dataset([first, second], "Test camp")
    assert found.sizes == {"time": 5, "sensor": 2, "note": 1}
    assert np.isnan(found["temperature"].values).sum() == 5
    assert found["temperature"].sel(sensor="cot").values[:3] == pytest.approx([1, 2, 3])
    assert found["suspect"].dtype == bool and int(found["suspect"].sum()) == 1
    assert found["evening"].values.tolist() == ["2031-02-14"] * 3 + ["2031-02-15"] * 2
    assert found["in_the_open"].values.tolist() == [False] * 3 + [True] * 2
    assert found.attrs["repairs"] == "mended" and found.attrs["name"] == "Test camp"
    assert found["note_pieces"].item() == "3 split" and found["note_coals"].item() == "yes"
    assert str(found["note_time"].values[0]) == "1970-01-01T00:01:00.000000000"
    found.to_netcdf(tmp_path / "a.nc", engine="h5netcdf")
