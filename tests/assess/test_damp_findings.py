"""Findings on damp: told from a quantity on, the number itself, and none where nobody counted water."""

from dataclasses import replace as changed

import numpy as np
import pytest

from simtent.assess.damp_findings import damp_findings
from simtent.scenario.load import load
from simtent.simulate import plain
from tests.assess.words import wrong

pytestmark = pytest.mark.compiled
WET = {"damp.snow": "100 g", "crew.wet_gear": "400 g"}


@pytest.fixture(scope="module")
def scenario():
    return load("scenarios/larch_bench.toml").replace(WET)


@pytest.fixture(scope="module")
def dataset(scenario):
    return plain(scenario)


def found(scenario, dataset):
    return {finding.where or "drip": finding for finding in damp_findings(scenario, dataset)}


def test_every_text_keeps_to_the_words(scenario, dataset):
    told = damp_findings(scenario, dataset.assign(dripped=dataset["dripped"] + 0.1))
    texts = [f"{it.what} | {it.todo} | {it.source}" for it in told]
    assert len(texts) == 3
    assert [fault for text in texts for fault in wrong(text)] == []


def test_frost_is_the_most_that_lay_on_the_skin(scenario, dataset):
    inner = [not name.startswith(("outer", "floor")) for name in dataset["surface"].values.tolist()]
    on_skin = (dataset["frost"] * dataset["surface_area"]).values[::12, inner].sum(axis=1)
    told = found(scenario.replace("units", "si"), dataset)["lower walls first"]
    assert told.level == "caution"
    assert told.number.startswith(f"{1000.0 * on_skin.max():.0f} g")


@pytest.mark.parametrize(("grams", "there"), [(19.0, False), (21.0, True)])
def test_dripping_is_told_from_a_quantity_on(scenario, dataset, grams, there):
    asked = dataset.assign(dripped=dataset["dripped"] * 0.0 + grams / 1000.0)
    assert ("drip" in found(scenario, asked)) is there


@pytest.mark.parametrize(("grams", "there"), [(29.0, False), (31.0, True)])
def test_bags_count_each_sleeper(scenario, dataset, grams, there):
    names = dataset["water_account"].values.tolist()
    water = dataset["water"].copy()
    water[:, names.index("stored_bag")] = scenario.crew.asleep * grams / 1000.0
    assert ("sleeping bags" in found(scenario, dataset.assign(water=water))) is there


def test_a_bare_skin_has_no_finding(scenario, dataset):
    bare = dataset.assign({name: dataset[name] * 0.0 for name in ("frost", "condensate", "dripped", "water")})
    assert found(scenario, bare) == {}


def test_a_night_that_counts_no_water_has_none(scenario, dataset):
    assert found(scenario, dataset.drop_vars("water")) == {}


def test_nobody_inside_soaks_no_bag(scenario, dataset):
    alone = changed(scenario, crew=scenario.crew.model_copy(update={"asleep": 0}))
    assert "sleeping bags" not in found(alone, dataset)
    assert np.isfinite(dataset["water"].values).all()
