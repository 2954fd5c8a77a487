"""Scenarios built from kept parts are those that would be built anew."""

import copy
import pickle
from pathlib import Path

import pytest

from simtent.errors import InputError
from simtent.scenario import kept
from simtent.scenario.load import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"


@pytest.fixture
def base():
    return load(SCENARIOS / "larch_bench.toml")


def anew(base, values):
    kept._made.cache_clear()
    return base.replace(values)


@pytest.mark.parametrize(
    "values",
    [
        {"outdoors.shift": "-3 degF"},
        {"model.walls": 1.2, "site.altitude": "900 m"},
        {"night.begin": "17:00"},
        {"outdoors.shift": "none"},
    ],
    ids=str,
)
def test_what_is_kept_is_what_is_built(base, values):
    base.replace({"model.walls": 1.4})
    assert base.replace(values) == anew(base, values)
    assert base.replace(values) != base or values == {"outdoors.shift": "none"}


def test_sections_that_say_the_same_are_one_and_others_are_not(base):
    other = base.replace("outdoors.shift", "-3 degF")
    assert other.shelter is base.shelter and other.model is base.model
    assert other.outdoors is not base.outdoors


def test_values_that_are_equal_in_python_but_written_otherwise_stay_apart(base):
    assert base.replace("model.walls", 1).model.walls == 1.0
    for refused in (True, '"1"'):
        with pytest.raises(InputError, match=r"model\.walls.*a plain number is wanted"):
            base.replace("model.walls", refused)
    assert base.replace("model.walls", 1.0).model.walls == 1.0
    with pytest.raises(InputError):
        base.replace("invented", 1)


def test_the_same_clock_times_in_another_night_are_read_anew(base):
    """A section whose clock times count from the begin is another one when the begin moves."""
    later = base.replace("night.begin", "17:00")
    assert later.outdoors.track("air").times != base.outdoors.track("air").times


def test_a_fault_is_told_every_time_and_at_its_place(base):
    told = []
    for _ in range(2):
        with pytest.raises(InputError) as error:
            base.replace("outdoors.wind", "5 parsec")
        told.append(str(error.value))
    assert told[0] == told[1] and "replace, outdoors.wind" in told[0]


def test_a_weather_file_is_read_again_when_it_changed(base, tmp_path):
    weather, found = tmp_path / "weather.csv", []
    file = {"path": str(weather), "time": "time", "columns": {"air": "air"}, "units": {"air": "degC"}}
    values = {"outdoors.high": "none", "outdoors.low": "none", "outdoors.file": file}
    for air in (-5, -16):
        hours = [f"2031-02-{14 + hour // 24} {hour % 24:02d}:00,{air}" for hour in range(12, 36)]
        weather.write_text("\n".join(["time,air", *hours, ""]))
        found.append(base.replace(values).outdoors.track("air").at(0.0))
    assert found[0] - found[1] == pytest.approx(11.0)


def tables_of(scenario):
    stove, load = scenario.stove, scenario.stoking.load[0]
    return [
        scenario.levels,
        stove.air.marks,
        scenario.wood.pieces,
        load.pieces,
        scenario.shelter.openings.vents,
    ]


def test_what_is_shared_cannot_be_changed():
    """Else the next scenario, though read from the same file anew, would say something else."""
    scenario = load(SCENARIOS / "sedge_hollow.toml")
    for whole in (scenario, pickle.loads(pickle.dumps(scenario)), copy.deepcopy(scenario)):
        for table in tables_of(whole):
            for change in (
                lambda table=table: table.update(open=0.1),
                lambda table=table: table.__setitem__("open", 0.1),
                lambda table=table: table.clear(),
            ):
                with pytest.raises(TypeError, match="a scenario does not change"):
                    change()
        assert whole == load(SCENARIOS / "sedge_hollow.toml")
    assert {**scenario.levels, "loft": 2.0}["loft"] == 2.0
