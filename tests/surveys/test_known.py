"""Sensitivity of functions whose indices are known in closed form, through study files and folders."""

import numpy as np
import pytest

import simtent
from simtent.errors import InputError
from tests.surveys import formulas
from tests.surveys.files import written
from tests.surveys.here import solved_here  # noqa: F401  (a fixture)

CASES = 3072  # 512 groups of six
SHARES = {
    "heat_given": formulas.ishigami_shares,
    "wood_put_on": formulas.sobol_g_shares,
    "energy_residual": formulas.network_shares,
}


@pytest.fixture(scope="module")
def solved(tmp_path_factory):
    folder = tmp_path_factory.mktemp("known")
    path = written(folder, formulas.FACTORS, method="saltelli", more=f"cases = {CASES}\nseed = 4")
    simtent.survey(path, night=formulas.known, quiet=True, precision="float64")
    return folder / "sweep.study"


def test_the_closed_forms_are_the_published_ones():
    """Saltelli et al. (2008), Global Sensitivity Analysis. The Primer, from memory; SALib's own functions."""
    from SALib.test_functions import Ishigami, Sobol_G  # noqa: PLC0415

    alone, every = formulas.ishigami_shares()
    assert np.allclose(alone, [0.3139, 0.4424, 0.0, 0.0], atol=5e-5)
    assert np.allclose(every, [0.5576, 0.4424, 0.2437, 0.0], atol=5e-5)
    a = np.array(formulas.G)
    assert np.allclose(formulas.sobol_g_shares()[0], Sobol_G.sensitivity_index(a))
    assert np.allclose(formulas.sobol_g_shares()[1], Sobol_G.total_sensitivity_index(a))
    x = np.random.default_rng(1).random((20, 4))
    theirs = Ishigami.evaluate((2.0 * x[:, :3] - 1.0) * np.pi)
    assert np.allclose([formulas.ishigami(row) for row in x], theirs)
    assert np.allclose([formulas.sobol_g(row) for row in x], Sobol_G.evaluate(x, a))
    air, heat, first, second = (
        low + x[0, n] * (high - low) for n, (low, high) in enumerate(formulas.NETWORK)
    )
    assert formulas.network(x[0]) == pytest.approx(air + heat * (first + second))


@pytest.mark.parametrize("output", SHARES)
def test_sobol_indices_are_those_of_the_closed_form(solved, output):
    found = simtent.sensitivity(solved, output)
    for name, exact in zip(("S1", "ST"), SHARES[output](), strict=True):
        off = np.abs(found[name].values - exact)
        half = found[f"{name}_confidence"].values
        assert (off <= 1.6 * half + 0.003).all(), (name, found[name].values, exact, half)
        assert (half < 0.15).all() and (off < 0.08).all()
    assert found["factor"].values.tolist() == ["model.walls", "model.mixing", "model.heat", "outdoors.shift"]
    assert found.attrs["groups"] == CASES // 6 and found.attrs["left_out"] == 0 and found.attrs["seed"] == 4


def test_indices_are_those_that_the_library_gives_by_itself(solved):
    """The way through files, texts and folders moves nothing: a number is written in eight digits."""
    from SALib.analyze import sobol as analysis  # noqa: PLC0415
    from SALib.sample import sobol as sampling  # noqa: PLC0415

    problem = {"num_vars": 4, "names": list("abcd"), "bounds": [[0.0, 1.0]] * 4}
    x = sampling.sample(problem, CASES // 6, calc_second_order=False, seed=4)
    told = analysis.analyze(
        problem, np.array([formulas.ishigami(row) for row in x]), calc_second_order=False,
        num_resamples=1000, conf_level=0.95, seed=4,
    )  # fmt: skip
    found = simtent.sensitivity(solved, "heat_given")
    for ours, theirs in (
        ("S1", "S1"),
        ("ST", "ST"),
        ("S1_confidence", "S1_conf"),
        ("ST_confidence", "ST_conf"),
    ):
        assert np.allclose(found[ours], told[theirs], atol=1e-6), ours


def test_the_seed_is_that_of_the_intervals(solved):
    first, again, other = (
        simtent.sensitivity(solved, "heat_given", seed=seed, resamples=50) for seed in (4, 4, 5)
    )
    assert first.identical(again)
    assert np.array_equal(first["ST"], other["ST"])
    assert not np.array_equal(first["ST_confidence"], other["ST_confidence"])
    wide, narrow = (
        simtent.sensitivity(solved, "heat_given", confidence=c, resamples=50) for c in (0.99, 0.5)
    )
    assert (wide["ST_confidence"][:3] > narrow["ST_confidence"][:3]).all()


def test_a_dataset_serves_as_its_folder_does(solved):
    dataset = simtent.open_study(solved)
    one, other = (simtent.sensitivity(source, "heat_given", resamples=20) for source in (dataset, solved))
    assert one.identical(other)


def test_morris_of_the_network(tmp_path, in_this_process):
    """A term by itself moves the room by its own span everywhere; one of a product depends on its partner."""
    path = written(tmp_path, formulas.FACTORS, method="morris", more="cases = 200\nseed = 2")
    dataset = simtent.survey(path, night=formulas.known, quiet=True, precision="float64")
    found = simtent.sensitivity(dataset, "energy_residual")
    (low, high), (least, most), *resistances = formulas.NETWORK
    assert dataset.attrs["cases"] == 200 and found.attrs["groups"] == 40
    assert float(found["mu"][0]) == pytest.approx(high - low)
    assert float(found["sigma"][0]) == pytest.approx(0.0, abs=1e-6)
    assert np.allclose(found["mu"], found["mu_star"])  # each rises with every factor
    assert (found["sigma"][1:] > 0.5).all()
    for n, (r_low, r_high) in enumerate(resistances, start=2):
        assert least * (r_high - r_low) < float(found["mu"][n]) < most * (r_high - r_low)
    assert found["mu"].attrs["units"] == "1"
    assert (found["mu_star_confidence"][1:] > 0.0).all()


def test_morris_of_a_function_that_turns(tmp_path, in_this_process):
    """Ishigami's second factor moves it both ways alike: the mean is small where the mean size is not."""
    path = written(tmp_path, formulas.FACTORS, method="morris", more="cases = 200\nseed = 2")
    simtent.survey(path, night=formulas.known, quiet=True)
    found = simtent.sensitivity(tmp_path / "sweep.study", "heat_given").sel(factor="model.mixing")
    assert float(found["mu_star"]) > 5.0 and abs(float(found["mu"])) < 0.7 * float(found["mu_star"])
    last = simtent.sensitivity(tmp_path / "sweep.study", "heat_given").sel(factor="outdoors.shift")
    assert float(last["mu_star"]) == 0.0


def test_groups_in_which_a_night_failed_are_left_out(tmp_path, in_this_process):
    path = written(tmp_path, formulas.FACTORS, method="saltelli", more="cases = 384\nseed = 4")
    dataset = simtent.survey(path, night=formulas.some_fail, quiet=True)
    found = simtent.sensitivity(dataset, "energy_residual")
    failed = (dataset["state"] == "failed").values.reshape(64, 6).any(axis=1)
    assert 0 < failed.sum() == found.attrs["left_out"] and found.attrs["groups"] == 64 - failed.sum()
    assert np.isfinite(found["ST"]).all() and np.isfinite(found["ST_confidence"]).all()


def test_what_never_changes_has_no_shares(tmp_path, in_this_process):
    path = written(tmp_path, formulas.FACTORS, method="saltelli", more="cases = 24")
    found = simtent.sensitivity(simtent.survey(path, night=formulas.constant, quiet=True), "heat_given")
    assert np.isnan(found["ST"]).all()


def test_what_gives_no_indices_is_refused(tmp_path, in_this_process):
    path = written(tmp_path, "[factors]\nmodel.walls = [0.8, 1.2]")
    dataset = simtent.survey(path, night=formulas.known, quiet=True)
    with pytest.raises(InputError, match=r'no indices follow\. Given: grid.*"morris" or "saltelli"'):
        simtent.sensitivity(dataset, "heat_given")
    del dataset.attrs["design"]
    with pytest.raises(InputError, match="nothing says how this study was laid out"):
        simtent.sensitivity(dataset, "heat_given")


def test_without_the_library_it_is_named(monkeypatch, solved):
    monkeypatch.setitem(__import__("sys").modules, "SALib", None)
    with pytest.raises(
        InputError, match=r"SALib, which is not installed.*pip install 'simtent\[sensitivity\]'"
    ):
        simtent.sensitivity(solved, "heat_given")
