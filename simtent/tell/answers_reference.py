"""JSON.md: every document that --json prints, key by key, a short list item each."""

from collections.abc import Iterator, Mapping
from typing import Any

from simtent.tell.answers.documents import DOCUMENTS, schema, version_of
from simtent.tell.answers.head import Document
from simtent.tell.words import sentence

HEAD = """\
# What --json prints

Made from the declarations by `python .ci/fill_fields.py`; do not edit it by hand.

With `--json` every verb prints one JSON document on standard output in place of words, on one line, of ASCII alone.
Progress and faults stay on standard error, files are written as without it, and exit codes are the same. `simtent
schema VERB` prints the JSON Schema (draft 2020-12) of a document, `simtent schema --json` those of all.

- A quantity is `{"value": 41.0, "unit": "degF"}`. Its unit follows `--units`, without it the scenario's own units; the
  words do the same. A series is `{"unit": "degF", "values": [...]}`. Numbers have nine figures, more than anyone knows.
- What is not known is `null`; there is no NaN and no infinity.
- `version` is raised where a key goes, changes its meaning or its kind of unit. New keys come without that: a reader
  leaves alone what it does not know, and refuses a version that it does not know.
- Exit code 0: the verb's document. Exit codes 2 (something given is wrong) and 1 (a night could not be solved): the
  document `simtent.faults`. Where there is an answer and only its files could not be written, the exit code is 2 and
  the answer is printed all the same, with `faults`. A command that cannot be read (an unknown option) and an
  interruption (exit code 130) print nothing there. Where Ctrl-C keeps the best so far, the document is whole, and
  says so.
- No document says that all is well. `cautions` come before every number: show them first.
"""
COMMON = "Every document but `simtent.faults` begins with these keys; below they are not told again."
DEFS = "#/$defs/"
PLAIN = {"string": "text", "integer": "whole number", "boolean": "true or false"}


def reference() -> str:
    """The whole page."""
    schemas = {name: schema(name) for name in DOCUMENTS}
    parts: dict[str, Any] = {}
    for made in schemas.values():
        parts |= made["$defs"]
    shared = Document.model_json_schema(mode="serialization")
    lines = [HEAD, "## All documents", "", COMMON, "", *_keys(shared, {}), ""]
    for name, made in schemas.items():
        lines += [f"## simtent.{name}, version {version_of(name)}", "", sentence(made["description"]), ""]
        lines += [*_keys(made, {} if name == "faults" else shared["properties"]), ""]
    lines += ["# Parts", "", "What the keys above are made of.", ""]
    for name in sorted(parts):
        lines += [f"## {name}", "", sentence(parts[name]["description"]), "", *_keys(parts[name], {}), ""]
    return "\n".join(lines).rstrip() + "\n"


def _keys(made: Mapping[str, Any], told: Mapping[str, Any]) -> Iterator[str]:
    """An item for each key that was not told already."""
    for key, it in made["properties"].items():
        if key not in told:
            yield f"- **{key}**, {_kind(it)}: {sentence(it['description'])}"


def _kind(it: Mapping[str, Any]) -> str:
    """What a key holds, in words."""
    if "$ref" in it:
        return str(it["$ref"]).removeprefix(DEFS)
    if "anyOf" in it:
        return " or ".join(_kind(one) for one in it["anyOf"])
    if words := it.get("enum") or ([it["const"]] if "const" in it else []):
        return " or ".join(f"`{word}`" for word in words)
    if it["type"] == "array":
        return f"list of {_kind(it['items'])}"
    if it["type"] == "object":
        return f"names to {_kind(it['additionalProperties'])}"
    return PLAIN.get(it["type"], str(it["type"]))
