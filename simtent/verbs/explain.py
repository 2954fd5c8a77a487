"""Tell what a key of a scenario means and how it is written."""

from argparse import Namespace

from simtent.errors import InputError
from simtent.scenario.fields import SECTIONS
from simtent.tell import explain, glossary
from simtent.tell.cautions import headline
from simtent.verbs import outputs


def run(options: Namespace) -> None:
    """Tell it; InputError where no key is like it."""
    meant, asked = _asked(options.field)
    blocks = [glossary.found(meant), *map(explain.explained, asked)]
    lines = [line for block in blocks if block for line in ("", *block)]
    outputs.answered(
        options,
        [*headline(), *lines],
        lambda: outputs.teller("explain").answer(glossary.named(meant), map(explain.found, asked)),
    )


def _asked(given: list[str]) -> tuple[str, list[str]]:
    """What may be a trade word, and what is asked for among the keys; InputError where neither is anything.

    What the words mean together, "low vent"; or else, where all are full keys or tables, one by one. A trade word is
    told first, then the keys that have it.
    """
    words = " ".join(given).split()
    whole = " ".join(words)
    try:
        explain.found(whole)
    except InputError:
        if glossary.named(whole):
            return whole, []
        if len(words) < 2 or not all("." in word or word in SECTIONS for word in words):
            raise
        return "", words
    return whole, [whole]
