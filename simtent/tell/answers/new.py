"""What `simtent new` answers: the file that was written; without one the tables it can begin with."""

from pathlib import Path
from typing import Literal

from simtent.scenario.materials import (
    shelter,
    shelter_names,
    shelter_source,
    stove_names,
    stove_source,
)
from simtent.tell.answers.head import Document, unasked
from simtent.tell.answers.told import Told
from simtent.tell.draft import Wanted

FIRST = "Every number in it is from a table or a guess: replace each by your own."
CHOOSE = "Name a shelter that looks like yours: simtent new FILE.toml --like NAME"


class ShelterRow(Told):
    """A shelter of the table."""

    name: str
    """for --like"""
    shape: str
    """its shape"""
    source: str
    """of its numbers"""


class StoveRow(Told):
    """A stove of the table."""

    name: str
    """for --stove"""
    source: str
    """of its numbers"""


class NewAnswer(Document):
    """A first scenario file."""

    format: Literal["simtent.new"] = "simtent.new"
    version: Literal[1] = 1
    like: str | None
    """the shelter of the table that the file is like; null where none was written"""
    shelters: list[ShelterRow]
    """shelters that a file can be like"""
    stoves: list[StoveRow]
    """stoves that it can have"""


def answer(file: Path | None, wanted: Wanted | None) -> NewAnswer:
    """The document of a file that was written, or of the tables alone."""
    text = CHOOSE if file is None else f"Wrote {file}. {FIRST}"
    return NewAnswer(
        **unasked([("", text)], file, [] if file is None else [file]),
        like=None if wanted is None else wanted.shelter,
        shelters=[
            ShelterRow(name=name, shape=shelter(name)["shelter"]["shape"], source=shelter_source(name))
            for name in shelter_names()
        ],
        stoves=[StoveRow(name=name, source=stove_source(name)) for name in stove_names()],
    )
