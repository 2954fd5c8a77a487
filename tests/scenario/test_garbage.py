"""Whatever stands in a scenario, the outcome is a scenario or an InputError with every fault in its place."""

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from simtent.errors import InputError
from simtent.scenario.load import load
from simtent.scenario.tree import Origin, leaves, plant_table
from simtent.scenario.write import toml_text
from tests.scenario.example import TEXT
from tests.strategies import fire_trees, scenario_trees

KEYS = st.sampled_from(["a", "at", "air", "name", "wall", "2", "x.y", "none", "path"])
WORDS = st.sampled_from(
    ["", "none", "5", "5 m", "-3 degC", "2 in air gap", "22:30", "R 5 us", "25 %", "é", "a\nb"]
)
SCALARS = st.one_of(WORDS, st.booleans(), st.integers(-5, 5), st.floats(), st.text(max_size=5))
GARBAGE = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(KEYS, inner, max_size=2),
    max_leaves=4,
)


@st.composite
def spoilt_trees(draw):
    """A valid tree with one to three of its values or tables replaced, taken away or added to."""
    tree = draw(st.one_of(scenario_trees(), fire_trees()))
    for _ in range(draw(st.integers(1, 3))):
        table = tree
        while True:
            key = draw(st.sampled_from(sorted(table)) if table else KEYS)
            if not (isinstance(table.get(key), dict) and draw(st.booleans())):
                break
            table = table[key]
        change = draw(st.sampled_from(["replace", "take", "add"]))
        if change == "take":
            table.pop(key, None)
        else:
            table[key if change == "replace" else draw(KEYS)] = draw(GARBAGE)
    return tree


@given(spoilt_trees())
def test_garbage_is_refused_in_order(tmp_path_factory, tree):
    text = toml_text(plant_table(tree, lambda _path: Origin("file")))
    # The writer's text holds what was written; repr lets nan equal nan.
    assert repr(_plain(tomllib.loads(text))) == repr(_plain(tree))
    path = tmp_path_factory.mktemp("garbage") / "camp.toml"
    path.write_text(text, encoding="utf-8")
    try:
        scenario = load(path)
    except InputError as error:
        assert error.faults
        for fault in error.faults:
            assert fault.key
            assert fault.file == str(path)
            assert fault.todo or fault.allowed
            assert "pydantic" not in str(fault)
    else:
        path.write_text(scenario.effective, encoding="utf-8")
        assert load(path) == scenario


@given(st.integers(0, len(TEXT)), st.integers(0, 12), st.text("ab=[]{}\"'#\n\\ .,:0123", max_size=5))
def test_text_cut_or_filled_anywhere(tmp_path_factory, start, length, new):
    path = tmp_path_factory.mktemp("garbage") / "camp.toml"
    path.write_text(TEXT[:start] + new + TEXT[start + length :], encoding="utf-8")
    try:
        load(path)
    except InputError as error:
        for fault in error.faults:
            assert fault.file == str(path)
            assert fault.todo or fault.allowed


@given(
    st.text("ab.=[]{}\"'# :0123-", max_size=12), st.sampled_from(["", "wish.bed=", "model.", "heat.table=["])
)
def test_any_setting(tmp_path_factory, setting, head):
    path = tmp_path_factory.mktemp("garbage") / "camp.toml"
    path.write_text(TEXT, encoding="utf-8")
    try:
        load(path, settings=[head + setting])
    except InputError as error:
        assert {fault.file for fault in error.faults} <= {"--set", str(path)}


def _plain(tree):
    planted = plant_table(tree, lambda _path: Origin("file"))
    return sorted((str(path), repr(leaf.value)) for path, leaf in leaves(planted))
