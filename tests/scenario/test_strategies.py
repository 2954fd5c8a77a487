"""Generated scenarios are valid, and every field that a scenario may have is drawn sometimes."""

from hypothesis import given, settings

from simtent.scenario.fields import fields
from simtent.scenario.load import load
from simtent.scenario.write import toml_text
from tests.strategies import built, scenario_trees, scenarios


@given(scenario_trees())
def test_a_tree_and_its_toml_text_give_the_same_scenario(tmp_path_factory, tree):
    scenario = built(tree)
    path = tmp_path_factory.mktemp("generated") / "generated.toml"
    path.write_text(toml_text(scenario.tree), encoding="utf-8")
    assert load(path) == scenario


@given(scenarios())
def test_effective_loads_as_an_equal_scenario_and_is_complete(tmp_path_factory, scenario):
    path = tmp_path_factory.mktemp("generated") / "effective.toml"
    path.write_text(scenario.effective, encoding="utf-8")
    loaded = load(path)
    assert loaded == scenario
    assert loaded.given == scenario.effective == loaded.effective


def test_every_field_is_drawn_sometimes():
    left_out = {"outdoors.steady", "outdoors.high", "outdoors.low", "shelter.floor", "shelter.contents"}
    wanted = {
        field.path
        for field in fields()
        if "file" not in field.path and "[]" not in field.path and "*" not in field.path
    }
    seen: set[tuple[str, ...]] = set()

    @settings(max_examples=60, database=None)
    @given(scenario_trees())
    def collect(tree):
        seen.update(_paths(tree, ()))

    collect()
    assert wanted - seen == set(), left_out


def _paths(tree, above):
    for key, value in tree.items():
        yield (*above, key)
        if isinstance(value, dict):
            yield from _paths(value, (*above, key))
