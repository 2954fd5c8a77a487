"""Tables whose keys are the user's own names: marks of a lever, kinds of pieces."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from simtent.errors import Fault
from simtent.scenario.quantity import Words

LONGEST_NAME = 30
PRINTABLE = f"1 to {LONGEST_NAME} printable characters, no blanks at the ends"


@dataclass(frozen=True, kw_only=True)
class Named(Words):
    """A table with names of the user's own as keys, each holding the same kind of value."""

    takes_text = False


def printable(name: str) -> bool:
    """Whether a name can be printed in tables and pictures."""
    return name.strip() == name != "" and name.isprintable() and len(name) <= LONGEST_NAME


def name_faults(names: Iterable[str], what: str, key: str) -> Iterator[Fault]:
    """Faults of names that cannot be printed; `what` they name, `key` of their table."""
    for name in names:
        if not printable(name):
            told = f"the name of a {what} cannot be printed"
            yield Fault(told, key=key, value=repr(name), allowed=PRINTABLE, todo="Give it a short name")


def level_of_ones_own(name: str) -> str:
    """How a height gets a name of one's own, where a name is not known as a level."""
    key = name if name.isidentifier() else f'"{name}"'
    return f'[levels] takes names of your own: add {key} = "1.4 m", its height above the ground'
