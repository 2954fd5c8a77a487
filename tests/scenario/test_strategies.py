"""Generated scenarios are valid, and every field that a scenario may have is drawn sometimes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simtent.scenario.fields import ENTRY, fields, match
from simtent.scenario.load import load
from simtent.scenario.write import toml_text
from tests.standing import OF_THE_SUN
from tests.strategies import built, damp_trees, fire_trees, fires, scenario_trees, scenarios


@given(st.one_of(scenario_trees(), fire_trees()))
def test_a_tree_and_its_toml_text_give_the_same_scenario(tmp_path_factory, tree):
    scenario = built(tree)
    path = tmp_path_factory.mktemp("generated") / "generated.toml"
    path.write_text(toml_text(scenario.tree), encoding="utf-8")
    assert load(path) == scenario


@given(st.one_of(scenarios(), fires()))
def test_effective_loads_as_an_equal_scenario_and_is_complete(tmp_path_factory, scenario):
    path = tmp_path_factory.mktemp("generated") / "effective.toml"
    path.write_text(scenario.effective, encoding="utf-8")
    loaded = load(path)
    assert loaded == scenario
    assert loaded.given == scenario.effective == loaded.effective


# Drawn or read where they are tested: what a shelter is like, the sun, trips, variants, logs, what fits make of them.
APART = {("shelter", "like"), *(("site", key) for key in OF_THE_SUN)}
APART_SECTIONS = {"log", "trip", "variants", "fit", "fitted"}


@pytest.mark.slow
def test_every_field_is_drawn_sometimes():
    known = {field.path for field in fields() if "file" not in field.path} - APART
    wanted = {path for path in known if path[0] not in APART_SECTIONS}
    seen: set[tuple[str, ...]] = set()

    @settings(max_examples=200, database=None)
    @given(damp_trees(), fire_trees())
    def collect(with_heat, with_fire):
        for path in (*_paths(with_heat, ()), *_paths(with_fire, ())):
            if field := match(path):
                seen.add(field.path)

    collect()
    assert wanted - seen == set()


def _paths(value, above):
    """Every path of a tree; an entry of a list as "[]"."""
    yield above
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _paths(item, (*above, key))
    elif isinstance(value, list):
        for item in value:
            yield from _paths(item, (*above, ENTRY))
