"""OUTPUTS.md is what the schema declares, and leaves nothing out."""

from pathlib import Path

from simtent.schema import ATTRIBUTES, TABLE, WORDS
from simtent.tell.outputs_reference import GROUPS, reference


def test_everything_declared_is_told() -> None:
    page = reference()
    assert {variable.group for variable in TABLE.values()} <= set(GROUPS)
    for name in (
        *TABLE,
        *ATTRIBUTES,
        *(word for kind in WORDS if kind != "event_by" for word in WORDS[kind]),
    ):
        assert page.count(f"- **{name}**") >= 1, name
    for variable in TABLE.values():
        assert variable.meaning in page and variable.long_name in page


def test_the_kept_page_is_todays() -> None:
    kept = Path(__file__).parents[2] / "scenarios" / "OUTPUTS.md"
    assert kept.read_text(encoding="utf-8") == reference(), "run python .ci/fill_fields.py"
