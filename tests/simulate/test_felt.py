"""What is felt at each height: that of the air where all is alike, warmer by what is warmer, within what is seen."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simtent.felt import air_at, felt_at, radiant_at
from simtent.run import run
from simtent.views import seen_from
from tests.portion import some
from tests.simulate.cases import NO_HEAT, scenario

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module")
def night():
    """Half an hour without heat, all at -10 degC."""
    return run(scenario().replace(NO_HEAT | {"night.end": "18:30"}))


@pytest.fixture(scope="module")
def heights(night):
    return night.model.house.bands.centres.tolist()


def none(night):
    return np.zeros(night.solution.times.size)


def warmed(night, nodes, by):
    """The same night with some nodes warmer [K]."""
    temperatures = night.temperatures.copy()
    temperatures[:, nodes] += by
    return replace(night, temperatures=temperatures)


def roof(night):
    return [strip.stack.inner for strip in night.model.house.strips if strip.patch.part == "roof"]


def test_where_all_is_alike_it_feels_as_the_air_is(night, heights):
    assert felt_at(night, heights, none(night)) == pytest.approx(air_at(night, heights), abs=2e-3)
    even = replace(night, temperatures=np.full_like(night.temperatures, 263.15))
    assert felt_at(even, heights, none(night)) == pytest.approx(
        np.full((none(night).size, len(heights)), 263.15), abs=1e-9
    )


def test_under_a_hot_roof_it_feels_warmer_the_higher(night, heights):
    felt = felt_at(warmed(night, roof(night), 40.0), heights, none(night))
    assert (np.diff(felt, axis=1) > 0.0).all()
    assert (felt > felt_at(night, heights, none(night))).all()


def test_over_a_cold_floor_it_feels_colder_the_lower(night, heights):
    floor = [part.top for part in night.model.house.floors]
    felt = felt_at(warmed(night, floor, -10.0), heights, none(night))
    assert (np.diff(felt, axis=1) > 0.0).all()


def test_a_heater_is_felt_most_at_its_own_height(night, heights):
    shining = np.full(none(night).size, 600.0)
    more = felt_at(night, heights, shining) - felt_at(night, heights, none(night))
    heat = night.scenario.heat
    middle = 0.5 * (heat.from_height + heat.to_height)
    assert (more > 0.0).all()
    assert abs(heights[int(np.argmax(more[-1]))] - middle) < 0.15


@some(25)
@given(st.lists(st.floats(230.0, 330.0), min_size=8, max_size=8), st.floats(0.0, 1.9))
def test_it_lies_between_the_coldest_and_the_warmest(night, drawn, height):
    nodes = night.temperatures.shape[1]
    temperatures = np.tile(np.resize(drawn, nodes), (none(night).size, 1))
    mixed = replace(night, temperatures=temperatures)
    radiant = radiant_at(mixed, [height], none(night))
    seen = [face.node for face in seen_from(night.model, height)]
    assert temperatures[0, seen].min() - 1e-9 <= radiant[0, 0] <= temperatures[0, seen].max() + 1e-9
