"""A quarter of an hour in a coarse shelter: quick enough for plain Python, which coverage and debuggers see."""

import numpy as np
import pytest

import simtent
from simtent.driver import drive
from simtent.network import Accuracy
from simtent.readings import accounts
from simtent.run import reported, run
from tests.simulate.cases import scenario

QUICK = {
    "night.end": "18:15",
    "model.layers": 3,
    "heat.table": [{"at": "18:00", "power": "2 kW"}],
    "shelter.floor": {"mat": "20 mm closed-cell foam", "mat_area": "3 m2", "cover": "vinyl groundsheet"},
    "shelter.skin.roof": ["350 g/m2 polycotton canvas", "30 mm air gap", "polyester liner"],
    "crew.asleep": 1,
    "heat.between": "lines",
}


@pytest.mark.parametrize(
    "shape",
    [
        {},
        {"shape": "wall tent", "wall": "1 m", "ridge": "2 m", "height": "none"},
        {"shape": "bell", "diameter": "3 m", "wall": "1 m", "peak": "2 m"}
        | dict.fromkeys(("length", "width", "height"), "none"),
    ],
    ids=["box", "wall tent", "bell"],
)
def test_a_quarter_of_an_hour(shape):
    night = run(
        scenario().replace(QUICK | {f"shelter.{key}": value for key, value in shape.items()}),
        accuracy=Accuracy(rtol=1e-4, atol=1e-2),
    )
    assert night.residual < 1e-9
    assert accounts(night)["source"][-1] == pytest.approx(2000.0 * 900.0, rel=1e-6)
    assert np.diff(night.solution.states[:, 0]).min() > 0.0  # the air at the floor warms all the while


def test_a_dataset_comes_out(monkeypatch):
    monkeypatch.setattr("simtent.scenario.scenario.Scenario.priors", lambda _: ())
    night = simtent.simulate(scenario().replace(QUICK), accuracy=Accuracy(rtol=1e-4, atol=1e-2))
    assert night.sizes["height"] == 3
    assert "event" not in night.dims  # lines have no steps
    assert {"floor", "floor mat"} <= set(night["surface"].values.tolist())
    assert (night["level_temperature_low"] == night["level_temperature"]).all()


@pytest.mark.parametrize("way", [run, drive])
@pytest.mark.parametrize("step", [0.0, -300.0, np.nan])
def test_a_night_that_is_told_at_no_times_is_refused(way, step):
    with pytest.raises(ValueError, match="must be above 0"):
        way(scenario(), step=step)


def test_a_night_is_told_at_every_step_and_at_its_end():
    assert reported(700.0, 300.0).tolist() == [0.0, 300.0, 600.0, 700.0]
    assert reported(600.0, 300.0).tolist() == [0.0, 300.0, 600.0]
    assert reported(600.0, 1e9).tolist() == [0.0, 600.0]
