"""What was assumed: every default and every value of the tables that a night rests on, with what it means."""

from collections.abc import Mapping
from functools import cache

from simtent.scenario.assumed import Assumed, assumed
from simtent.scenario.fields import ENTRY, NAME, fields
from simtent.scenario.scenario import Scenario
from simtent.tell.page.markup import Markup, joined, listed, paragraphs, tag
from simtent.tell.words import sentence

INTRO = (
    "The scenario did not say these, so they were taken as they stand here. A value of your own in the file takes "
    "the place of each; simtent explain KEY tells how it is written and where the default comes from."
)
NOTHING = "The scenario said everything that a night asks for."


def section(scenario: Scenario) -> Markup:
    """The list, by table of the file."""
    tables: dict[str, list[Assumed]] = {}
    for one in assumed(scenario):
        tables.setdefault(one.path[0], []).append(one)
    if not tables:
        return paragraphs([NOTHING])
    parts = [
        part for name, held in tables.items() for part in (tag("h3", f"[{name}]"), listed(map(_item, held)))
    ]
    return joined([tag("p", INTRO), *parts])


def _item(one: Assumed) -> Markup:
    key = ".".join(one.path[1:] or one.path).replace(".[]", "[]")
    whence = f", as of {one.like}" if one.like else ""
    return joined([tag("code", f"{key} = {one.value}"), f"{whence}: {sentence(_meaning(one.path))}"])


def _meaning(path: tuple[str, ...]) -> str:
    """What a key means; of a list's entry what the list means."""
    for keys in (path, path[:-1]):
        for declared, meaning in _meanings().items():
            if len(declared) == len(keys) and all(
                own in (key, NAME) or (own == ENTRY == key) for own, key in zip(declared, keys, strict=True)
            ):
                return meaning
    return ""


@cache
def _meanings() -> Mapping[tuple[str, ...], str]:
    return {field.path: field.declared.meaning for field in fields(tables=True)}
