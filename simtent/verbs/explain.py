"""Tell what a key of a scenario means and how it is written."""

from argparse import Namespace

from simtent.errors import InputError
from simtent.scenario.fields import SECTIONS
from simtent.tell import glossary, screen
from simtent.tell.cautions import headline
from simtent.tell.explain import explained


def run(options: Namespace) -> None:
    """Tell it; InputError where no key is like it."""
    lines = _told(options.field)
    screen.show([*headline(), "", *lines])


def _told(asked: list[str]) -> list[str]:
    """What the words mean together, "low vent"; or else, where all are full keys or tables, one by one.

    A trade word is told first, then the keys that have it.
    """
    words = " ".join(asked).split()
    meant = glossary.found(" ".join(words))
    try:
        return [*meant, *([""] if meant else []), *explained(" ".join(words))]
    except InputError:
        if meant:
            return meant
        if len(words) < 2 or not all("." in word or word in SECTIONS for word in words):
            raise
    return [line for word in words for line in ("", *explained(word))][1:]
