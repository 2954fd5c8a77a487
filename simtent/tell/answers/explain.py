"""What `simtent explain` answers: keys of a scenario file and trade words; nothing is read."""

from collections.abc import Iterable, Sequence
from typing import Literal

from simtent.scenario.fields import SECTIONS, Field
from simtent.tell import explain, glossary
from simtent.tell.answers.head import Document, unasked
from simtent.tell.answers.told import Told
from simtent.tell.fields import facts, shown_key, variants, where
from simtent.tell.reference import about


class FactTold(Told):
    """One thing that is known of a key."""

    label: str
    """write, allowed, usual, default, shapes, prior, source"""
    text: str
    """what there is to say"""


class KeyTold(Told):
    """A key in full; once for each way in which shapes of shelter declare it."""

    key: str
    """dotted, NAME for a name of one's own, [] for a list of tables"""
    where: str
    """where it stands in a file"""
    meaning: str
    """what it means"""
    facts: list[FactTold]
    """how it is written, what is allowed, usual, taken by default, and who says so"""


class ShortKey(Told):
    """A key in short."""

    key: str
    """dotted"""
    meaning: str
    """what it means"""


class WordTold(Told):
    """A trade word."""

    word: str
    """the word"""
    meaning: str
    """in plain ones"""


class TableTold(Told):
    """A table of a scenario file."""

    table: str
    """its name"""
    about: str
    """what it is"""


class ExplainAnswer(Document):
    """What was asked about, explained."""

    format: Literal["simtent.explain"] = "simtent.explain"
    version: Literal[1] = 1
    words: list[WordTold]
    """trade words"""
    tables: list[TableTold]
    """tables that were asked for"""
    keys: list[KeyTold]
    """keys that were asked for"""
    listed: list[ShortKey]
    """keys of those tables, or every key with the word in it"""


def answer(words: Sequence[str], found: Iterable[explain.Explained]) -> ExplainAnswer:
    """The document of trade words and of what was found among the keys."""
    parts = list(found)
    tables = [TableTold(table=it.section, about=about(it.section)) for it in parts if it.section in SECTIONS]
    keys = [key for it in parts for field in it.full for key in _keys(field)]
    told = [WordTold(word=word, meaning=glossary.meaning(word)) for word in words]
    sentences = [*((it.word, it.meaning) for it in told), *((it.key, it.meaning) for it in keys)]
    return ExplainAnswer(
        **unasked(sentences),
        words=told,
        tables=tables,
        keys=keys,
        listed=[
            ShortKey(key=shown_key(field.path), meaning=field.declared.meaning)
            for it in parts
            for field in it.listed
        ],
    )


def _keys(field: Field) -> list[KeyTold]:
    return [
        KeyTold(
            key=shown_key(field.path),
            where=where(field),
            meaning=variant.field.declared.meaning,
            facts=[FactTold(label=label, text=text) for label, text in facts(variant)],
        )
        for variant in variants(field)
    ]
