"""OUTPUTS.md: every variable, finding, path, account and attribute of a night's result, a short list item each."""

from collections.abc import Iterator, Mapping

from simtent.assess.kinds import IN_A_NIGHT, STANDING, Kind
from simtent.schema import (
    ACCOUNTS,
    ATTRIBUTES,
    COORDINATES,
    PATHS,
    SCHEMA,
    STAGES,
    STREAMS,
    VARIABLES,
    WATER,
    Variable,
)
from simtent.tell.words import sentence

HEAD = """\
# Everything that a night's result holds

Made from the declarations by `python .ci/fill_fields.py`; do not edit it by hand. The result is an
`xarray.Dataset`, from `simtent.simulate` or a `.nc` file; this is its schema {schema}. Times are UTC, temperatures
degC whatever units people are shown. A group stands there whole or not at all.
"""
GROUPS = {
    "night": "Always",
    "room": "With a shelter",
    "fire": "With a fire",
    "band": "With a range",
    "events": "Where something is done at stove or door",
    "damp": "With [damp]",
    "what_if": "What if a share of the flue's gas came in",
    "departures": "Where a law's range was left",
    "findings": "Findings",
}
LISTS: dict[str, Mapping[str, str]] = {
    "Paths, by which heat flows": PATHS,
    "Accounts of the energy ledger": ACCOUNTS,
    "What became of the wood": STAGES,
    "Accounts of the water ledger": WATER,
    "Streams of air": STREAMS,
}


FOUND: Mapping[str, tuple[Kind, ...]] = {
    "Standing cautions, which every verb shows": STANDING,
    "What is found in a night, by `simtent.assess` and in `finding_what`": IN_A_NIGHT,
}


def reference() -> str:
    """The whole page."""
    parts = [HEAD.format(schema=SCHEMA)]
    for group, title in GROUPS.items():
        held = [it for it in (*COORDINATES, *VARIABLES) if it.group == group]
        if held:
            parts += [f"## {title}", "", *(line for it in held for line in _item(it))]
    for title, kinds in FOUND.items():
        parts += [f"## {title}", "", *(line for kind in kinds for line in _kind(kind))]
    for title, words in LISTS.items():
        parts += [f"## {title}", "", *(f"- **{name}**: {sentence(text)}" for name, text in words.items()), ""]
    parts += ["## Attributes", "", *(f"- **{name}**, {kind.__name__}" for name, kind in ATTRIBUTES.items())]
    return "\n".join(parts).rstrip() + "\n"


def _item(it: Variable) -> Iterator[str]:
    unit = f" [{it.units}]" if it.units else ""
    yield f"- **{it.name}** ({', '.join(it.dims)}){unit}: {it.long_name}."
    if told := f"{it.meaning} {it.sign}".strip():
        yield f"  {sentence(told)}"
    yield ""


def _kind(it: Kind) -> Iterator[str]:
    yield f"- **{it.key}** ({', '.join(it.levels)}): told {it.told}."
    yield f"  {sentence(f'source: {it.source}')}"
    yield ""
