"""What a key of a scenario means: a field in full, a table with its keys, or every key with the word in it."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from simtent.errors import Fault, InputError
from simtent.scenario.fields import ENTRY, NAME, SECTIONS, Field, fields
from simtent.scenario.nearest import nearest_words
from simtent.scenario.toml_lines import dotted_key
from simtent.tell import glossary
from simtent.tell.fields import facts, shown_key, variants, where
from simtent.tell.reference import about
from simtent.tell.words import paragraph, sentence

BRACKETS = re.compile(r"\[\d*\]|[\[\]]")
NEAR = 0.75  # how much alike a word must be that is offered: a slip of the pen, no other word
LABEL = 10  # width of the column of labels
INDENT = " " * 4


@dataclass(frozen=True)
class Explained:
    """What was found.

    full     fields that are told in full
    section  name of a table that is told itself, empty where none is
    listed   fields that are told in short: those a table holds, or every one with the word in it
    """

    full: tuple[Field, ...] = ()
    section: str = ""
    listed: tuple[Field, ...] = ()


def found(asked: str) -> Explained:
    """What was asked for; InputError with the nearest keys where nothing fits."""
    keys = _keys(asked)
    if named := [field for field in fields(tables=True) if _is_named(field, keys)]:
        full = tuple(_with_own_names(field, keys) for field in named)
        return Explained(full, listed=tuple(it for field in full if field.table for it in _below(field.path)))
    if len(keys) == 1 and keys[0] in SECTIONS:
        return Explained(section=keys[0], listed=tuple(_below((keys[0],))))
    hits = _hits(asked)
    if not hits:
        raise InputError(_unknown(asked))
    return Explained(full=tuple(hits)) if len(hits) == 1 else Explained(listed=tuple(hits))


def explained(asked: str) -> list[str]:
    """Lines of at most 80 characters on what was asked for; InputError with the nearest keys where nothing fits."""
    it = found(asked)
    if it.full:
        return [line for field in it.full for line in _in_full(field)]
    if it.section:
        return _section(it.section)
    head = f'{len(it.listed)} fields have "{asked.strip()}" in their name or meaning:'
    return [head, "", *_listed(it.listed)]


def _keys(asked: str) -> tuple[str, ...]:
    """The keys that were asked for, without brackets and places in lists."""
    text = BRACKETS.sub("", asked).strip()
    try:
        return tuple(dotted_key(text))
    except (ValueError, IndexError):
        return (text,)


def _is_named(field: Field, keys: tuple[str, ...]) -> bool:
    """Whether the keys lead to the field; any word stands for a name of the user's own."""
    own = [part for part in field.path if part != ENTRY]
    return len(own) == len(keys) and all(part in (key, NAME) for part, key in zip(own, keys, strict=True))


def _with_own_names(field: Field, keys: tuple[str, ...]) -> Field:
    """The field with the names that were asked for in place of those of the user's own."""
    asked = iter(keys)
    own = [part if part == ENTRY else (next(asked), part) for part in field.path]
    path = tuple(
        part if isinstance(part, str) else part[0] if part[1] == NAME and part[0] != "NAME" else part[1]
        for part in own
    )
    return replace(field, path=path)


def _in_full(field: Field) -> list[str]:
    """A field: where it stands, what it means, how it is written; for a table the keys it holds."""
    lines: list[str] = []
    for variant in variants(field):
        lines += [f"{shown_key(field.path)}, {where(field)}"]
        lines += paragraph(sentence(variant.field.declared.meaning), first=INDENT, rest=INDENT)
        for label, fact in facts(variant):
            text = fact.removeprefix("Write ")
            lines += paragraph(text, first=f"{INDENT}{label.ljust(LABEL)}", rest=" " * (len(INDENT) + LABEL))
        lines.append("")
    if field.table:
        lines += _listed(_below(field.path))
    return lines[: -1 if lines[-1] == "" else None]


def _section(name: str) -> list[str]:
    lines = paragraph(about(name))
    return [f"[{name}]", *(INDENT + line for line in lines), "", *_listed(_below((name,)))]


def _below(path: tuple[str, ...]) -> list[Field]:
    """The fields that a table holds itself; those of deeper tables are told by them."""
    held = [field for field in fields(tables=True) if field.path[: len(path)] == path and field.path != path]
    depths = {len(field.path) for field in held if not set(field.path[len(path) :]) <= {ENTRY, NAME}}
    return [field for field in held if len(field.path) == min(depths, default=len(path) + 1)]


def _listed(found: Sequence[Field]) -> list[str]:
    return [line for field in found for line in _short(field)]


def _short(field: Field) -> Iterator[str]:
    yield shown_key(field.path)
    yield from paragraph(sentence(field.declared.meaning), first=INDENT, rest=INDENT)


def _hits(asked: str) -> list[Field]:
    """Fields with the word at the begin of a part of their keys, or else anywhere in them, or in their meaning."""
    word = re.escape(asked.strip().lower())
    if not word:
        return []
    spelt = re.sub(r"(\\ )+", "_", word)
    every = list(fields(tables=True))
    for pattern, text in ((rf"(?<![a-z]){spelt}", _key), (spelt, _key), (rf"\b{word}", _meaning)):
        if hits := [field for field in every if re.search(pattern, text(field))]:
            return hits
    return []


def _key(field: Field) -> str:
    return shown_key(field.path).lower()


def _meaning(field: Field) -> str:
    return field.declared.meaning.lower()


def _unknown(asked: str) -> Fault:
    word = asked.strip()
    keys = [shown_key(field.path) for field in fields(tables=True)]
    last = {key: key.split(".")[-1] for key in keys}
    like_last = nearest_words(word.split(".")[-1], set(last.values()), alike=NEAR)
    near = nearest_words(word, [*keys, *glossary.every()], alike=NEAR)
    near = near or [key for key in keys if last[key] in like_last]
    tables = f"The tables are {', '.join(SECTIONS)}; explain one to see its keys"
    meant = f"Is {' or '.join(near[:4])} meant?" if near else f"{tables}."
    todo = f"{meant} `simtent explain words` lists trade words"
    return Fault(f'no field is called "{word}"' if word else "no field is named", todo=todo)
