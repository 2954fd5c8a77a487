"""The documents of --json as they are declared: every key told, every unit the table's, every version known."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from simtent.cli import main
from simtent.tell.answers.documents import DOCUMENTS, model, schema, version_of
from simtent.tell.answers.quantities import KINDS, SYSTEMS, UNITS
from simtent.tell.answers_reference import reference
from simtent.units import unit_name


@pytest.mark.parametrize("name", DOCUMENTS)
def test_every_key_is_told(name: str) -> None:
    made = schema(name)
    jsonschema.Draft202012Validator.check_schema(made)
    assert made["properties"]["format"]["const"] == f"simtent.{name}"
    assert made["properties"]["version"]["const"] == version_of(name) >= 1
    page = reference()
    for part in (made, *made.get("$defs", {}).values()):
        assert part["description"], part
        for key, told in part["properties"].items():
            assert told["description"] and f"- **{key}**, " in page, key
        assert set(part["required"]) == set(part["properties"])  # null, never left out


def test_parts_of_one_name_are_one_part() -> None:
    parts: dict[str, Any] = {}
    for name in DOCUMENTS:
        for part, made in schema(name).get("$defs", {}).items():
            assert parts.setdefault(part, made) == made, part


def test_units_are_those_of_words() -> None:
    for kind in KINDS:
        assert UNITS[kind.KIND] == {system: unit_name(kind.KIND, system) for system in SYSTEMS}


def test_documents_begin_alike() -> None:
    for name in DOCUMENTS:
        assert list(model(name).model_fields)[:3] == ["format", "version", "simtent"]


def test_the_kept_page_is_todays() -> None:
    kept = Path(__file__).parents[2] / "scenarios" / "JSON.md"
    assert kept.read_text(encoding="utf-8") == reference(), "run python .ci/fill_fields.py"


def test_the_schema_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "night"]) == 0
    assert json.loads(capsys.readouterr().out) == schema("night")
    assert main(["schema"]) == 0
    assert capsys.readouterr().out.split()[1::4] == [f"simtent.{name}," for name in DOCUMENTS]
    assert main(["schema", "--json"]) == 0
    assert list(json.loads(capsys.readouterr().out)) == [f"simtent.{name}" for name in DOCUMENTS]
    assert main(["schema", "nihgt"]) == 2
    assert "night" in capsys.readouterr().err
