"""The usual range of a night and of how much warmer the head is than the floor; mixing of the air counts in it."""

from importlib import import_module

import numpy as np
import pytest

import simtent
from simtent.readings import level_temperatures
from simtent.run import run
from tests.fire.burns import burn
from tests.simulate.cases import scenario

pytestmark = pytest.mark.compiled

SHORT = {"night.end": "20:00", "heat.table": [{"at": "18:00", "power": "2 kW"}], "model.layers": 8}


def over(night):
    """Head minus floor [K]."""
    levels, names = level_temperatures(run(night)), list(night.levels)
    return levels[:, names.index("head")] - levels[:, names.index("floor")]


@pytest.fixture(scope="module")
def told():
    """A short night, its Dataset, and how often it was solved for it."""
    night, solved = scenario().replace(SHORT), []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            import_module("simtent.simulate"), "run", lambda *a, **b: solved.append(a) or run(*a, **b)
        )
        dataset = simtent.simulate(night)
    return night, dataset, len(solved)


def test_head_over_floor_is_what_the_levels_say(told):
    _, dataset, _ = told
    levels = dataset["level_temperature"]
    wanted = levels.sel(level="head") - levels.sel(level="floor")
    assert dataset["head_over_floor"].values == pytest.approx(wanted.values, abs=1e-12)
    assert dataset["head_over_floor"].attrs["units"] == "K"


def test_its_range_comes_from_the_same_nights(told):
    """Two nights for each unknown and the night itself, no more."""
    night, _, solved = told
    assert solved == 1 + 2 * len(night.priors())


def test_its_range_is_of_the_difference_itself(told):
    """By hand from the moved nights: effects on head minus floor in squares, each unknown's larger one to each side."""
    night, dataset, _ = told
    nominal = over(night)
    above, below = np.zeros_like(nominal), np.zeros_like(nominal)
    for prior in night.priors():
        moved = [over(night.replace(dict(way))) - nominal for way in (prior.low, prior.high)]
        above += np.maximum(np.maximum(*moved), 0.0) ** 2
        below += np.minimum(np.minimum(*moved), 0.0) ** 2
    assert dataset["head_over_floor_high"].values == pytest.approx(nominal + np.sqrt(above), abs=1e-6)
    assert dataset["head_over_floor_low"].values == pytest.approx(nominal - np.sqrt(below), abs=1e-6)


def test_what_warms_both_alike_is_not_in_it(told):
    """The range of the difference is narrower than head's high end over floor's low one would have it."""
    _, dataset, _ = told
    ends = [dataset[f"level_temperature_{side}"] for side in ("low", "high")]
    widest = (ends[1] - ends[0]).sel(level=["head", "floor"]).sum("level")
    width = dataset["head_over_floor_high"] - dataset["head_over_floor_low"]
    late = slice(3, None)
    assert (width[late] < widest[late]).all()


def test_stronger_mixing_brings_head_and_floor_together_and_counts(told):
    """Both nights of mixing lie in the range; three times as strong, the head is less far above the floor."""
    night, dataset, _ = told
    (mixing,) = (prior for prior in night.priors() if prior.key == "model.mixing")
    weak, strong = (over(night.replace(dict(way))) for way in (mixing.low, mixing.high))
    late = slice(3, None)
    assert (strong[late] < weak[late]).all()
    assert (dataset["head_over_floor_low"].values <= np.minimum(strong, weak) + 1e-6).all()
    assert (dataset["head_over_floor_high"].values >= np.maximum(strong, weak) - 1e-6).all()
    assert np.abs(weak - strong)[late].min() > 0.1


def test_a_stove_in_the_open_has_no_range_of_air():
    outside = burn().replace({"shelter": "none", "stoking.rule": "none"})
    assert "model.mixing" not in [prior.key for prior in outside.priors()]
