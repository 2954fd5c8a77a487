"""FIELDS.md: every field of a scenario, a short list item each, to be read on a phone."""

from collections.abc import Iterator

from simtent.scenario.fields import LISTS, SECTIONS, Field, fields, section_model
from simtent.scenario.quantity import NO_SOURCE
from simtent.scenario.shelter import SHAPES
from simtent.tell.examples import table_of
from simtent.tell.fields import Variant, facts, shown_key, variants
from simtent.tell.words import sentence

HEAD = """\
# Every field of a scenario

Made from the declarations by `python .ci/fill_fields.py`; do not edit it by hand. `simtent explain FIELD` tells the
same at a terminal.

- Numbers carry their unit, in quotes: `"30 in"`, `"75 cm"`. Any unit of the kind is read, US and SI mixed as you like.
- NAME stands for a name of your own. `[]` is a list: each entry is written under `[[table]]`, or in braces.
- *Allowed* is refused outside; *usual* makes `simtent check` ask; *prior* is how far a guess may be off:
  in a night's range, or in a fit alone. A fit takes x1.5, or 2 K, where there is none, and says so.
- The word `"none"` takes a key or a table away.
- Ranges, defaults and priors without a source are common practice, no source.
- Dates, names and numbers in examples are invented.
"""


def reference() -> str:
    """The whole page."""
    tables: dict[tuple[str, ...], list[Field]] = {}
    for field in fields(tables=True):
        tables.setdefault(field.path[:-1], []).append(field)
    parts = [HEAD]
    for path, held in tables.items():
        parts += [f"## {_heading(path)}", "", *_about(path), *_items(held)]
    return "\n".join(parts).rstrip() + "\n"


def _heading(path: tuple[str, ...]) -> str:
    if not path:
        return "At the top of the file"
    return f"[[{table_of(path)}]]" if path[-1] == "[]" else f"[{table_of(path)}]"


def about(name: str) -> str:
    """What a section is, in its own words; of the shelter every shape."""
    model = section_model(name, None)
    if name == "shelter":
        return " ".join(f'"{shape}": {_first(kind.__doc__)}' for shape, kind in SHAPES.items())
    return _first((model or SECTIONS[name]).__doc__)


def _first(doc: str | None) -> str:
    return (doc or "").split("\n", maxsplit=1)[0]


def _about(path: tuple[str, ...]) -> list[str]:
    declared = len(path) == 1 and (path[0] in SECTIONS or path[0] in LISTS)
    return [about(path[0]), ""] if declared else []


def _items(held: list[Field]) -> Iterator[str]:
    for field in held:
        for variant in variants(field):
            yield _item(variant)
            yield ""


def _item(variant: Variant) -> str:
    field = variant.field
    told = [f"- **{shown_key(field.path)}**: {field.declared.meaning.rstrip('.')}."]
    for label, text in facts(variant):
        if label == "source" and text == NO_SOURCE:
            continue
        told.append(_line(label, text))
    return "\n  ".join(told)


def _line(label: str, text: str) -> str:
    if label != "write":
        return f"{label.capitalize()}: {text.rstrip('.')}."
    return sentence(text) if text.startswith("Write") else f"Write: `{text}`."
