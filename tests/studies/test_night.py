"""One real night of a study: what is kept of it is what the night's own Dataset says."""

from pathlib import Path

import numpy as np
import pytest

import simtent
from simtent import results
from simtent.readings import events, readings
from simtent.run import run
from simtent.scenario.load import load
from simtent.simulate import _attributes
from simtent.studies.night import one_night, reduced
from simtent.studies.wanted import SUMMARY, USUAL, dims_of

pytestmark = pytest.mark.compiled
SCENARIOS = Path(__file__).parents[2] / "scenarios"
MORE = ("heat_flow", "air_temperature", "fuel_mass", "opening_flow", "wind_speed")


@pytest.fixture(scope="module", params=["larch_bench", "sedge_hollow", "yard_burn"])
def night(request):
    """A solved night, and its Dataset without band and findings."""
    solved = run(load(SCENARIOS / f"{request.param}.toml"))
    dataset = results.label(*readings(solved), _attributes(solved))
    values, coords = events(solved)
    return solved, results.extend(dataset, values, coords) if values else dataset


def test_variables_are_those_of_the_dataset(night):
    solved, dataset = night
    values, labels = reduced(solved, (*USUAL, *MORE))
    kept = [name for name in (*USUAL, *MORE) if name in dataset]
    assert "outdoor_temperature" in kept and "heat_flow" in kept
    for name in kept:
        assert np.allclose(values[name], dataset[name].values, rtol=1e-12, atol=1e-9), name
        assert [len(labels[dim]) for dim in dims_of(name)] == list(dataset[name].shape)
    assert set(values) == set(kept) | (set(SUMMARY) & set(values))
    moments = dataset["time"].values
    assert np.allclose(labels["elapsed"], (moments - moments[0]) / np.timedelta64(1, "s"), atol=1e-6)


def test_the_summary_follows_from_the_dataset(night):
    solved, dataset = night
    values, labels = reduced(solved, USUAL)
    assert values["energy_residual"] == dataset.attrs["energy_residual"]
    account = "fire" if "fuel_mass" in dataset else "source"
    assert values["heat_given"] == dataset["energy"].sel(account=account).values[-1]
    if "fuel_mass" in dataset:
        assert values["wood_put_on"] == pytest.approx(float(dataset["event_mass"].sum()))
        assert values["wood_put_on"] == pytest.approx(float(dataset["fuel_mass"][-1].sum()))
    else:
        assert "wood_put_on" not in values
    if "level_temperature" not in dataset:
        assert "lowest_temperature" not in values and "level" not in labels
        return
    levels = dataset["level_temperature"]
    wish, clock = solved.scenario.wish, solved.scenario.night
    begin = dataset["time"].values[0]
    bed, rise = (begin + np.timedelta64(int(clock.seconds_at(t)), "s") for t in (wish.bed, wish.rise))
    assert np.array_equal(values["lowest_temperature"], levels.min("time").values)
    assert np.array_equal(values["highest_temperature"], levels.max("time").values)
    assert np.allclose(values["lowest_in_bed"], levels.sel(time=slice(bed, rise)).min("time").values)
    assert (values["lowest_in_bed"] >= values["lowest_temperature"]).all()


def test_only_what_is_wanted_is_kept():
    values, labels = one_night(load(SCENARIOS / "larch_bench.toml"), ["lowest_temperature"])
    assert list(values) == ["lowest_temperature"] and list(labels) == ["level"]


@pytest.mark.slow
def test_real_nights_in_a_study(tmp_path):
    """Solved by other processes, a night is the same to the last digit."""
    base = load(SCENARIOS / "sedge_hollow.toml")
    variations = [{"outdoors.shift": f"{-n} degF"} for n in range(4)]
    dataset = simtent.study(base, tmp_path / "study", variations, precision="float64", quiet=True)
    assert (dataset["state"] == "solved").all()
    for case, variation in enumerate(variations):
        values, _ = one_night(base.replace(variation), USUAL)
        for name in USUAL:
            assert np.array_equal(dataset[name][case].values, values[name]), (case, name)
    assert "wood_put_on" in dataset and dataset.attrs["precision"] == "float64"
    with_file = tmp_path / "joined.nc"
    dataset.to_netcdf(with_file, engine="h5netcdf")
    import xarray as xr  # noqa: PLC0415

    with xr.open_dataset(with_file, engine="h5netcdf", decode_timedelta=True) as again:
        assert np.array_equal(again["level_temperature"].values, dataset["level_temperature"].values)
